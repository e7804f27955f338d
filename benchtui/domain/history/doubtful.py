"""A day or a counter's reading that is probably a slip of the finger, told before it is filed.

Nothing here is wrong for sure: whoever typed it says whether it is so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction

from benchtui.domain.history.usage import SHORTEST, Meter, Usage, rate, unrolled
from benchtui.domain.sheet import Interval
from benchtui.domain.typed import like

TIMES = 4
"""So many times the usual use since the last reading is doubted (design value)."""

DAYS_A_MONTH = Fraction(1461, 48)
"""The mean of the calendar: four years have 1461 days and 48 months."""


class Doubtful(Enum):
    """What is odd about it."""

    FUTURE = "in the future"
    BEFORE_LAST = "before the last check"
    BELOW = "below an earlier reading"
    ABOVE = "above a later reading"
    TOO_MUCH = "far beyond the usual use"


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that is odd: ``told`` is what was typed.

    ``other`` is the day, or the reading, that it is held against: today, the last check, the reading
    before or after. ``meter`` is None for a day. ``usual`` is what that counter usually shows in the
    time since, in kilometres or hours, where that is what speaks against it.
    """

    why: Doubtful
    told: Usage
    other: Usage
    meter: Meter | None = None
    usual: Fraction | None = None


def doubts(
    told: Usage, earlier: Iterable[Usage], today: date, interval: Interval | None = None
) -> tuple[Doubt, ...]:
    """What is odd about a check that is told to have been on that day with those readings.

    Args:
        told: the day, and what was read on it.
        earlier: the engine's other sessions, in any order.
        today: by the computer's clock.
        interval: the sheet's, which says what use is usual where too few readings do.
    """
    known = sorted(earlier, key=lambda u: u.on)
    found: list[Doubt] = []
    if told.on > today:
        found.append(Doubt(Doubtful.FUTURE, told, Usage(today)))
    elif known and told.on < known[-1].on:
        found.append(Doubt(Doubtful.BEFORE_LAST, told, known[-1]))
    for meter in Meter:
        doubt = _of_counter(told, known, meter, interval)
        found += [] if doubt is None else [doubt]
    return tuple(found)


def doubts_anew(
    told: Usage, was: Usage, earlier: Iterable[Usage], today: date, interval: Interval | None = None
) -> tuple[Doubt, ...]:
    """What is odd about a check as it is put right, and was not odd about it as it ``was``.

    A reading that is another now is asked about anew, also where the one before was as odd.
    """
    others = list(earlier)
    before = {(d.why, d.meter) for d in doubts(was, others, today, interval)}

    def asked_before(doubt: Doubt) -> bool:
        meter = doubt.meter
        same = told == was if meter is None else told.of(meter) == was.of(meter)
        return (doubt.why, meter) in before and (same or meter is None)

    return tuple(d for d in doubts(told, others, today, interval) if not asked_before(d))


def doubts_elsewhere(
    told: Usage, there: Iterable[Usage], today: date, interval: Interval | None = None
) -> tuple[Doubt, ...]:
    """What is odd about a check that was at another engine: its readings beside those of that one.

    Its day is the same as it was, and an old check that is put right lies before the last one.
    """
    return tuple(d for d in doubts(told, there, today, interval) if d.meter is not None)


def last_reading(earlier: Iterable[Usage], meter: Meter) -> Usage | None:
    """The latest reading of that counter; None where it was never read."""
    read = [u for u in sorted(earlier, key=lambda u: u.on) if u.of(meter) is not None]
    return read[-1] if read else None


def _of_counter(
    told: Usage, known: list[Usage], meter: Meter, interval: Interval | None
) -> Doubt | None:
    read = told.of(meter)
    if read is None:
        return None
    before = last_reading((u for u in known if u.on <= told.on), meter)
    after = next((u for u in known if u.on > told.on and u.of(meter) is not None), None)
    if before is not None:
        stood = _of(before, meter)
        if read < stood:
            return Doubt(Doubtful.BELOW, told, before, meter)
        usual = _usual(told, before, known, meter, interval)
        if usual is not None and read - stood > TIMES * usual:
            return Doubt(Doubtful.TOO_MUCH, told, before, meter, like(usual, read))
    if after is not None and read > _of(after, meter):
        return Doubt(Doubtful.ABOVE, told, after, meter)
    return None


def _usual(
    told: Usage, before: Usage, known: list[Usage], meter: Meter, interval: Interval | None
) -> Fraction | None:
    """What that counter usually shows between these two days; a fortnight is the least asked about.

    By the readings before; where they are too few, by what the sheet lays between two checks; where
    it says nothing, all that was ever done.
    """
    days = max((told.on - before.on).days, SHORTEST)
    a_day = rate(unrolled((u for u in known if u.on <= before.on), meter)) or _planned(
        interval, meter
    )
    if a_day is not None:
        return a_day * days
    return _of(before, meter) or None


def _planned(interval: Interval | None, meter: Meter) -> Fraction | None:
    if interval is None or not interval.months:
        return None
    between = interval.distance_km if meter is Meter.KM else interval.hours
    return None if between is None else between / (interval.months * DAYS_A_MONTH)


def _of(usage: Usage, meter: Meter) -> Fraction:
    return usage.of(meter) or Fraction(0)
