"""What the past checks of an engine find about each valve: how it drifts, and when it may be out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from benchtui.domain.history.course import Course, courses, meter_of, points_of, real, usage_of
from benchtui.domain.history.due_notice import LimitAhead, ahead
from benchtui.domain.history.engine_trend import estimated_of
from benchtui.domain.history.estimate import Estimate
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Meter, Point, reached_on
from benchtui.domain.history.wear import ProvedTrend, apart, likely_cause
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import GapRole, Sheet, ValveKind


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where the limit may be met.

    ``done`` as the runs count it, ``reads`` what the counter will read then, ``on`` the day.
    """

    done: Fraction
    reads: Fraction
    on: date | None


@dataclass(frozen=True, slots=True)
class Expected:
    """Where the estimate sees ``limit`` met: from ``first`` to ``last``.

    It is as likely before ``likely`` as after; these two are None where it may be never.
    """

    limit: Length
    first: Meeting
    likely: Meeting | None
    last: Meeting | None


@dataclass(frozen=True, slots=True)
class Reach:
    """Between what the gap lies by the estimate, at the last look and at the horizon."""

    now: tuple[Length, Length]
    then: tuple[Length, Length]


@dataclass(frozen=True, slots=True)
class ValveTrend:
    """One valve: its course, and when its limit may be met at the earliest and at the latest.

    What is proved: ``earliest`` is None where nothing is foretold; ``latest`` None there or where it
    may be never. ``there_already``: the last bracket reaches the limit. ``passed``: the counter has
    gone beyond the earliest since then. What is estimated: ``estimate``, None where nothing was
    gauged at two places; ``expected`` and ``reach`` where it claims a drift. ``horizon`` is how far
    ahead the forecast is drawn, at most as far as the history reaches back.
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
    estimate: Estimate | None = None
    expected: Expected | None = None
    reach: Reach | None = None

    @property
    def estimated(self) -> ProvedTrend:
        """The drift that the estimate claims; NONE where it claims none."""
        return ProvedTrend.NONE if self.estimate is None else self.estimate.trend


@dataclass(frozen=True, slots=True)
class Findings:
    """All valves of an engine over one counter. ``meter`` is None where no check read one.

    ``points`` are the counter's readings; ``apart`` names valves whose drift is proved to differ
    from that of all their siblings. ``unread`` are the days of checks that did not read the counter: they
    are put where their day falls.
    """

    meter: Meter | None
    points: tuple[Point, ...]
    valves: tuple[ValveTrend, ...]
    apart: tuple[str, ...] = ()
    unread: tuple[date, ...] = ()

    def siblings(self, of: ValveTrend) -> tuple[ValveTrend, ...]:
        """The valves of the same kind and role, itself among them."""
        return tuple(f for f in self.valves if (f.kind, f.role) == (of.kind, of.role))


def findings(sheet: Sheet, records: Sequence[SessionRecord]) -> Findings:
    """What the checks say of every valve that the sheet still has, in the sheet's order."""
    meter = meter_of(records)
    if meter is None:
        return Findings(None, (), ())
    points = points_of(records, meter)
    every = courses(records, meter, sheet)
    by_name = {c.valve: c for c in every}
    estimated = estimated_of(every)
    found = tuple(
        _finding(by_name[v.name], v.kind, v.role, points, estimated.get(v.name))
        for v in sheet.layout.valves
        if v.name in by_name
    )
    unread = [u.on for r in real(records) if (u := usage_of(r)).of(meter) is None]
    return Findings(meter, points, found, _apart(found), tuple(unread))


def _finding(
    course: Course,
    kind: ValveKind,
    role: GapRole,
    points: tuple[Point, ...],
    estimate: Estimate | None,
) -> ValveTrend:
    last = course.last
    place = last.run.seen[-1].x
    told = last.forecast
    earliest = None if told is None else _meeting(told.earliest, points)
    latest = None if told is None or told.latest is None else _meeting(told.latest, points)
    expected = _expected(ahead(course, estimate), points)
    horizon = _horizon(course, expected, told.earliest if told is not None else None)
    claimed = last.trend
    if claimed in {ProvedTrend.TOO_FEW, ProvedTrend.NONE} and estimate is not None:
        claimed = estimate.trend
    return ValveTrend(
        course=course,
        kind=kind,
        role=role,
        earliest=earliest,
        latest=latest,
        there_already=told is not None and told.earliest <= place,
        passed=told is not None and told.earliest <= points[-1].done,
        cause=likely_cause(claimed, role),
        horizon=_meeting(horizon, points),
        estimate=estimate,
        expected=expected,
        reach=_reach(estimate, place, horizon) if expected is not None else None,
    )


def _expected(told: LimitAhead | None, points: tuple[Point, ...]) -> Expected | None:
    if told is None or not told.estimated:
        return None
    return Expected(
        told.limit,
        _meeting(told.first, points),
        None if told.likely is None else _meeting(told.likely, points),
        None if told.last is None else _meeting(told.last, points),
    )


def _reach(estimate: Estimate | None, place: Fraction, horizon: Fraction) -> Reach | None:
    if estimate is None:
        return None
    now, then = (_lengths(estimate.gap(float(x))) for x in (place, horizon))
    return Reach(now, then)


def _lengths(ends: tuple[float, float]) -> tuple[Length, Length]:
    low, high = (Length(max(0, round(end))) for end in ends)
    return low, high


def _meeting(done: Fraction, points: tuple[Point, ...]) -> Meeting:
    day = reached_on(points, done)
    latest = points[-1]
    return Meeting(done, latest.read + done - latest.done, None if day is None else day[0])


def _horizon(course: Course, expected: Expected | None, proved: Fraction | None) -> Fraction:
    """Far enough to take the meeting with the limit in, but no farther than the history reaches back.

    What was seen is worth half of the picture.
    """
    place = course.last.run.seen[-1].x
    span = place - course.runs[0].run.seen[0].x
    met = [m.done for m in (expected.likely, expected.last) if m is not None] if expected else []
    if proved is not None:
        met.append(proved)
    wanted = max([place + span / 4, *(m + span / 10 for m in met)])
    return min(wanted, place + span)


def _apart(found: tuple[ValveTrend, ...]) -> tuple[str, ...]:
    named: list[str] = []
    for kind in {(f.kind, f.role): None for f in found}:
        slopes: dict[str, Slope] = {
            f.course.valve: f.course.last.slope
            for f in found
            if (f.kind, f.role) == kind and f.course.last.slope is not None
        }
        named += apart(slopes)
    return tuple(named)
