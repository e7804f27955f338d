from __future__ import annotations

from datetime import date
from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from benchtui.domain.history.usage import Meter, Usage, rate, reached_on, replaced, unrolled

JAN = date(2024, 1, 1)


def test_a_replaced_odometer_starts_a_new_run() -> None:
    # Old one read 50 200 when it was changed; the new one began at 0 on that day.
    readings = [
        Usage(date(2023, 1, 1), Fraction(48000)),
        Usage(date(2023, 7, 1), Fraction(50200)),
        Usage(date(2023, 7, 1), Fraction(0)),
        Usage(date(2024, 1, 1), Fraction(1800)),
    ]
    points = unrolled(readings, Meter.KM)
    assert [p.done for p in points] == [0, 2200, 2200, 4000]
    assert replaced(points)
    assert rate(points) == Fraction(4000, 365)


def test_hours_are_read_by_themselves() -> None:
    readings = [Usage(JAN, Fraction(10)), Usage(date(2024, 2, 1), hours=Fraction(5))]
    assert [p.read for p in unrolled(readings, Meter.HOURS)] == [5]
    assert not replaced(unrolled(readings, Meter.HOURS))


def test_no_rate_from_a_few_days_or_from_an_engine_that_stood() -> None:
    few = unrolled([Usage(JAN, Fraction(0)), Usage(date(2024, 1, 10), Fraction(900))], Meter.KM)
    assert rate(few) is None
    stood = unrolled([Usage(JAN, Fraction(7)), Usage(date(2024, 6, 1), Fraction(7))], Meter.KM)
    assert rate(stood) is None
    assert rate(()) is None


def test_the_rate_looks_back_two_years_and_no_further() -> None:
    readings = [
        Usage(date(2010, 1, 1), Fraction(0)),
        Usage(date(2023, 1, 1), Fraction(90000)),
        Usage(date(2024, 1, 1), Fraction(90365)),
    ]
    assert rate(unrolled(readings, Meter.KM)) == 1


def test_the_day_is_read_where_it_was_met_and_foretold_where_not() -> None:
    points = unrolled([Usage(JAN, Fraction(0)), Usage(date(2024, 4, 10), Fraction(1000))], Meter.KM)
    assert reached_on(points, Fraction(1000)) == (date(2024, 4, 10), False)
    # 10 km a day: another 300 km is 30 days on.
    assert reached_on(points, Fraction(1300)) == (date(2024, 5, 10), True)
    assert reached_on(points[:1], Fraction(5)) is None
    assert reached_on(points, Fraction(10**12)) is None


@example([(JAN, 0), (JAN, 5), (JAN, 1), (JAN, 2)])  # the 5 is set aside, among others of its day
@given(st.lists(st.tuples(st.dates(date(2000, 1, 1), date(2030, 1, 1)), st.integers(0, 10**6))))
def test_what_was_done_never_shrinks(rows: list[tuple[date, int]]) -> None:
    points = unrolled([Usage(day, Fraction(km)) for day, km in rows], Meter.KM)
    assert len(points) == len(rows)
    done = [p.done for p in points]
    assert done == sorted(done)
    assert [p.on for p in points] == sorted(day for day, _ in rows)


def test_standing_still_is_not_a_replacement_and_a_fortnight_is_enough() -> None:
    same = unrolled([Usage(JAN, Fraction(7)), Usage(date(2024, 1, 15), Fraction(7))], Meter.KM)
    assert not replaced(same)
    moved = unrolled([Usage(JAN, Fraction(7)), Usage(date(2024, 1, 15), Fraction(21))], Meter.KM)
    assert rate(moved) == 1


def test_the_window_holds_its_first_day() -> None:
    readings = [Usage(date(2022, 1, 1), Fraction(0)), Usage(date(2024, 1, 1), Fraction(730))]
    assert (readings[1].on - readings[0].on).days == 730
    assert rate(unrolled(readings, Meter.KM)) == 1
