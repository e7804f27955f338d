from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.history.due import next_due, order
from benchtui.domain.history.limits import By, WearNotice
from benchtui.domain.history.usage import Meter, Usage
from benchtui.domain.sheet import Interval
from benchtui.text.words.due_words import due_sentence

SIX_OR_5000 = Interval(
    months=6, distance_km=Fraction(5000), hours=None, first=Interval(distance_km=Fraction(800))
)


# Source: common practice, "by months or distance, whichever comes first".
def test_months_come_first_when_little_is_ridden() -> None:
    last = Usage(date(2024, 3, 31), Fraction(10000))
    due = next_due(SIX_OR_5000, last, Usage(date(2024, 6, 1), Fraction(10500)))
    assert due.date == date(2024, 9, 30)
    assert due.at_km == 15000
    assert due.overdue is False
    assert not due.soon
    assert due.reason == "6 months after the last check"
    assert due_sentence(due) == (
        "Due 30 September 2024 or at 15 000 km, whichever comes first (6 months after the last check)."
    )


def test_distance_comes_first_when_much_is_ridden() -> None:
    last = Usage(date(2024, 3, 31), Fraction(10000))
    # 3 000 km in 60 days is 50 a day: 2 000 more are 40 days on.
    due = next_due(SIX_OR_5000, last, Usage(date(2024, 5, 30), Fraction(13000)))
    assert due.date == date(2024, 7, 9)
    assert due.foretold
    assert due.reason == "5 000 km after the last check"
    assert due_sentence(due).startswith("Due about 9 July 2024 or at 15 000 km")


def test_a_limit_met_is_due_and_one_passed_is_overdue() -> None:
    last = Usage(date(2024, 3, 31), Fraction(10000))
    at = next_due(SIX_OR_5000, last, Usage(date(2024, 5, 30), Fraction(15000)))
    assert at.overdue is False
    assert at.soon
    past = next_due(SIX_OR_5000, last, Usage(date(2024, 5, 30), Fraction(15001)))
    assert past.overdue is True
    assert due_sentence(past).startswith("Overdue: it was due 30 May 2024 or at 15 000 km")
    on_the_day = next_due(SIX_OR_5000, last, Usage(date(2024, 9, 30)))
    assert on_the_day.overdue is False
    assert next_due(SIX_OR_5000, last, Usage(date(2024, 10, 1))).overdue is True


def test_the_rate_of_past_intervals_foretells_right_after_a_check() -> None:
    readings = (Usage(date(2023, 1, 1), Fraction(0)),)
    last = Usage(date(2024, 1, 1), Fraction(7300))
    due = next_due(Interval(distance_km=Fraction(1000)), last, Usage(date(2024, 1, 2)), readings)
    # 7 300 km in 365 days is 20 a day: 1 000 km are 50 days.
    assert (due.date, due.foretold) == (date(2024, 2, 20), True)


def test_hours_alone() -> None:
    due = next_due(
        Interval(hours=Fraction(100)),
        Usage(date(2024, 1, 1), hours=Fraction(310)),
        Usage(date(2024, 2, 20), hours=Fraction(360)),
    )
    assert due.at_hours == 410
    assert due.date == date(2024, 4, 10)
    assert due.limits[0].by is By.HOURS


def test_the_first_service_stands_in_before_the_first_check() -> None:
    due = next_due(SIX_OR_5000, None, Usage(date(2024, 2, 9), Fraction(600)))
    assert due.at_km == 800
    assert due.reason == "800 km from new (first service)"


def test_an_old_engine_without_any_record_is_overdue_by_its_odometer() -> None:
    due = next_due(SIX_OR_5000, None, Usage(date(2024, 2, 9), Fraction(12400)))
    assert due.overdue is True
    assert due.at_km == 800
    assert "No check is on record" in due.notes[0]


def test_nothing_to_count_from_is_said() -> None:
    due = next_due(Interval(months=6), None, Usage(date(2024, 1, 1)))
    assert due.date is None
    assert due.overdue is None
    assert "no check is on record" in due_sentence(due)
    unread = next_due(
        Interval(distance_km=Fraction(5000)), Usage(date(2024, 1, 1)), Usage(date(2024, 6, 1))
    )
    assert unread.overdue is None
    assert unread.notes == ("The odometer has not been read.",)
    assert "nothing was read to count from" in due_sentence(unread)


def test_an_unread_hour_meter_does_not_unsettle_the_months() -> None:
    both = Interval(months=6, hours=Fraction(100))
    due = next_due(both, Usage(date(2024, 1, 1)), Usage(date(2024, 3, 1)))
    assert due.overdue is False
    assert due.date == date(2024, 7, 1)


def test_a_foretold_day_gone_by_is_only_perhaps_overdue() -> None:
    last = Usage(date(2024, 1, 1), Fraction(0))
    readings = (Usage(date(2024, 2, 10), Fraction(4000)),)
    due = next_due(SIX_OR_5000, last, Usage(date(2024, 4, 1)), readings)
    assert due.overdue is None
    assert due_sentence(due).startswith("Perhaps overdue")


def test_a_replaced_odometer_is_counted_through() -> None:
    last = Usage(date(2024, 1, 1), Fraction(48000))
    readings = (
        last,
        Usage(date(2024, 3, 1), Fraction(50000)),
        Usage(date(2024, 3, 1), Fraction(0)),
    )
    due = next_due(SIX_OR_5000, last, Usage(date(2024, 4, 1), Fraction(1000)), readings)
    # 2 000 on the old one, so 3 000 on the new.
    assert due.at_km == 3000
    assert due.overdue is False
    assert any("replaced" in note for note in due.notes)


def test_a_check_on_the_day_of_the_change_keeps_its_place() -> None:
    day = date(2024, 3, 1)
    last = Usage(day, Fraction(50000))
    readings = (last, Usage(day, Fraction(0)))
    due = next_due(
        Interval(distance_km=Fraction(5000)),
        last,
        Usage(date(2024, 4, 1), Fraction(1000)),
        readings,
    )
    assert due.at_km == 5000
    assert due.limits[0].used == Fraction(1, 5)


def test_a_check_without_a_reading_counts_from_the_one_before() -> None:
    readings = (Usage(date(2024, 1, 1), Fraction(9900)),)
    due = next_due(
        SIX_OR_5000, Usage(date(2024, 2, 1)), Usage(date(2024, 3, 1), Fraction(10200)), readings
    )
    assert due.at_km == 14900
    assert "counted from before it" in due.notes[0]


def test_wear_asks_for_a_look_and_makes_nothing_due() -> None:
    """400 km in 40 days: the counter reads 11 000 after 60 days more, 11 500 after 110, 12 000 after
    160. The interval's own date, six months after the check, stands."""
    last = Usage(date(2024, 3, 1), Fraction(10000))
    now = Usage(date(2024, 4, 10), Fraction(10400))
    wear = WearNotice(
        "1E", "1E is closing up", Meter.KM, Fraction(11000), Fraction(11500), Fraction(12000)
    )
    due = next_due(SIX_OR_5000, last, now, wear=wear)
    assert (due.date, due.at_km) == (date(2024, 9, 1), Fraction(15000))
    assert due.look is not None
    days = (due.look.first_on, due.look.likely_on, due.look.last_on)
    assert days == (date(2024, 6, 9), date(2024, 7, 29), date(2024, 9, 17))
    assert due_sentence(due).endswith(
        "Look at 1E from 11 000 km (about 9 June 2024) to 12 000 km (about 17 September 2024): "
        "1E is closing up (an estimate)."
    )
    assert not due.soon
    past = next_due(SIX_OR_5000, last, Usage(date(2024, 8, 31), Fraction(13000)), wear=wear)
    assert past.overdue is False, "only the interval makes overdue"
    assert past.soon


def test_a_last_check_in_the_future_points_at_the_clock() -> None:
    due = next_due(SIX_OR_5000, Usage(date(2031, 1, 1), Fraction(0)), Usage(date(2024, 1, 1)))
    assert due.overdue is False
    assert any("clock" in note for note in due.notes)


def test_an_absurd_number_of_months_is_never_due() -> None:
    due = next_due(Interval(months=10**6), Usage(date(2024, 1, 1)), Usage(date(2024, 1, 2)))
    assert due.date is None


def test_the_most_pressing_engine_sorts_first() -> None:
    today = Usage(date(2024, 6, 1), Fraction(0))
    months = Interval(months=6)
    over = next_due(months, Usage(date(2023, 1, 1)), today)
    unknown = next_due(months, None, today)
    soon = next_due(months, Usage(date(2023, 12, 20)), today)
    later = next_due(months, Usage(date(2024, 5, 1)), today)
    assert sorted([later, soon, unknown, over], key=order) == [over, unknown, soon, later]


DAYS = st.dates(date(2000, 1, 1), date(2060, 1, 1))


@given(DAYS, st.integers(0, 900), st.integers(1, 60), st.integers(1, 9000), st.integers(0, 9000))
def test_never_before_the_anchor_and_never_after_the_months(
    anchor: date, days: int, months: int, every: int, done: int
) -> None:
    now = Usage(anchor + timedelta(days=days), Fraction(100 + done))
    interval = Interval(months=months, distance_km=Fraction(every))
    due = next_due(interval, Usage(anchor, Fraction(100)), now)
    latest = anchor + relativedelta(months=months)  # python-dateutil as the oracle
    assert due.date is not None
    assert anchor <= due.date <= latest
    assert due.at_km == 100 + every
    assert due.overdue is (
        None
        if _only_foretold_past(due.date, now, latest, done, every)
        else (done > every or now.on > latest)
    )


def _only_foretold_past(due: date, now: Usage, latest: date, done: int, every: int) -> bool:
    return done < every and now.on <= latest and due < now.on


@pytest.mark.parametrize("km", [0, 4499, 4500, 5000])
def test_soon_is_the_last_tenth(km: int) -> None:
    due = next_due(
        Interval(distance_km=Fraction(5000)),
        Usage(date(2024, 1, 1), Fraction(0)),
        Usage(date(2024, 1, 2), Fraction(km)),
    )
    assert due.soon is (km >= 4500)


def test_one_limit_alone_has_nothing_to_come_before() -> None:
    due = next_due(Interval(months=1), Usage(date(2024, 1, 31)), Usage(date(2024, 2, 1)))
    assert due_sentence(due) == "Due 29 February 2024 (1 month after the last check)."
    assert due.notes == ()
    assert due.limits[0].used == Fraction(1, 29)


def test_a_check_made_today_is_not_in_the_future() -> None:
    today = Usage(date(2024, 1, 1), Fraction(5))
    assert next_due(SIX_OR_5000, today, today).notes == ()


def test_soon_by_the_calendar_is_thirty_days() -> None:
    # Two thirds of the three months are gone: the share alone does not say soon yet.
    last = Usage(date(2024, 1, 1))
    thirty = next_due(Interval(months=3), last, Usage(date(2024, 3, 2)))
    assert (thirty.date, thirty.soon) == (date(2024, 4, 1), True)
    assert next_due(Interval(months=3), last, Usage(date(2024, 3, 1))).soon is False


def test_first_hours_stand_in_for_the_ordinary_ones() -> None:
    interval = Interval(hours=Fraction(100), first=Interval(hours=Fraction(20)))
    due = next_due(interval, None, Usage(date(2024, 2, 1), hours=Fraction(5)))
    assert due.at_hours == 20
    only_months = Interval(hours=Fraction(100), first=Interval(months=1))
    ordinary = next_due(only_months, None, Usage(date(2024, 1, 5), hours=Fraction(5)))
    assert ordinary.at_hours == 100


def test_wear_is_told_in_the_counter_that_was_read() -> None:
    last = Usage(date(2024, 1, 1), hours=Fraction(300))
    now = Usage(date(2024, 1, 11), hours=Fraction(340))
    wear = WearNotice("1I", "w", Meter.HOURS, Fraction(350), estimated=False)
    due = next_due(Interval(hours=Fraction(100)), last, now, wear=wear)
    assert (due.at_hours, due.at_km, due.overdue) == (Fraction(400), None, False)
    assert "Look at 1I from 350 hours: w (by what its brackets prove)." in due_sentence(due)


def test_a_day_foretold_for_today_is_not_yet_past() -> None:
    last = Usage(date(2024, 1, 1), Fraction(0))
    readings = (Usage(date(2024, 2, 10), Fraction(4000)),)  # 100 a day: 5 000 on 20 February
    assert next_due(SIX_OR_5000, last, Usage(date(2024, 2, 20)), readings).overdue is False
    assert next_due(SIX_OR_5000, last, Usage(date(2024, 2, 21)), readings).overdue is None


def test_of_two_for_the_same_day_the_one_further_along_sorts_first() -> None:
    today = Usage(date(2024, 6, 1))
    short = next_due(Interval(months=6), Usage(date(2024, 3, 1)), today)
    long = next_due(Interval(months=9), Usage(date(2023, 12, 1)), today)
    assert short.date == long.date
    assert sorted([short, long], key=order) == [long, short]


def test_an_odometer_replaced_before_the_last_check_needs_no_note() -> None:
    readings = (Usage(date(2023, 1, 1), Fraction(50000)), Usage(date(2023, 2, 1), Fraction(10)))
    due = next_due(
        SIX_OR_5000,
        Usage(date(2024, 1, 1), Fraction(900)),
        Usage(date(2024, 2, 1), Fraction(1000)),
        readings,
    )
    assert due.notes == ()
    assert due.at_km == 5900
    assert due.limits[1].used == Fraction(100, 5000)
