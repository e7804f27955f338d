from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.gauging.prior import LEAST_TAIL, Prior, from_left, from_setting
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

mm = Length.mm
RANGE = Band(mm("0.06"), mm("0.10"))


def test_three_in_four_lie_in_the_range() -> None:
    assert from_setting(RANGE).weight(RANGE.low, RANGE.high) == Fraction(3, 4)


def test_the_tail_falls_with_the_square() -> None:
    # One tail's length out there is a quarter of the tail left, two out a ninth.
    prior = from_setting(RANGE)
    assert prior.weight(mm("0.14"), None) == Fraction(1, 8) / 4
    assert prior.weight(mm("0.18"), None) == Fraction(1, 8) / 9


def test_what_would_be_negative_has_no_gap() -> None:
    prior = from_setting(RANGE)
    assert prior.weight(ZERO, mm("0.06")) == Fraction(1, 8)
    assert prior.below(ZERO) == 0
    assert prior.weight(ZERO, None) == 1


@given(
    st.integers(0, 500), st.integers(0, 200), st.lists(st.integers(0, 1500), min_size=2, max_size=6)
)
def test_weights_add_up_and_none_is_nothing(low: int, width: int, cuts: list[int]) -> None:
    prior = from_setting(Band(Length.um(low), Length.um(low + width)))
    places = [ZERO, *(Length.um(c) for c in sorted(set(cuts) - {0}))]
    ends: list[Length | None] = [*places[1:], None]
    parts = [prior.weight(a, b) for a, b in zip(places, ends, strict=True)]
    assert sum(parts) == 1
    assert all(part > 0 for part in parts)


def test_from_last_time_moved_by_the_drift() -> None:
    # Left 0.09 to 0.10, closing 0.0083 to 0.0050 mm per 1 000 km (arithmetic), 6 000 km on.
    prior = from_left(mm("0.09"), mm("0.10"), mm("-0.0498"), mm("-0.030"))
    assert (prior.low, prior.high) == (mm("0.0402"), mm("0.07"))
    assert prior.tail == LEAST_TAIL
    assert prior.weight(prior.low, prior.high) == Fraction(3, 4)


def test_a_drift_below_zero_stops_at_zero() -> None:
    prior = from_left(mm("0.02"), mm("0.03"), mm("-0.05"), mm("-0.01"))
    assert (prior.low, prior.high) == (ZERO, mm("0.02"))


def test_a_single_figure_is_a_step() -> None:
    prior = Prior(mm("0.10"), mm("0.10"))
    assert prior.below(mm("0.10")) == Fraction(7, 8)
    assert prior.below(mm("0.0999")) < Fraction(1, 8)


def test_what_makes_no_prior_is_refused() -> None:
    with pytest.raises(ValueError, match="upwards"):
        Prior(mm("0.2"), mm("0.1"))
    with pytest.raises(ValueError, match="surprise"):
        Prior(mm("0.1"), mm("0.2"), inside=Fraction(1))
    with pytest.raises(ValueError, match="drift"):
        from_left(mm("0.1"), mm("0.2"), mm("0.1"), ZERO)
