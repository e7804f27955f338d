"""What is asked back before it is filed: days and counters that are probably slips of the finger."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from benchtui.domain.history.doubtful import (
    Doubtful,
    doubts,
    doubts_anew,
    doubts_elsewhere,
    last_reading,
)
from benchtui.domain.history.usage import Meter, Usage
from benchtui.domain.sheet import Interval
from benchtui.domain.typed import Typed
from benchtui.text.words.doubt_words import doubt_words, last_words

TODAY = date(2026, 6, 10)
YEARS = (
    Usage(date(2024, 6, 1), Fraction(51_500), Fraction(300)),
    Usage(date(2025, 6, 1), Fraction(56_500), Fraction(340)),
    Usage(date(2025, 12, 1), Fraction(59_000)),
)
"""About 13.7 km a day."""


def why(
    told: Usage, *, earlier: tuple[Usage, ...] = YEARS, interval: Interval | None = None
) -> list[Doubtful]:
    return [d.why for d in doubts(told, earlier, TODAY, interval)]


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        (Usage(TODAY, Fraction(61_500)), []),
        (Usage(date(2062, 6, 10)), [Doubtful.FUTURE]),
        (Usage(date(2025, 6, 10)), [Doubtful.BEFORE_LAST]),
        (Usage(date(2025, 6, 10), Fraction(56_700)), [Doubtful.BEFORE_LAST]),
        (Usage(date(2025, 6, 10), Fraction(59_500)), [Doubtful.BEFORE_LAST, Doubtful.TOO_MUCH]),
        (Usage(date(2025, 11, 10), Fraction(59_500)), [Doubtful.BEFORE_LAST, Doubtful.ABOVE]),
        (Usage(TODAY, Fraction(615_000)), [Doubtful.TOO_MUCH]),
        (Usage(TODAY, Fraction(6_150)), [Doubtful.BELOW]),
        (Usage(TODAY, None, Fraction(3_500)), [Doubtful.TOO_MUCH]),
        (Usage(TODAY, None, Fraction(34)), [Doubtful.BELOW]),
        (Usage(TODAY, Fraction(6_150), Fraction(34)), [Doubtful.BELOW, Doubtful.BELOW]),
    ],
)
def test_what_is_doubted(told: Usage, expected: list[Doubtful]) -> None:
    assert why(told) == expected


def test_four_times_the_usual_use_is_just_believed() -> None:
    """191 days at 2500 km in 183 days (the last two years' rate) and at four times that."""
    a_day = Fraction(7_500, (YEARS[-1].on - YEARS[0].on).days)
    most = 59_000 + 4 * a_day * (TODAY - YEARS[-1].on).days
    assert why(Usage(TODAY, most)) == []
    assert why(Usage(TODAY, most + 1)) == [Doubtful.TOO_MUCH]


def test_one_long_trip_soon_after_a_check_is_no_slip() -> None:
    """Fourteen days are the least that is reckoned with: 4 x 14 x 13.7 is 767 km."""
    assert why(Usage(date(2025, 12, 2), Fraction(59_700))) == []
    assert why(Usage(date(2025, 12, 2), Fraction(59_800))) == [Doubtful.TOO_MUCH]


def test_with_one_reading_the_interval_or_all_that_was_ever_done_says_what_is_usual() -> None:
    one = YEARS[:1]
    far = Usage(date(2025, 6, 1), Fraction(100_000))
    assert why(far, earlier=one) == []
    assert why(far, earlier=one, interval=Interval(6, Fraction(5_000))) == [Doubtful.TOO_MUCH]
    assert why(Usage(TODAY, Fraction(515_000)), earlier=one) == [Doubtful.TOO_MUCH]
    assert why(Usage(TODAY, Fraction(515_000)), earlier=()) == []
    assert why(Usage(TODAY, Fraction(500)), earlier=(Usage(YEARS[0].on, Fraction(0)),)) == []


def test_in_words_with_the_last_reading_and_its_day() -> None:
    (below,) = doubts(Usage(TODAY, Fraction(5_900)), YEARS, TODAY)
    assert doubt_words(below) == (
        "Odometer 5 900 km is below the 59 000 km of 1 December 2025: a new counter, or a slip?"
    )
    (far,) = doubts(Usage(TODAY, Fraction(615_000)), YEARS, TODAY)
    assert doubt_words(far) == (
        "Odometer 615 000 km is far above the 59 000 km of 1 December 2025; usual in that time: "
        "2 614 km."
    )
    miles = [replace(u, km=Typed(u.km, "mi")) for u in YEARS if u.km is not None]
    (far,) = doubts(Usage(TODAY, Typed(Fraction(615_000), "mi")), miles, TODAY)
    assert doubt_words(far).endswith("usual in that time: 1 624 mi.")
    (future,) = doubts(Usage(date(2062, 6, 10)), YEARS, TODAY)
    assert doubt_words(future) == "10 June 2062 is in the future: today is 10 June 2026."
    assert last_words(last_reading(YEARS, Meter.HOURS), Meter.HOURS) == "last 340 h on 1 June 2025"
    assert last_words(last_reading((), Meter.KM), Meter.KM) == ""


def test_what_was_odd_before_it_was_put_right_is_not_asked_again() -> None:
    was = Usage(date(2025, 6, 10), Fraction(56_700))
    told = Usage(date(2025, 6, 10), Fraction(5_670))
    assert [d.why for d in doubts_anew(told, was, YEARS, TODAY)] == [Doubtful.BELOW]
    assert doubts_anew(was, was, YEARS, TODAY) == ()
    assert doubts_anew(replace(told, on=date(2025, 6, 11)), told, YEARS, TODAY) == ()
    worse = Usage(told.on, Fraction(4_670))
    assert [d.why for d in doubts_anew(worse, told, YEARS, TODAY)] == [Doubtful.BELOW]


def test_a_check_of_another_engine_is_doubted_by_its_readings_beside_those_of_that_one() -> None:
    told = Usage(date(2025, 6, 10), Fraction(5_670))
    assert [d.why for d in doubts_elsewhere(told, YEARS, TODAY)] == [Doubtful.BELOW]
    assert doubts_elsewhere(Usage(told.on), YEARS, TODAY) == ()
