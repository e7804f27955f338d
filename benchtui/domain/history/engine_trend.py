"""What the stored sessions of one engine say about its next check, and where wear wants a look."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.felt import Felt
from benchtui.domain.history.course import (
    Course,
    Visit,
    courses,
    meter_of,
    points_of,
    real,
    sisters,
    usage_of,
)
from benchtui.domain.history.due import Due, next_due
from benchtui.domain.history.due_notice import LimitAhead, ahead, notice, scale_of
from benchtui.domain.history.estimate import Estimate, estimates
from benchtui.domain.history.left_out import LeftOut, left_out
from benchtui.domain.history.likelihood import HAND
from benchtui.domain.history.limits import WearNotice
from benchtui.domain.history.usage import Usage
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Band, Sheet

LATEST = 30
"""So many sessions back say what is due: the work grows with the square of them, and more than this
were never at one setting of an engine that is looked after (design value)."""


@dataclass(frozen=True, slots=True)
class Worn:
    """What the checks of one engine say of its wear, whatever the day.

    ``notice`` is that of the valve that is likely to meet its limit first. A bracket that touches the
    limit of a proved drift says "may be there already" at every check; that is told in
    ``there_already``. ``bands`` are the limits that it was worked out by. ``was_set``: something was set at
    the last check.
    """

    notice: WearNotice | None = None
    there_already: tuple[str, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    bands: tuple[tuple[str, Band], ...] = ()
    was_set: bool = False

    def judged_by(self, sheet: Sheet) -> bool:
        """Whether the sheet still has these limits; a band of the owner's own is taken to hold."""
        for name, band in self.bands:
            valve = sheet.layout.valve(name)
            if valve is None:
                continue
            printed = sheet.clearances.of(valve)
            if printed != band and not (printed.single and band.low <= printed.low <= band.high):
                return False
        return True


def outlook(sheet: Sheet, records: Sequence[SessionRecord], today: date) -> Due | None:
    """When the next check is due by the sheet's interval, and what wear asks; None without an interval.

    Args:
        sheet: the engine's, as it stands now.
        records: its sessions in any order; practice ones and those set aside count for nothing,
            partial ones for wear and for what the counters read, but not as a check.
        today: the day it is asked.
    """
    return outlook_of(sheet, records, worn(records, sheet), today)


def outlook_of(sheet: Sheet, visits: Sequence[Visit], worn: Worn, today: date) -> Due | None:
    """The same where the wear was worked out before, so that no record need be read again."""
    if sheet.interval is None:
        return None
    mine = real(visits)
    usages = tuple(usage_of(v) for v in mine)
    checks = [v for v in mine if v.complete]
    last = usage_of(checks[-1]) if checks else None
    due = next_due(
        sheet.interval, last, Usage(today), usages, wear=worn.notice, was_set=worn.was_set
    )
    return replace(due, notes=(*due.notes, *worn.there_already), left_out=worn.left_out)


def worn(records: Sequence[SessionRecord], sheet: Sheet | None = None) -> Worn:
    """What the latest sessions of one engine say of its wear; records in any order."""
    mine = real(records)[-LATEST:]
    meter = meter_of(mine)
    out = left_out(mine)
    if meter is None:
        return Worn(left_out=out, was_set=was_set(mine))
    found = courses(mine, meter, sheet)
    bands = tuple((c.valve, c.band) for c in found)
    estimated = estimated_of(found, only_claims=True)
    on_their_way: dict[str, LimitAhead] = {}
    notes = []
    for course in found:
        told = ahead(course, estimated.get(course.valve))
        if told is None:
            continue
        if not told.estimated and told.first <= course.last.run.seen[-1].x:
            doing = course.last.trend.value
            notes.append(
                f"{course.valve} is {doing} and its bracket reaches the limit: gauge it finer."
            )
            continue
        on_their_way[course.valve] = told
    latest = points_of(mine, meter)[-1]
    return Worn(notice(on_their_way, latest, meter), tuple(notes), out, bands, was_set(mine))


def was_set(records: Sequence[SessionRecord]) -> bool:
    """Whether something was set at the last complete check; records in the order of time."""
    last = next((r for r in reversed(records) if r.complete), None)
    return last is not None and any(v.touched for v in last.valves)


def estimated_of(found: Sequence[Course], *, only_claims: bool = False) -> Mapping[str, Estimate]:
    """An estimate for each valve, by kinds; none where no valve of a kind was gauged at two places.

    ``only_claims`` leaves out a kind in which one level line passes each run of each valve with room
    to spare, for there no drift can be claimed: most engines at most times, and it costs nothing.
    """
    told: dict[str, Estimate] = {}
    for kind in sisters(found):
        scale = scale_of(kind)
        if scale is None or (only_claims and all(_level(c) for c in kind)):
            continue
        told.update(estimates({c.valve: [w.run for w in c.runs] for c in kind}, scale))
    return told


def _level(course: Course) -> bool:
    """Whether a gap that never moved fits every run by the plain thicknesses.

    Not where a setting links two runs: what it moved may show a drift.
    """
    for k, told in enumerate(course.runs):
        if k and told.run.moved is not None:
            return False
        ends = [_ends(f) for s in told.run.seen for f in s.felt]
        lows = [low for low, _ in ends if low is not None]
        highs = [high for _, high in ends if high is not None]
        if lows and highs and max(lows) >= min(highs):
            return False
    return True


def _ends(one: Felt) -> tuple[int | None, int | None]:
    """Between what the gap lies by one answer, in nanometres, a drag as the usual hand feels it."""
    if one.answer is Answer.REFUSES:
        return None, one.nominal.nm
    top = (one.nominal + HAND.ceiling).nm if one.answer is Answer.DRAG else None
    return one.nominal.nm, top
