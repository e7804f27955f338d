"""What the stored sessions of one engine say about its next check, wear included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from fractions import Fraction
from typing import Protocol, TypeVar

from benchtui.domain.history.due import Due, next_due
from benchtui.domain.history.due_notice import notice
from benchtui.domain.history.limits import WearNotice
from benchtui.domain.history.slopes import Seen
from benchtui.domain.history.usage import Meter, Point, Usage, unrolled
from benchtui.domain.history.wear import ValveCheck, Wear, wear_through
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, Sheet


@dataclass(frozen=True, slots=True)
class Course:
    """One valve over time: its runs, oldest first, and the band that they are held against."""

    valve: str
    runs: tuple[Wear, ...]
    band: Band

    @property
    def last(self) -> Wear:
        """The run since the valve was last set."""
        return self.runs[-1]


class Visit(Protocol):
    """A session as far as the calendar and the counters go: a record, or a line of the register."""

    @property
    def session(self) -> str:
        """Its id."""

    @property
    def started(self) -> datetime:
        """When it began."""

    @property
    def odometer_km(self) -> Fraction | None:
        """What the odometer read."""

    @property
    def hours(self) -> Fraction | None:
        """What the hour meter read."""

    @property
    def complete(self) -> bool:
        """Whether it counts as a check."""

    @property
    def counts(self) -> bool:
        """Whether it says anything of the engine: neither practice nor set aside."""


V = TypeVar("V", bound=Visit)

LATEST = 60
"""So many sessions back say what is due: the work grows with the square of them, and more than this
were never at one setting of an engine that is looked after (design value)."""


@dataclass(frozen=True, slots=True)
class Worn:
    """What the checks of one engine say of its wear, whatever the day.

    ``notice`` is that of the valve that may meet its limit first. A bracket that touches the limit
    says "may be there already" at every check; that is told in ``there_already`` and moves no date.
    """

    notice: WearNotice | None = None
    there_already: tuple[str, ...] = ()


def outlook(sheet: Sheet, records: Sequence[SessionRecord], today: date) -> Due | None:
    """When the next check is due, by the sheet's interval and by wear; None without an interval.

    Args:
        sheet: the engine's, as it stands now.
        records: its sessions in any order; practice ones and those set aside count for nothing,
            partial ones only for what the counters read.
        today: the day it is asked.
    """
    return outlook_of(sheet, records, worn(records), today)


def outlook_of(sheet: Sheet, visits: Sequence[Visit], worn: Worn, today: date) -> Due | None:
    """The same where the wear was worked out before, so that no record need be read again."""
    if sheet.interval is None:
        return None
    mine = real(visits)
    usages = tuple(usage_of(v) for v in mine)
    checks = [v for v in mine if v.complete]
    last = usage_of(checks[-1]) if checks else None
    due = next_due(sheet.interval, last, Usage(today), usages, wear=worn.notice)
    return replace(due, notes=(*due.notes, *worn.there_already))


def real(visits: Sequence[V]) -> list[V]:
    """The sessions at the engine itself, oldest first."""
    return sorted((v for v in visits if v.counts), key=lambda v: (v.started, v.session))


def usage_of(visit: Visit) -> Usage:
    """What the counters read on the day of a session."""
    return Usage(visit.started.date(), visit.odometer_km, visit.hours)


def courses(records: Sequence[SessionRecord], meter: Meter) -> tuple[Course, ...]:
    """Each valve's runs over this counter, from the complete checks that read it.

    x is ``Point.done``: what was done since the first reading known, replaced counters joined up.
    """
    mine = real(records)
    places = _places(mine, meter)
    checks = [r for r in mine if r.complete and r.session in places]
    names = dict.fromkeys(v.name for r in checks for v in r.valves)
    found = []
    for name in names:
        seen = [(places[r.session].done, v) for r in checks for v in r.valves if v.name == name]
        bands = [v.setting for _, v in seen if v.setting is not None]
        runs = wear_through((_check(x, v) for x, v in seen), bands[-1]) if bands else ()
        if runs:
            found.append(Course(name, runs, bands[-1]))
    return tuple(found)


def meter_of(records: Sequence[SessionRecord]) -> Meter | None:
    """The counter that most of the complete checks read; None where none did."""
    checks = [usage_of(r) for r in real(records) if r.complete]
    read = {m: sum(u.of(m) is not None for u in checks) for m in Meter}
    best = max(Meter, key=lambda m: read[m])
    return best if read[best] else None


def _places(records: Sequence[SessionRecord], meter: Meter) -> dict[str, Point]:
    """Where each session that read the counter stands on it."""
    read = [r for r in records if usage_of(r).of(meter) is not None]
    points = unrolled([usage_of(r) for r in read], meter)
    return {r.session: p for r, p in zip(read, points, strict=True)}


def _check(x: Fraction, valve: ValveRecord) -> ValveCheck:
    return ValveCheck(_seen(x, valve.found), _seen(x, valve.left) if valve.touched else None)


def _seen(x: Fraction, gauged: Gauged | None) -> Seen | None:
    """Plain brackets: the same blades gauge from check to check, and their errors with them."""
    if gauged is None or gauged.bracket.clash:
        return None
    return Seen.of(x, gauged.bracket)


def worn(records: Sequence[SessionRecord]) -> Worn:
    """What the latest checks of one engine say of its wear; records in any order."""
    mine = real(records)[-LATEST:]
    meter = meter_of(mine)
    if meter is None:
        return Worn()
    told = [c for c in courses(mine, meter) if c.last.forecast is not None]
    ahead = {c.valve: (c.last, c.band) for c in told if not _reached(c.last)}
    notes = tuple(
        f"{c.valve} is {c.last.trend.value} and its bracket reaches the limit: gauge it finer."
        for c in told
        if _reached(c.last)
    )
    points = list(_places(mine, meter).values())
    return Worn(notice(ahead, points[-1], meter) if ahead else None, notes)


def _reached(wear: Wear) -> bool:
    return wear.forecast is not None and wear.forecast.earliest <= wear.run.seen[-1].x
