"""What an engine has done, by its odometer or hour meter, and how fast it does it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from fractions import Fraction
from itertools import pairwise
from math import ceil, lcm

from benchtui.domain.typed import like


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


ODD = 4
"""A single reading is taken as mistyped where without it the counter goes on, and with it the engine
would have done more than so many times as much (design value)."""


@dataclass(frozen=True, slots=True)
class Point:
    """One counter's reading: ``read`` as it stood, ``done`` from the first reading known on.

    ``done`` only ever grows. What was done between the last reading of an old counter and the
    first of a new one is not known and counts as nothing. ``odd``: the reading does not fit those
    before and after it, and its day stands for it.
    """

    on: date
    read: Fraction
    done: Fraction
    odd: bool = False


def unrolled(readings: Iterable[Usage], meter: Meter) -> tuple[Point, ...]:
    """The counter's readings by date, with replaced counters joined up.

    A reading that goes down starts a new run. Readings of one day keep the order they were given
    in, so that an old counter's last and a new one's first may be noted on the day of the change. A
    single reading that fits neither its neighbour before nor the one after, which fit each other
    (615 000 between 61 500 and 67 000), is set aside as mistyped.
    """
    read = [
        (u.on, value)
        for u in sorted(readings, key=lambda u: u.on)
        if (value := u.of(meter)) is not None
    ]
    # In whole parts: fractions compare and add twenty times as slowly, and a workshop has thousands.
    parts = lcm(*(value.denominator for _, value in read))
    values = [value.numerator * (parts // value.denominator) for _, value in read]
    sound = [k for k in range(len(values)) if not _mistyped(values, k)]
    points: list[Point] = []
    done, before = 0, values[sound[0]] if sound else 0
    for k in sound:
        on, value = read[k]
        done += max(0, values[k] - before)
        before = values[k]
        points.append(Point(on, value, like(Fraction(done, parts), value)))
    found = dict(zip(sound, points, strict=True))

    def placed(k: int, on: date) -> Fraction:
        """By its day, but between its neighbours: several may have been read on one day."""
        before = found[max(at for at in sound if at < k)].done
        after = found[min(at for at in sound if at > k)].done
        return max(before, min(place_on(points, on), after))

    return tuple(
        found.get(k) or Point(on, value, placed(k, on), odd=True)
        for k, (on, value) in enumerate(read)
    )


def _mistyped(values: Sequence[int], k: int) -> bool:
    if not 0 < k < len(values) - 1:
        return False
    before, here, after = values[k - 1 : k + 2]
    if before <= here <= after or after <= before:
        return False
    # Taken as it stands: up to it and a new counter after it, or a new counter and on from there.
    done = here - before if here > after else after - here
    return done > ODD * (after - before)


def place_on(points: Sequence[Point], on: date) -> Fraction:
    """What had been done by a day on which the counter was not read.

    Between two readings in proportion to the days; before the first and after the last what they
    say. Zero where there is no reading at all.
    """
    before = [p for p in points if p.on <= on and not p.odd]
    after = [p for p in points if p.on > on and not p.odd]
    if not before:
        return Fraction(0)
    if not after:
        return before[-1].done
    start, end = before[-1], after[0]
    share = Fraction((on - start.on).days, (end.on - start.on).days)
    return start.done + (end.done - start.done) * share


def replaced(points: Sequence[Point]) -> bool:
    """Whether a counter was replaced somewhere among these."""
    sound = [p for p in points if not p.odd]
    return any(b.read < a.read for a, b in pairwise(sound))


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

    Where a reading shows that it was met, the day lies between that reading and the one before, in
    proportion to what was done, rounded up to a whole day; else the rate of the past tells. None
    where nothing foretells it, or not within the calendar.
    """
    before: Point | None = None
    met = bool(points) and points[-1].done >= done  # it only ever grows
    for point in points if met else ():
        if point.done >= done:
            if before is None or point.done == before.done:
                return point.on, False
            share = (done - before.done) / (point.done - before.done)
            return before.on + timedelta(days=ceil((point.on - before.on).days * share)), False
        before = point
    a_day = rate(points)
    if a_day is None:
        return None
    last = points[-1]
    try:
        return last.on + timedelta(days=int((done - last.done) / a_day)), True
    except OverflowError:
        return None
