"""Whether the screws of this engine moved their gaps as the sheet says they would."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from benchtui.domain.adjusting.screw_check import ScrewFinding, Turned, check_screw, looks_of
from benchtui.domain.adjusting.screw_fit import Run, excludes
from benchtui.domain.adjusting.turns import closing_way, gap_per_turn
from benchtui.domain.gauging.bracket import Bracket, bracket_of
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.facts.events import ScrewTurned
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind
from benchtui.domain.session.valve.lock_shift import shift_known
from benchtui.domain.session.valve.sheet_runs import runs_seen
from benchtui.domain.sheet import Adjuster

NUT = Length.um(35)
"""So much may working the locknut move the gap by itself, where nothing is learned (design value)."""


def screw_finding(state: State) -> ScrewFinding | None:
    """What all turns of this session say of the sheet, each by itself; None where nothing can be told."""
    adjuster = state.opened.sheet.adjuster
    if not adjuster.turned or adjuster.pitch is None:
        return None
    return check_screw(turns_seen(state), adjuster)


def pooled_finding(state: State) -> ScrewFinding | None:
    """The doubt that the turns of this session and past ones raise together; None where they do not."""
    return _pooled(state, (*state.opened.past_runs, *runs_seen(state)))


def doubted_at(state: State) -> str | None:
    """The valve of this session whose turn raised that doubt; None where past sessions had raised it."""
    past, here = state.opened.past_runs, runs_seen(state)
    if _pooled(state, past) is not None:
        return None
    counts = range(1, len(here) + 1)
    return next((here[n - 1].valve for n in counts if _pooled(state, (*past, *here[:n]))), None)


def _pooled(state: State, runs: tuple[Run, ...]) -> ScrewFinding | None:
    adjuster = state.opened.sheet.adjuster
    if not adjuster.turned or adjuster.pitch is None:
        return None
    expected = gap_per_turn(adjuster)
    seen = excludes(runs, expected)
    if seen is None:
        return None
    return ScrewFinding(
        expected,
        seen,
        fits=False,
        looks=looks_of(seen, expected, adjuster),
        turns=sum(step.times for run in runs for step in run.steps),
        sessions=len({run.session for run in runs}),
    )


def turns_seen(state: State) -> list[Turned]:
    """Every turn that was gauged before and after, valve by valve."""
    nut = _nut(state)
    adjuster = state.opened.sheet.adjuster
    return [t for valve in state.valves.values() for t in _of_valve(valve.stages, adjuster, nut)]


def _nut(state: State) -> Length:
    shift = shift_known(state)
    return NUT if shift is None else max(NUT, abs(shift.low), abs(shift.high))


@dataclass(slots=True)
class _Since:
    """What was done at a valve since it was gauged ``at``; ``locks`` counts the lockings."""

    at: Bracket
    slack: bool
    made: list[ScrewTurned] = field(default_factory=list)
    locks: int = 0


def _of_valve(stages: tuple[Stage, ...], adjuster: Adjuster, nut: Length) -> list[Turned]:
    """Each bracket against the last one before it, and while that is open against those before too."""
    found: list[Turned] = []
    since: list[_Since] = []
    for stage in stages:
        if stage.backed_off is not None:  # how far it went to zero nobody knows
            since = []
        slack = stage.kind is StageKind.TURNED
        for start in since:
            start.made += stage.turns
            start.locks += stage.kind is StageKind.LOCKED
        if not counted(stage):
            continue
        here = _widened(bracket_of(counted(stage)))
        found += [_turned(start, adjuster, here, slack, nut) for start in since if start.made]
        if here.high is not None and here.low > ZERO:
            since = []
        since.append(_Since(here, slack))
    return found


def _widened(bracket: Bracket) -> Bracket:
    """With each blade's error against us: a sheet is not doubted for what the blades may be off."""
    if bracket.high is None or bracket.wide_high is None:
        return replace(bracket, low=bracket.wide_low)
    return replace(bracket, low=bracket.wide_low, high=bracket.wide_high)


def _turned(start: _Since, adjuster: Adjuster, here: Bracket, slack: bool, nut: Length) -> Turned:
    closing = closing_way(adjuster)
    net = sum((t.degrees if t.way is closing else -t.degrees for t in start.made), Fraction(0))
    # A nut that is slackened, or tightened, or both ends in the other state once; each locking anew.
    worked = start.locks or int(start.slack is not slack)
    return Turned(net > 0, abs(net), start.at, here, nut * worked, len(start.made))
