"""When the metal will be cold: Newton's law of cooling from two temperature readings.

The model: all the metal is at one temperature and loses heat to still air, whose temperature stays
the same, in proportion to the difference: T(t) = air + (T0 - air) x exp(-k t). An engine is not so
simple: the inside stays warmer than the skin, and sun, wind or a fan change the rate. So an interval is
given, from the errors of the three temperatures, and none where they leave it open. The thermometer
decides in the end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.typed import like
from benchtui.domain.typed import temperature_words as _c

THERMOMETER = Fraction(1)
"""Each temperature is taken to be right within so many degrees Celsius (design value)."""

SHORTEST_WAIT = Fraction(10)
"""Minutes between two readings; closer together they tell too little (design value)."""

LONGEST_TOLD = Fraction(24 * 60)
"""Minutes; beyond a day nothing is promised."""

ASSUMED = (
    "Assumed: still air that keeps its temperature, one temperature all through the metal, each "
    "reading right within 1 C. The inside cools later than the skin: take the temperature again "
    "before you measure."
)


@dataclass(frozen=True, slots=True)
class ColdIn:
    """Minutes after the second reading until the metal is below the limit, both ends whole.

    ``soonest`` is rounded down and ``latest`` up. ``likely`` is what the readings say as they stand.
    """

    soonest: int
    likely: int
    latest: int


def cold_in(
    first: Fraction, later: Fraction, minutes: Fraction, air: Fraction, limit: Fraction
) -> ColdIn:
    """When metal that read ``first`` and, ``minutes`` after, ``later`` will be at ``limit``.

    All temperatures in degrees Celsius. The interval's ends follow from the errors of the three
    temperatures: the time grows with ``later`` and ``air`` and falls with ``first``.

    Raises:
        Refusal: it is cold already; it does not cool; the air is not clearly below the limit; the
            readings are too close together, or leave more than a day open.
    """
    limit = like(Fraction(limit), later)
    if later <= limit:
        raise Refusal(Why.COLD_ALREADY, later=_c(later), limit=_c(limit))
    if minutes < SHORTEST_WAIT:
        raise Refusal(Why.READ_TOO_SOON, minutes=minutes, shortest_wait=SHORTEST_WAIT)
    if air + THERMOMETER >= limit - THERMOMETER:
        raise Refusal(Why.AIR_TOO_WARM, air=_c(air), limit=_c(limit))
    if first - THERMOMETER <= later + THERMOMETER:
        raise Refusal(Why.NOT_COOLING, first=_c(first), later=_c(later))
    e = THERMOMETER
    latest = _minutes(first - e, later + e, minutes, air + e, limit)
    soonest = 0.0 if later - e <= limit else _minutes(first + e, later - e, minutes, air - e, limit)
    if latest > LONGEST_TOLD:
        raise Refusal(Why.TOO_LONG_TO_TELL)
    likely = _minutes(first, later, minutes, air, limit)
    return ColdIn(math.floor(soonest), round(likely), math.ceil(latest))


def cold_words(found: ColdIn) -> str:
    """``cold in about 1 h 20 min (0 h 55 min to 2 h 05 min)``."""
    span = f"{_span(found.soonest)} to {_span(found.latest)}"
    return f"cold in about {_span(found.likely)} ({span}) after the second reading"


def _minutes(
    first: Fraction, later: Fraction, minutes: Fraction, air: Fraction, limit: Fraction
) -> float:
    rate = math.log(float((first - air) / (later - air))) / float(minutes)
    return math.log(float((later - air) / (limit - air))) / rate


def _span(minutes: int) -> str:
    return f"{minutes // 60} h {minutes % 60:02d} min"
