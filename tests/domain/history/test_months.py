from __future__ import annotations

from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.history.months import add_months

DATES = st.dates(date(1990, 1, 1), date(2100, 12, 31))


# Source: python-dateutil relativedelta, published examples and a run of it.
@pytest.mark.parametrize(
    ("anchor", "months", "wanted"),
    [
        (date(2005, 1, 31), 1, date(2005, 2, 28)),
        (date(2013, 3, 31), -1, date(2013, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2023, 11, 30), 3, date(2024, 2, 29)),
    ],
)
def test_month_ends_are_clamped(anchor: date, months: int, wanted: date) -> None:
    assert add_months(anchor, months) == wanted


@given(DATES, st.integers(-400, 400))
def test_the_same_as_relativedelta(anchor: date, months: int) -> None:
    # Source: python-dateutil as the oracle.
    assert add_months(anchor, months) == anchor + relativedelta(months=months)


def test_off_the_calendar_is_said() -> None:
    with pytest.raises(OverflowError):
        add_months(date(2024, 1, 31), 12 * 9000)
