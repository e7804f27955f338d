"""What the past checks of an engine teach a new one; frozen into its opening."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.screw_fit import ScrewRun
from benchtui.domain.history.drift import Drift, drifts_since
from benchtui.domain.history.usage import Usage
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import BandChosen, FigureChosen, FittedLast, LeftLast
from benchtui.domain.session.valve.sheet_runs import carried, thread_of
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Adjuster, Sheet

PAST_SHIFTS = 20
"""So many of the latest lock shifts are carried into a new session."""


@dataclass(frozen=True, slots=True)
class Taught:
    """What a new check is told; the fields are those of ``Opened``."""

    left_last: tuple[LeftLast, ...] = ()
    fitted_last: tuple[FittedLast, ...] = ()
    past_shifts: tuple[Shift, ...] = ()
    past_runs: tuple[ScrewRun, ...] = ()
    left_slack: tuple[str, ...] = ()
    by_blade: bool | None = None
    band: Length | None = None
    on_figure: bool = False


def taught(records: list[SessionRecord], now: Usage, sheet: Sheet) -> Taught:
    """What these records of one engine, oldest first, teach a check that begins now.

    What its locknuts and its turns did counts only of sessions whose sheet had the adjuster as
    it is now: another kind of nut, or another pitch to reckon by, tells of other locks.
    """
    adjuster = sheet.adjuster
    past = [r for r in records if r.complete]
    counting = [r for r in reversed(records) if r.counts]
    single = single_judged(records, sheet)
    return Taught(
        left_last=_left_last(past, drifts_since(records, now)),
        fitted_last=_fitted_last(records),
        past_shifts=_shifts(records, adjuster)[-PAST_SHIFTS:],
        past_runs=carried(records, adjuster),
        left_slack=_left_slack(records),
        by_blade=next((r.by_blade for r in counting if r.by_blade is not None), None),
        band=single.tolerance if isinstance(single, BandChosen) else None,
        on_figure=isinstance(single, FigureChosen),
    )


def single_judged(records: list[SessionRecord], sheet: Sheet) -> BandChosen | FigureChosen | None:
    """How its owner had single figures judged the last time; None where nobody chose.

    A band that stands on the sheet is the later word, and holds until another is chosen in a check.
    """
    if sheet.clearances.owner_band is not None:
        return None
    counting = [r for r in reversed(records) if r.counts]
    last = next((r for r in counting if r.on_figure or r.band is not None), None)
    if last is None or last.on_figure:
        return None if last is None else FigureChosen()
    return None if last.band is None else BandChosen(last.band)


def _left_slack(records: list[SessionRecord]) -> tuple[str, ...]:
    """The locknuts that the last session left slack, complete or not."""
    last = next((r for r in reversed(records) if r.counts), None)
    return () if last is None else last.slack


def _shifts(records: list[SessionRecord], adjuster: Adjuster) -> tuple[Shift, ...]:
    """Every lock that was measured counts, those of a check that was broken off too."""
    same = thread_of(adjuster)
    kept = [r for r in records if r.thread == same and r.counts]
    return tuple(shift for record in kept for shift in record.shifts)


def _left_last(past: list[SessionRecord], drifts: dict[str, Drift]) -> tuple[LeftLast, ...]:
    """What the last complete check left at each valve, and how far it has moved since."""
    if not past:
        return ()
    gauged = [(v.name, v.left.bracket) for v in past[-1].valves if v.left is not None]
    return tuple(
        LeftLast(name, b.low, b.high, *drifts.get(name, (None, None)))
        for name, b in gauged
        if not b.clash
    )


def _fitted_last(records: list[SessionRecord]) -> tuple[FittedLast, ...]:
    """The shim that each valve was left with, whenever it was last told, checks and partial ones alike."""
    known: dict[str, FittedLast] = {}
    for record in (r for r in records if r.counts):
        for valve in record.valves:
            if valve.shim_left is not None:
                left = FittedLast(valve.name, valve.shim_left, valve.shim_left_measured)
                known[valve.name] = left
    return tuple(known.values())
