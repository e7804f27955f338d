"""The page after filing: a check that does not count sets no next one."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from benchtui.domain.history.due import Due, next_due
from benchtui.domain.history.usage import Usage
from benchtui.domain.sheet import Interval
from benchtui.text.pages.filed_page import next_line, next_tall


def due(*, months: int | None = 6) -> Due:
    every = Interval(months=months, distance_km=None, hours=Fraction(100), first=None)
    last = Usage(date(2026, 5, 20), None, Fraction(436))
    return next_due(every, last, Usage(date(2026, 6, 1), None, Fraction(440)))


def test_after_a_check_that_counts_the_next_one_stands_tall() -> None:
    assert next_tall(due(), counts=True) == "NEXT 20 NOV 2026"
    assert next_line(due(), counts=True) == (
        "or at 536 h if that comes first: 6 months after the last check."
    )


def test_after_one_that_does_not_count_what_was_due_is_due_as_before() -> None:
    assert next_tall(due(), counts=False) == "DUE 20 NOV 2026"
    assert next_line(due(), counts=False).startswith("As before: or at 536 h")


def test_without_months_it_goes_by_the_counter_and_without_an_interval_it_says_so() -> None:
    assert next_tall(due(months=None), counts=True).startswith("NEXT")
    assert next_tall(None, counts=False) == "NO INTERVAL"
    assert next_line(None, counts=False) == "Its sheet gives no interval between two checks."


def test_where_no_counter_was_read_it_is_asked_for_and_nothing_is_guessed() -> None:
    every = Interval(months=None, distance_km=None, hours=Fraction(100), first=None)
    unread = Usage(date(2026, 5, 20), None, None)
    found = next_due(every, unread, unread)
    assert next_tall(found, counts=True) == "COUNTER?"
    assert next_line(found, counts=True).startswith("no counter was read to count from: ")
