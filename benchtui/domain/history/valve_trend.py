"""What the past checks of an engine find about each valve: how it drifts, and when it may be out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from benchtui.domain.history.engine_trend import Course, courses, meter_of, real, usage_of
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Meter, Point, reached_on, unrolled
from benchtui.domain.history.wear import Forecast, apart, likely_cause
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import GapRole, Sheet, ValveKind


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where the limit may be met.

    ``done`` as the runs count it, ``reads`` what the counter will read then, ``on`` the day,
    ``foretold`` where only the rate of use says so.
    """

    done: Fraction
    reads: Fraction
    on: date | None
    foretold: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One valve: its course, and when its limit may be met at the earliest and at the latest.

    ``earliest`` is None where nothing is foretold; ``latest`` None there or where it may be never.
    ``there_already``: the last bracket reaches the limit. ``passed``: the counter has gone beyond the
    earliest since then. ``horizon`` is how far ahead the
    forecast is worth drawing.
    """

    course: Course
    kind: ValveKind
    role: GapRole
    earliest: Meeting | None
    latest: Meeting | None
    there_already: bool
    passed: bool
    cause: str
    horizon: Meeting


@dataclass(frozen=True, slots=True)
class Findings:
    """All valves of an engine over one counter. ``meter`` is None where no check read one.

    ``points`` are the counter's readings; ``apart`` names valves whose drift is proved to differ
    from that of all their siblings.
    """

    meter: Meter | None
    points: tuple[Point, ...]
    valves: tuple[Finding, ...]
    apart: tuple[str, ...] = ()

    def siblings(self, of: Finding) -> tuple[Finding, ...]:
        """The valves of the same kind and role, itself among them."""
        return tuple(f for f in self.valves if (f.kind, f.role) == (of.kind, of.role))


def findings(sheet: Sheet, records: Sequence[SessionRecord]) -> Findings:
    """What the checks say of every valve that the sheet still has, in the sheet's order."""
    meter = meter_of(records)
    if meter is None:
        return Findings(None, (), ())
    points = unrolled([usage_of(r) for r in real(records)], meter)
    by_name = {c.valve: c for c in courses(records, meter)}
    found = tuple(
        _finding(by_name[v.name], v.kind, v.role, points)
        for v in sheet.layout.valves
        if v.name in by_name
    )
    return Findings(meter, points, found, _apart(found))


def _finding(course: Course, kind: ValveKind, role: GapRole, points: tuple[Point, ...]) -> Finding:
    last = course.last
    place = last.run.seen[-1].x
    told = last.forecast
    earliest = None if told is None else _meeting(told.earliest, points)
    latest = None if told is None or told.latest is None else _meeting(told.latest, points)
    return Finding(
        course=course,
        kind=kind,
        role=role,
        earliest=earliest,
        latest=latest,
        there_already=told is not None and told.earliest <= place,
        passed=told is not None and told.earliest <= points[-1].done,
        cause=likely_cause(last.trend, role),
        horizon=_meeting(_horizon(course, told, place), points),
    )


def _meeting(done: Fraction, points: tuple[Point, ...]) -> Meeting:
    day = reached_on(points, done)
    on, foretold = day if day is not None else (None, False)
    latest = points[-1]
    return Meeting(done, latest.read + done - latest.done, on, foretold)


def _horizon(course: Course, told: Forecast | None, place: Fraction) -> Fraction:
    """As far ahead as the history reaches back, farther only to take the limit's meeting in."""
    span = place - course.runs[0].run.seen[0].x
    ahead = place + span
    if told is None or told.earliest <= place:
        return ahead
    met = told.earliest if told.latest is None else told.latest
    return min(max(ahead, met), place + 3 * max(span, told.earliest - place))


def _apart(found: tuple[Finding, ...]) -> tuple[str, ...]:
    named: list[str] = []
    for kind in {(f.kind, f.role): None for f in found}:
        slopes: dict[str, Slope] = {
            f.course.valve: f.course.last.slope
            for f in found
            if (f.kind, f.role) == kind and f.course.last.slope is not None
        }
        named += apart(slopes)
    return tuple(named)
