"""What the locknuts of this session did, told by the readings before and after."""

from __future__ import annotations

from benchtui.domain.adjusting.lock_shift import Shift, learned, shift_between
from benchtui.domain.adjusting.turns import gap_for
from benchtui.domain.gauging.bracket import OPEN, Bracket, bracket_of
from benchtui.domain.length import ZERO
from benchtui.domain.session.gates import counted, valve_of
from benchtui.domain.session.slack_nut import reckoned
from benchtui.domain.session.stages import Stage, StageKind
from benchtui.domain.session.state import State
from benchtui.domain.sheet import Adjuster, Band, setting_range


def shift_known(state: State) -> Shift | None:
    """What locking is known to do on this engine, to be aimed off; None while too little is known.

    One failed lock in this session is enough, of past sessions two that agree.
    """
    failed, seen = [], []
    for name in state.valves:
        setting = setting_range(state.opened.sheet, valve_of(state.opened.sheet, name), state.band)
        for before, after in lock_pairs(state, name):
            shift = shift_between(before, after)
            if shift is None:
                continue
            seen.append(shift)
            if setting is not None and _is_out(after, setting.band):
                failed.append(shift)
    return learned(failed, state.opened.past_shifts, seen)


def shifts_seen(state: State) -> tuple[Shift, ...]:
    """Every shift that this session's blades bracketed, for the sessions to come."""
    pairs = [pair for name in state.valves for pair in lock_pairs(state, name)]
    return tuple(s for before, after in pairs if (s := shift_between(before, after)) is not None)


def _is_out(bracket: Bracket, band: Band) -> bool:
    return bracket.low > band.high or (bracket.high is not None and bracket.high <= band.low)


def lock_pairs(state: State, name: str) -> list[tuple[Bracket, Bracket]]:
    """Brackets before and after each locking that was measured afterwards."""
    stages = state.valves[name].stages
    adjuster = state.opened.sheet.adjuster
    return [
        (_before(stages[:index], adjuster), bracket_of(counted(stage)))
        for index, stage in enumerate(stages)
        if stage.kind is StageKind.LOCKED and counted(stage)
    ]


def _before(stages: tuple[Stage, ...], adjuster: Adjuster) -> Bracket:
    """What is known just before locking: read, or reckoned from the turns since it was read.

    Where blades tried with the nut slack left one end open, the turns before them close it.
    """
    if stages[-1].kind is StageKind.TURNED and counted(stages[-1]):
        read = bracket_of(counted(stages[-1]))
        return read if read.high is not None and read.low else reckoned(stages, adjuster)
    moved = ZERO
    for stage in reversed(stages):
        if counted(stage):
            read = bracket_of(counted(stage))
            high = None if read.high is None else read.high + moved
            wide_high = None if read.wide_high is None else read.wide_high + moved
            low, wide_low = (max(ZERO, end + moved) for end in (read.low, read.wide_low))
            return Bracket(low, high, wide_low, wide_high)
        if stage.backed_off is not None:
            return OPEN  # from zero: the readings before it say nothing of where it stands
        moved += sum((gap_for(t.way, t.degrees, adjuster) for t in stage.turns), ZERO)
    return OPEN
