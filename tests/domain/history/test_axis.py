"""The axis of the wear picture: in proportion, but for one overlong way."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.history.axis import LONG, Axis


def test_even_ways_are_drawn_as_they_are() -> None:
    axis = Axis.of(Fraction(x) for x in (0, 5000, 9000, 15000))
    assert axis.drawn == axis.places
    assert axis.breaks == ()
    assert axis.at(Fraction(17000)) == 17000


def test_a_mistyped_counter_squeezes_nothing() -> None:
    """615 000 typed for 61 500: the way to it is drawn as four usual ones, with a break in its middle."""
    axis = Axis.of(Fraction(x) for x in (50_000, 55_000, 60_000, 615_000))
    assert list(axis.drawn) == [50_000, 55_000, 60_000, 80_000]
    assert list(axis.breaks) == [70_000]
    assert axis.at(Fraction(60_000 + 555_000 // 2)) == 70_000
    assert axis.at(Fraction(616_000)) == 81_000


@given(st.lists(st.integers(0, 10**6), max_size=8).map(lambda xs: [Fraction(x) for x in xs]))
def test_order_is_kept_and_no_way_is_overlong(places: list[Fraction]) -> None:
    axis = Axis.of(places)
    assert list(axis.drawn) == sorted(axis.drawn)
    assert [axis.at(p) for p in axis.places] == list(axis.drawn)
    ways = sorted(b - a for a, b in zip(axis.places, axis.places[1:], strict=False))
    drawn = [b - a for a, b in zip(axis.drawn, axis.drawn[1:], strict=False)]
    if ways:
        assert max(drawn) <= LONG * ways[(len(ways) - 1) // 2]
