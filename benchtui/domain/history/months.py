"""Months on the calendar, clamped at month ends."""

from __future__ import annotations

from calendar import monthrange
from datetime import MAXYEAR, MINYEAR, date

MONTHS_A_YEAR = 12


def add_months(anchor: date, months: int) -> date:
    """``months`` after ``anchor``; a day that the month does not have becomes its last.

    Raises:
        OverflowError: the year is past what the calendar holds.
    """
    year, month = divmod(anchor.year * MONTHS_A_YEAR + anchor.month - 1 + months, MONTHS_A_YEAR)
    if not MINYEAR <= year <= MAXYEAR:
        raise OverflowError(f"{months} months from {anchor} is off the calendar")
    last = monthrange(year, month + 1)[1]
    return date(year, month + 1, min(anchor.day, last))
