"""Whether the screws of this engine moved their gaps as the sheet says they would."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.adjusting.screw_check import ScrewFinding, looks_of
from benchtui.domain.adjusting.screw_fit import ScrewRun, excluded_by_one, excludes
from benchtui.domain.adjusting.turns import gap_per_turn
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.lock_shift import shift_known
from benchtui.domain.session.valve.sheet_runs import runs_seen
from benchtui.domain.sheet import Adjuster

NUT = Length.um(35)
"""So much may working the locknut move the gap by itself, where nothing is learned (design value)."""


def turn_finding(state: State, name: str) -> ScrewFinding | None:
    """What one turn at this valve shows by itself, where the sheet cannot be right; else None."""
    adjuster = state.opened.sheet.adjuster
    expected = _expected(adjuster)
    if expected is None:
        return None
    nut = _nut(state)
    spans = [excluded_by_one(r, expected, nut) for r in runs_seen(state) if r.valve == name]
    seen = next((span for span in reversed(spans) if span is not None), None)
    if seen is None:
        return None
    return ScrewFinding(expected, seen, looks_of(seen, expected, adjuster))


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


def _pooled(state: State, runs: tuple[ScrewRun, ...]) -> ScrewFinding | None:
    adjuster = state.opened.sheet.adjuster
    expected = _expected(adjuster)
    seen = None if expected is None else excludes(runs, expected)
    if expected is None or seen is None:
        return None
    return ScrewFinding(
        expected,
        seen,
        looks_of(seen, expected, adjuster),
        turns=sum(step.times for run in runs for step in run.steps),
        sessions=len({run.session for run in runs}),
    )


def _expected(adjuster: Adjuster) -> Fraction | None:
    """Nanometres a turn by the sheet; None where it has no thread, or no pitch."""
    return gap_per_turn(adjuster) if adjuster.reckoned else None


def _nut(state: State) -> Length:
    shift = shift_known(state)
    return NUT if shift is None else max(NUT, abs(shift.low), abs(shift.high))
