"""What can make a check due, one limit at a time."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from fractions import Fraction

from benchtui.domain.history.months import add_months
from benchtui.domain.history.usage import Meter, Point, Usage, reached_on, replaced, unrolled
from benchtui.domain.typed import as_typed, like


class By(Enum):
    """What makes it due."""

    MONTHS = "months"
    DISTANCE = "distance"
    HOURS = "hours"


@dataclass(frozen=True, slots=True)
class WearNotice:
    """From where to where a valve wants looking at, as readings of the counter that is fitted now.

    ``likely`` has as much chance before it as after; it and ``last`` are None where the limit may
    never be met. ``estimated``: not proved by the brackets.
    """

    valve: str
    reason: str
    meter: Meter
    first: Fraction
    likely: Fraction | None = None
    last: Fraction | None = None
    estimated: bool = True


@dataclass(frozen=True, slots=True)
class WearLook:
    """What wear asks for: a look ``wear.first`` to ``wear.last``, on what days, where a rate tells."""

    wear: WearNotice
    first_on: date | None
    likely_on: date | None
    last_on: date | None


@dataclass(frozen=True, slots=True)
class DueLimit:
    """One thing that makes it due.

    ``on`` is the day it falls on, ``foretold`` where only the rate of use says so. ``at`` is the
    counter's reading at which it falls. ``passed`` is by the calendar or by a reading, never by a
    forecast; None where no reading tells. ``used`` is the share of the interval gone by.
    """

    by: By
    reason: str
    on: date | None = None
    foretold: bool = False
    at: Fraction | None = None
    meter: Meter | None = None
    passed: bool | None = None
    used: Fraction | None = None


@dataclass(slots=True)
class Count:
    """What limits are counted from, and the notes that counting leaves behind.

    ``last`` is the last check, ``start`` the day the months run from, ``since`` how to say so.
    """

    now: Usage
    last: Usage | None
    start: date | None
    known: list[Usage]
    since: str
    notes: list[str]
    _along: dict[Meter, tuple[Point, ...]] = field(default_factory=dict)

    def along(self, meter: Meter) -> tuple[Point, ...]:
        """The readings known of a counter, joined up once."""
        if meter not in self._along:
            self._along[meter] = unrolled(self.known, meter)
        return self._along[meter]


def by_months(months: int, count: Count) -> list[DueLimit]:
    """The limit in months, or none where there is no day to count from."""
    start, now = count.start, count.now
    if start is None:
        count.notes.append("No check is on record, so the months have no start.")
        return []
    try:
        on = add_months(start, months)
    except OverflowError:
        return []
    span = max(1, (on - start).days)
    used = Fraction(max(0, (now.on - start).days), span)
    word = "month" if months == 1 else "months"
    return [
        DueLimit(By.MONTHS, f"{months} {word} {count.since}", on, passed=now.on > on, used=used)
    ]


def by_meter(meter: Meter, amount: Fraction, count: Count) -> list[DueLimit]:
    """The limit in kilometres or hours; without ``at`` where there is nothing to count from."""
    last, notes = count.last, count.notes
    by = By.DISTANCE if meter is Meter.KM else By.HOURS
    counter = "odometer" if meter is Meter.KM else "hour meter"
    reason = f"{counted_words(amount, meter)} {count.since}"
    points = count.along(meter)
    if not points:
        notes.append(f"The {counter} has not been read.")
        return [DueLimit(by, reason, meter=meter)]
    if last is None:
        # A new engine's counter stands at 0, so its first reading is what it had done by then.
        start = -points[0].read
    else:
        # A check without a reading counts from the latest reading before it: too early, never late.
        upto = [p for p in points if p.on <= last.on]
        exact = last.of(meter)
        if exact is not None:
            upto = [p for p in upto if p.on == last.on and p.read == exact]
        if not upto:
            notes.append(f"The {counter} was not read at the last check.")
            return [DueLimit(by, reason, meter=meter)]
        start = upto[-1].done
        if exact is None:
            notes.append(f"The {counter} was not read at the last check; counted from before it.")
    if replaced([p for p in points if p.done >= start]):
        notes.append(f"The {counter} was replaced; what was done while it was is not counted.")
    latest = points[-1]
    goal = start + amount
    day = reached_on(points, goal)
    at = like(latest.read + goal - latest.done, latest.read)
    used = (latest.done - start) / amount if amount > 0 else None
    on, foretold = day if day is not None else (None, False)
    return [DueLimit(by, reason, on, foretold, at, meter, latest.done > goal, used)]


def look_for(wear: WearNotice, count: Count) -> WearLook:
    """When the counter will read what wear names, at the rate of the past."""
    points = count.along(wear.meter)

    def day(at: Fraction | None) -> date | None:
        if at is None or not points:
            return None
        latest = points[-1]
        met = reached_on(points, latest.done + at - latest.read)
        return None if met is None else met[0]

    return WearLook(wear, day(wear.first), day(wear.likely), day(wear.last))


def counted_words(value: Fraction, meter: Meter) -> str:
    """``5 000 km``, ``3 100 mi``, ``100 h``: what a counter counts, in the unit it was typed in."""
    told, unit = as_typed(value, meter.value)
    return f"{plain(told)} {unit}"


WHOLE_FROM = 100
"""Kilometres or hours from which on tenths say nothing (design value)."""


def plain(value: Fraction) -> str:
    """Whole from a hundred on, cut down, for nobody keeps a date to tenths; else one decimal at most.

    Thousands stand apart by a space.
    """
    whole = value.denominator == 1 or value >= WHOLE_FROM
    text = f"{int(value):,}" if whole else f"{float(value):,.1f}"
    return text.replace(",", " ")
