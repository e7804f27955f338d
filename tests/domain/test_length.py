from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.length import ZERO, Length, midpoint


def test_an_inch_and_a_thou_are_exact() -> None:
    """Source: scipy.constants.inch, and the US Navy conversion table: 1 in = 25.4 mm."""
    assert Length.inch(1).nm == round(scipy.constants.inch * 1e9) == 25_400_000
    assert Length.thou(1).nm == 25_400
    assert Length.inch("0.0039") == Length.mm("0.09906")


@pytest.mark.parametrize("value", ["0.08", Decimal("0.08"), Fraction(2, 25)])
def test_what_is_written_in_millimetres(value: str | Decimal | Fraction) -> None:
    assert Length.mm(value).nm == 80_000


def test_an_exact_half_goes_to_the_even_nanometre() -> None:
    """Rounding as the examples of ASTM E29 have it; decimal's ROUND_HALF_EVEN agrees."""
    assert [Length.mm(Fraction(n, 2_000_000)).nm for n in (1, 3, 5, -1, -3)] == [0, 2, 2, 0, -2]
    for n in range(-9, 10):
        wanted = int((Decimal(n) / 2).quantize(Decimal(1), rounding="ROUND_HALF_EVEN"))
        assert Length(n).scaled(Fraction(1, 2)).nm == wanted


@pytest.mark.parametrize("value", [0.08, True, "80000", None, Fraction(1)])
def test_nothing_but_whole_nanometres(value: object) -> None:
    with pytest.raises(TypeError, match="whole number of nanometres"):
        Length(value)  # type: ignore[arg-type]  # that is the point


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (Length.mm("0.08"), "0.08 mm"),
        (Length.mm(3), "3.00 mm"),
        (Length.thou(1), "0.0254 mm"),
        (Length(1), "0.000001 mm"),
        (Length.mm("-0.035"), "-0.035 mm"),
        (ZERO, "0.00 mm"),
    ],
)
def test_reads_exactly(length: Length, text: str) -> None:
    assert str(length) == text


nm = st.integers(-(10**9), 10**9)


@given(nm, nm)
def test_arithmetic_is_that_of_whole_numbers(a: int, b: int) -> None:
    x, y = Length(a), Length(b)
    assert (x + y).nm == a + b
    assert (x - y).nm == a - b
    assert (-x).nm == -a
    assert abs(x).nm == abs(a)
    assert (x * 3).nm == 3 * a
    assert (x < y) is (a < b)
    assert bool(x) is bool(a)
    assert Length.mm(str(x).removesuffix(" mm")) == x
    assert abs(2 * midpoint(x, y).nm - (a + b)) <= 1
