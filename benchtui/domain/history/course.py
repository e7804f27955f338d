"""One valve over time: what every session saw of it, laid over what the engine had done by then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Protocol, TypeVar

from benchtui.domain.gauging.felt import Felt
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.history.slopes import Seen
from benchtui.domain.history.usage import Meter, Point, Usage, place_on, unrolled
from benchtui.domain.history.wear import ValveCheck, Wear, wear_through
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, GapRole, Sheet, ValveKind, setting_range


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


@dataclass(frozen=True, slots=True)
class Course:
    """One valve over time: its runs, oldest first, and the band that they are held against.

    ``band`` is today's. ``before`` is the one that the last session judged by, where that was another.
    ``out`` counts the checks that found it out of the range of that day; ``fine`` is how many
    checks ago its bracket was as narrow as ``FINE`` parts of the range, None where never.
    """

    valve: str
    runs: tuple[Wear, ...]
    band: Band
    kind: ValveKind = ValveKind.INLET
    role: GapRole = GapRole.OPENER
    before: Band | None = None
    out: int = 0
    fine: int | None = None

    @property
    def last(self) -> Wear:
        """The run since the valve was last set."""
        return self.runs[-1]


FINE = Fraction(3, 10)
"""A bracket no wider than this part of the range shows a drift before it has gone through the range
(design value; measured in tests/simulation/wear_lives.py)."""


def real(visits: Sequence[V]) -> list[V]:
    """The sessions at the engine itself, oldest first."""
    return sorted((v for v in visits if v.counts), key=lambda v: (v.started, v.session))


def usage_of(visit: Visit) -> Usage:
    """What the counters read on the day of a session."""
    return Usage(visit.started.date(), visit.odometer_km, visit.hours)


def meter_of(visits: Sequence[Visit]) -> Meter | None:
    """The counter that most of the sessions read; None where none did."""
    usages = [usage_of(v) for v in real(visits)]
    read = {m: sum(u.of(m) is not None for u in usages) for m in Meter}
    best = max(Meter, key=lambda m: read[m])
    return best if read[best] else None


def points_of(visits: Sequence[Visit], meter: Meter) -> tuple[Point, ...]:
    """What the counter read, session by session."""
    return unrolled([usage_of(v) for v in real(visits)], meter)


def courses(
    records: Sequence[SessionRecord], meter: Meter, sheet: Sheet | None = None
) -> tuple[Course, ...]:
    """Each valve's runs over this counter, from every session, partial ones too.

    x is ``Point.done``: what was done since the first reading known, replaced counters joined up. A
    session that did not read the counter is put where its day falls between those that did.

    Args:
        records: one engine's sessions in any order.
        meter: the counter.
        sheet: today's, whose limits the valves are judged by; without it those of the last session.
    """
    mine = real(records)
    places = _places(mine, meter)
    names = dict.fromkeys(v.name for r in mine for v in r.valves)
    found = []
    for name in names:
        seen = [(places[r.session], v) for r in mine for v in r.valves if v.name == name]
        band, before = _bands(name, [v for _, v in seen], sheet)
        if band is None:
            continue
        runs = wear_through((_check(x, v) for x, v in seen), band)
        if not runs:
            continue
        last = seen[-1][1]
        found.append(
            Course(
                name,
                runs,
                band,
                last.kind,
                last.role,
                before,
                sum(_was_out(v) for _, v in seen),
                _fine_ago([v for _, v in seen if v.found is not None], band),
            )
        )
    return tuple(found)


def sisters(all_courses: Sequence[Course]) -> tuple[tuple[Course, ...], ...]:
    """The valves of each kind and role together."""
    kinds = dict.fromkeys((c.kind, c.role) for c in all_courses)
    return tuple(tuple(c for c in all_courses if (c.kind, c.role) == k) for k in kinds)


def _bands(
    name: str, seen: Sequence[ValveRecord], sheet: Sheet | None
) -> tuple[Band | None, Band | None]:
    """Today's band, and the last session's where it differs."""
    judged = [v for v in seen if v.setting is not None]
    last = judged[-1].setting if judged else None
    valve = None if sheet is None else sheet.layout.valve(name)
    if sheet is None or valve is None:
        return last, None
    owners = judged[-1].tolerance if judged and judged[-1].owners_band else None
    today = setting_range(sheet, valve, owners)
    if today is None:
        return None, last
    return today.band, last if last != today.band else None


def _places(records: Sequence[SessionRecord], meter: Meter) -> dict[str, Fraction]:
    """Where each session stands on the counter."""
    points = points_of(records, meter)
    read = [r for r in records if usage_of(r).of(meter) is not None]
    told = {r.session: p.done for r, p in zip(read, points, strict=True)}
    return {
        r.session: told[r.session] if r.session in told else place_on(points, r.started.date())
        for r in records
    }


def _check(x: Fraction, valve: ValveRecord) -> ValveCheck:
    if not valve.touched:
        return ValveCheck(_seen(x, valve.found, valve.felt_found))
    left = _seen(x, valve.left, valve.felt_left) if valve.read_after else None
    found = _seen(x, valve.found, valve.felt_found)
    return ValveCheck(found, left, was_set=True, moved=valve.moved)


def _seen(x: Fraction, gauged: Gauged | None, felt: tuple[Felt, ...]) -> Seen | None:
    """Widened brackets: what they prove holds whatever each blade's own error is.

    What was read without a verdict, in warm metal or at an unsure crank, says nothing of wear.
    """
    if gauged is None or gauged.bracket.clash:
        return None
    if gauged.verdict.kind is VerdictKind.NONE and not felt:
        return None
    return Seen.of(x, gauged.bracket, widened=True, felt=felt)


def _was_out(valve: ValveRecord) -> bool:
    return valve.found is not None and valve.found.verdict.kind in {
        VerdictKind.TIGHT,
        VerdictKind.WIDE,
    }


def _fine_ago(checks: Sequence[ValveRecord], band: Band) -> int | None:
    """How many checks ago it was read finely, as found or as left; 0 is the last one."""
    enough = fine_enough(band)
    for ago, valve in enumerate(reversed(checks)):
        brackets = [g.bracket for g in (valve.found, valve.left) if g is not None]
        if any(b.width is not None and not b.clash and b.width <= enough for b in brackets):
            return ago
    return None


def fine_enough(band: Band) -> Length:
    """How narrow a bracket has to be for a finer reading."""
    return band.width.scaled(FINE)
