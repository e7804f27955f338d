"""What the locknuts of this session did, told by the readings before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchtui.domain.adjusting.before_lock import hand_error
from benchtui.domain.adjusting.lock_shift import Shift, learned, shift_between
from benchtui.domain.adjusting.turns import Way, closing_way, gap_for
from benchtui.domain.gauging.bracket import OPEN, Bracket, bracket_of
from benchtui.domain.gauging.feel import USUAL_BAND, FeelBand, bracket_by_feel
from benchtui.domain.length import ZERO, Length, lesser
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import counted, gap_of, gauged, valve_of
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.facts.valve_history import Stage, StageKind
from benchtui.domain.session.valve.before_lock import reckoned, set_on
from benchtui.domain.sheet import Adjuster, Band

LET_TURN = Length.um(40)
"""A lock that moved the gap so far was no nut's doing: the screw went round with it (design value; that
it is held while its nut is tightened is common practice)."""


@dataclass(frozen=True, slots=True)
class GapStood:
    """Where a gap stood: ``bracket`` as the blades have it, ``felt`` where drag lets one look for it.

    ``unsure`` is how far off both may be, either way, for turns that no blade has checked.
    """

    bracket: Bracket
    felt: Bracket
    unsure: Length = ZERO


def shift_known(state: State) -> Shift | None:
    """What locking is known to do on this engine, to be aimed off; None while too little is known.

    One failed lock in this session is enough, unless the screw went round with the nut; else two that
    agree, here or in past sessions.
    """
    return remembered(state, "shift known", lambda: _shift_known(state))


def _shift_known(state: State) -> Shift | None:
    failed, seen = [], []
    for name in state.valves:
        setting = setting_of(state, valve_of(state.opened.sheet, name))
        for before, after in lock_pairs(state, name):
            shift = _shift(before, after)
            if shift is None:
                continue
            seen.append(shift)
            # One that took the screw round is held the next time, so it alone is not aimed off.
            if setting is not None and _is_out(after.bracket, setting.band) and not _round(shift):
                failed.append(shift)
    return learned(failed, state.opened.past_shifts, seen)


def shifts_of(state: State, name: str) -> tuple[Shift, ...]:
    """Every shift at one valve that the blades bracketed, in the order of the lockings."""
    found = (_shift(before, after) for before, after in lock_pairs(state, name))
    return tuple(s for s in found if s is not None)


def let_turn(state: State, name: str) -> bool:
    """Whether the last locking of this valve, since measured, moved it by ``LET_TURN`` or more.

    By the middle of what the blades leave open, drag counted in; not where nothing may have moved.
    """
    stages = state.valves[name].stages
    if stages[-1].kind is not StageKind.LOCKED or not gauged(stages[-1]):
        return False
    shift = _shift(*lock_pairs(state, name)[-1])
    return shift is not None and _round(shift)


def moved_against(state: State, name: str) -> Way | None:
    """The way that was told of the last turn, where the gap has moved the other way; else None.

    By the plain brackets before that turn and after the lock, which no longer overlap; where a blade
    was tried between, it was the lock that moved it.
    """
    adjuster, stages = state.opened.sheet.adjuster, state.valves[name].stages
    if not adjuster.threaded or len(stages) < _THREE:
        return None
    before, turned, now = stages[-_THREE:]
    ways = {turn.way for turn in turned.turns}
    locked = now.kind is StageKind.LOCKED and turned.kind is StageKind.TURNED
    if not locked or len(ways) != 1 or gauged(turned) or not (gauged(before) and gauged(now)):
        return None
    (way,) = ways
    was, now_at = gap_of(before), gap_of(now)
    if way is closing_way(adjuster):
        against = was.high is not None and now_at.low >= was.high
    else:
        against = now_at.high is not None and now_at.high <= was.low
    return way if against else None


_THREE = 3
"""Stages: before a turn, turned, locked."""


def _round(shift: Shift) -> bool:
    if not shift.one_sided:
        return False
    return abs(shift.middle if shift.likely is None else shift.likely) >= LET_TURN


def shifts_seen(state: State) -> tuple[Shift, ...]:
    """Every shift that this session's blades bracketed, for the sessions to come."""
    return remembered(
        state,
        "shifts seen",
        lambda: tuple(s for name in state.valves for s in shifts_of(state, name)),
    )


def _shift(before: GapStood, after: GapStood) -> Shift | None:
    shift = shift_between(before.bracket, after.bracket, before.unsure)
    likely = shift_between(before.felt, after.felt)
    if shift is None or likely is None:
        return shift
    return replace(shift, likely=likely.middle)


def _is_out(bracket: Bracket, band: Band) -> bool:
    return bracket.low > band.high or (bracket.high is not None and bracket.high <= band.low)


def lock_pairs(state: State, name: str) -> list[tuple[GapStood, GapStood]]:
    """Where the gap stood before and after each locking that was measured afterwards."""
    valve = state.valves[name]
    adjuster = state.opened.sheet.adjuster
    hand = feel_of(state) or USUAL_BAND
    return remembered(
        valve, ("lock pairs", hand), lambda: _lock_pairs(valve.stages, adjuster, hand)
    )


def _lock_pairs(
    stages: tuple[Stage, ...], adjuster: Adjuster, hand: FeelBand
) -> list[tuple[GapStood, GapStood]]:
    return [
        (_before(stages[:index], adjuster, hand), _read(stage, hand))
        for index, stage in enumerate(stages)
        if stage.kind is StageKind.LOCKED and gauged(stage)
    ]


def _read(stage: Stage, hand: FeelBand) -> GapStood:
    """As it was read; of drag only single leaves tell, for the oil in a stack makes one worthless."""
    readings = counted(stage)
    bracket = gap_of(stage)
    if bracket.measured is not None:
        return GapStood(bracket, bracket)
    single = bracket_by_feel([r for r in readings if len(r.feeler.leaves) == 1], hand)
    stacked = bracket_of([r for r in readings if len(r.feeler.leaves) > 1])
    high = single.high if stacked.high is None else lesser(single.high, stacked.high)
    felt = Bracket(max(single.low, stacked.low), high)
    return GapStood(bracket, bracket if felt.clash else felt)


def _before(stages: Sequence[Stage], adjuster: Adjuster, hand: FeelBand) -> GapStood:
    """Just before locking: read, or reckoned from the turns since it was read.

    Where blades tried with the nut slack left one end open, the turns before them close it.
    """
    if stages[-1].kind is StageKind.TURNED and gauged(stages[-1]):
        read = _read(stages[-1], hand)
        if read.bracket.high is not None and read.bracket.low:
            return read
        here = reckoned(tuple(stages), adjuster)  # it has the hand's own error in it
        return GapStood(here, here)
    moved = unsure = ZERO
    for stage in reversed(stages):
        if stage.held is not None and not gauged(stage):
            here = set_on(stage.held)
            return GapStood(_moved(here, moved), _moved(here, moved), unsure)
        if gauged(stage):
            read = _read(stage, hand)
            return GapStood(_moved(read.bracket, moved), _moved(read.felt, moved), unsure)
        no_reckoning = bool(stage.turns) and (not adjuster.reckoned)
        if stage.backed_off is not None or no_reckoning:
            break  # from zero: the readings before it say nothing of where it stands
        moved += sum((gap_for(t.way, t.degrees, adjuster) for t in stage.turns), ZERO)
        if stage.turns:
            unsure += hand_error(adjuster) * len(stage.turns)
    return GapStood(OPEN, OPEN)


def _moved(read: Bracket, by: Length) -> Bracket:
    """As the turns have moved it; one from zero stays open below, wherever it was moved to."""
    if not read.low:
        return OPEN
    high = None if read.high is None else read.high + by
    wide_high = None if read.wide_high is None else read.wide_high + by
    low, wide_low = (max(ZERO, end + by) for end in (read.low, read.wide_low))
    return Bracket(low, high, wide_low, wide_high)
