"""What an engine has done, by its odometer or hour meter, and how fast it does it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from fractions import Fraction
from itertools import pairwise


class Meter(Enum):
    """Which counter is read."""

    KM = "km"
    HOURS = "hours"


SHORTEST = 14
"""Days over which a rate may be taken; over fewer one long trip would look like a habit (design
value)."""

WINDOW = 730
"""Days back from the latest reading that still say how the engine is used now: two whole years, so
that a winter lay-up counts in full (design value)."""


@dataclass(frozen=True, slots=True)
class Usage:
    """A day, and what the odometer and the hour meter read on it, where they were read."""

    on: date
    km: Fraction | None = None
    hours: Fraction | None = None

    def of(self, meter: Meter) -> Fraction | None:
        """What that counter read."""
        return self.km if meter is Meter.KM else self.hours


@dataclass(frozen=True, slots=True)
class Point:
    """One counter's reading: ``read`` as it stood, ``done`` from the first reading known on.

    ``done`` only ever grows. What was done between the last reading of an old counter and the
    first of a new one is not known and counts as nothing.
    """

    on: date
    read: Fraction
    done: Fraction


def unrolled(readings: Iterable[Usage], meter: Meter) -> tuple[Point, ...]:
    """The counter's readings by date, with replaced counters joined up.

    A reading that goes down starts a new run. Readings of one day keep the order they were given
    in, so that an old counter's last and a new one's first may be noted on the day of the change.
    """
    points: list[Point] = []
    for usage in sorted(readings, key=lambda u: u.on):
        read = usage.of(meter)
        if read is None:
            continue
        if not points:
            points.append(Point(usage.on, read, Fraction(0)))
            continue
        before = points[-1]
        grown = max(Fraction(0), read - before.read)
        points.append(Point(usage.on, read, before.done + grown))
    return tuple(points)


def replaced(points: Sequence[Point]) -> bool:
    """Whether a counter was replaced somewhere among these."""
    return any(b.read < a.read for a, b in pairwise(points))


def rate(points: Sequence[Point]) -> Fraction | None:
    """Kilometres, or hours, a day; None where too little is known or nothing was done."""
    if not points:
        return None
    last = points[-1]
    first = next(p for p in points if (last.on - p.on).days <= WINDOW)
    days = (last.on - first.on).days
    done = last.done - first.done
    return done / days if days >= SHORTEST and done > 0 else None


def reached_on(points: Sequence[Point], done: Fraction) -> tuple[date, bool] | None:
    """The day on which ``done`` is met, and whether that is only foretold.

    Where a reading shows it already, that reading's day; else the rate of the past tells. None
    where nothing foretells it, or not within the calendar.
    """
    for point in points:
        if point.done >= done:
            return point.on, False
    a_day = rate(points)
    if a_day is None:
        return None
    last = points[-1]
    try:
        return last.on + timedelta(days=int((done - last.done) / a_day)), True
    except OverflowError:
        return None
