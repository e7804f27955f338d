"""A clearance place by place: moved by a turn, weighed by blades."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Measured, Reading
from benchtui.domain.gauging.chances import (
    ANY_HAND,
    SURE,
    WHOLE,
    Chances,
    answers_at,
    chances_measured,
    chances_of,
)
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import ZERO, Length

um = Length.um
STEADY = FeelBand.exactly(um(-4), um(10))
FLAT = Chances(100, (WHOLE // 21,) * 21)


def read(size: int, answer: Answer, *more: int, error: int = 0) -> Reading:
    return Reading(Feeler(tuple(Leaf(um(s), error=um(error)) for s in (size, *more))), answer)


def test_between_a_blade_that_goes_and_one_that_refuses() -> None:
    """Free, it is 10 over the blade at least; refused, 4 under it at the most."""
    found = chances_of((read(80, Answer.FREE), read(120, Answer.REFUSES)), STEADY)
    assert found is not None
    low, high = found.span(1000)
    assert abs(low - um(90)) <= um(1)
    assert abs(high - um(116)) <= um(1)
    assert abs(found.mean - um(103)) <= um(1)


def test_a_drag_tells_both_ends_and_a_stack_only_one() -> None:
    single = chances_of((read(100, Answer.DRAG),), STEADY)
    assert single is not None
    assert abs(single.mean - um(103)) <= um(1)
    assert chances_of((read(60, Answer.DRAG, 40),), STEADY) is None
    assert chances_of((read(60, Answer.FREE),), STEADY) is None


def test_answers_that_do_not_fit_together_leave_nothing() -> None:
    assert chances_of((read(150, Answer.FREE), read(100, Answer.REFUSES)), STEADY) is None


def test_moved_it_lies_where_it_was_turned_to_with_the_hands_error() -> None:
    """A flat 21 um and a flat error of 10 either way: 41 um, and the variances add."""
    moved = FLAT.moved(um(50), um(10))
    assert (moved.first, len(moved.weights)) == (140, 41)
    assert abs(moved.mean - FLAT.mean - um(50)) <= um(1)
    assert moved.weights[20] > moved.weights[0]


def test_no_clearance_is_below_none() -> None:
    moved = FLAT.moved(-um(115), um(5))
    assert moved.first == 0
    assert moved.weights[0] > moved.weights[1]
    assert moved.whole == pytest.approx(WHOLE, rel=1e-6)


def test_a_measured_value_lies_anywhere_within_its_error() -> None:
    found = chances_measured(Measured(um(110), um(10)))
    assert (found.first, len(found.weights)) == (100, 21)
    assert len(set(found.weights)) == 1


@given(st.integers(20, 300), st.integers(0, 10), st.booleans(), st.sampled_from([STEADY, ANY_HAND]))
def test_at_each_place_the_three_answers_come_to_one(
    size: int, error: int, stacked: bool, hand: FeelBand
) -> None:
    reading = read(size, Answer.FREE, *((30,) if stacked else ()), error=error)
    fits = answers_at(reading.feeler, hand, 0, 400)
    for k in range(400):
        assert abs(sum(fits[answer][k] for answer in Answer) - SURE) <= 1
        assert not stacked or not fits[Answer.DRAG][k]


def test_a_zero_is_no_place_below() -> None:
    found = chances_of((read(30, Answer.REFUSES),), STEADY)
    assert found is not None
    assert found.first == 0
    assert found.span(10**6)[0] == ZERO
