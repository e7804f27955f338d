"""One blade between turning and locking: the odds behind it, which one, and what it leaves."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchtui.domain.adjusting.before_lock import (
    DRAG,
    GIVE,
    NEAR,
    aim_feeler,
    chance_between,
    hand_error,
    left_by,
    pays,
)
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, Band, ScrewEnd

um = Length.um
SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.72"))
BAND = Band(um(80), um(120))


def tried(thickness: int, answer: Answer) -> Reading:
    return Reading(Feeler((Leaf(um(thickness)),)), answer)


def bracket(low: int, high: int) -> Bracket:
    return Bracket(um(low), um(high), um(low), um(high))


def test_five_degrees_of_the_thread_through_the_lever() -> None:
    """5/360 of 0.72 mm is 0.010 mm (geometry)."""
    assert hand_error(SCREW) == um(10)
    pushrod = Adjuster(
        AdjusterKind.SCREW, ScrewEnd.PUSHROD, pitch=Length.mm("0.72"), ratio=Fraction(3, 2)
    )
    assert hand_error(pushrod) == um(15)
    with pytest.raises(Refusal, match="no pitch"):
        hand_error(Adjuster(AdjusterKind.SCREW))


@pytest.mark.parametrize(
    ("halves", "low", "high", "chance"),
    [
        # One: even over -10 to 10. Two alike: a triangle, 3/4 within half its reach. Arithmetic.
        ((10,), -5, 5, Fraction(1, 2)),
        ((10,), 0, 50, Fraction(1, 2)),
        ((10, 10), -10, 10, Fraction(3, 4)),
        ((10, 10), -20, 20, Fraction(1)),
        ((10, 10), 10, 20, Fraction(1, 8)),
        # Three alike: the middle third of a sum of three holds 2/3 (Irwin-Hall, from memory).
        ((10, 10, 10), -10, 10, Fraction(2, 3)),
        ((0, 0), -1, 1, Fraction(1)),
        ((0, 0), 1, 2, Fraction(0)),
    ],
)
def test_the_chance_of_a_sum_of_even_errors(
    halves: tuple[int, ...], low: int, high: int, chance: Fraction
) -> None:
    assert chance_between(tuple(um(h) for h in halves), um(low), um(high)) == chance


@given(
    st.lists(st.integers(0, 50), min_size=1, max_size=3),
    st.integers(-200, 200),
    st.integers(0, 100),
    st.integers(0, 100),
)
def test_chances_of_neighbouring_stretches_add_up_and_mirror(
    halves: list[int], start: int, first: int, second: int
) -> None:
    assume(any(halves))
    widths = tuple(um(h) for h in halves)
    a, b, c = um(start), um(start + first), um(start + first + second)
    whole = chance_between(widths, a, c)
    assert 0 <= whole <= 1
    assert chance_between(widths, a, b) + chance_between(widths, b, c) == whole
    assert chance_between(widths, -c, -a) == whole
    reach = sum(halves)
    assert chance_between(widths, um(-reach), um(reach)) == 1


def test_it_pays_where_a_lock_in_ten_would_fail() -> None:
    """Hand 10 and nut 10, even: out by more than 15 either way is 2 x (5/20)^2 / 2 = 1/16; by more
    than 12 it is 0.16 (a triangle's tails, arithmetic)."""
    here = bracket(90, 110)
    assert not pays(here, Band(um(85), um(115)), SCREW)
    assert pays(here, Band(um(88), um(112)), SCREW)


def test_what_was_not_known_before_the_turn_counts_too() -> None:
    """A bracket 40 wide, 20 of it the hand's: three even errors of 10, out by more than 15 at
    2 x 15^3 / (6 x 20^3) = 0.14 (Irwin-Hall, from memory); with two it would be 1/16."""
    assert pays(bracket(80, 120), Band(um(85), um(115)), SCREW)


@pytest.mark.parametrize("here", [OPEN, bracket(110, 90)])
def test_where_nothing_is_reckoned_no_blade_is_asked_for(here: Bracket) -> None:
    assert not pays(here, BAND, SCREW)


def test_the_leaf_that_drags_about_the_aim() -> None:
    """A blade drags from 4 below itself to 10 above: its own middle is 3 above (design values)."""
    blades = BladeSet("F", tuple(Leaf(um(t)) for t in (30, 60, 97, 150)))
    assert aim_feeler(blades, um(100)) == Feeler((Leaf(um(97)),))
    off = aim_feeler(blades, um(100) + NEAR)
    assert off is not None
    assert off.nominal == um(97)
    assert aim_feeler(blades, um(101) + NEAR) is None


def test_two_leaves_where_no_single_one_is_near() -> None:
    blades = BladeSet("F", tuple(Leaf(um(t)) for t in (40, 54, 200)))
    stack = aim_feeler(blades, um(100))
    assert stack is not None
    assert stack.marks == (um(40), um(54))
    # A single leaf as near is less to wipe.
    with_leaf = BladeSet("F", (*blades.leaves, Leaf(um(97))))
    single = aim_feeler(with_leaf, um(100))
    assert single is not None
    assert len(single.leaves) == 1


def test_a_joint_is_less_sure_than_a_leaf_a_little_further_off() -> None:
    # The stack: 40 + 53.5, half a joint 3.5, the middle of its drag 3: just 100. The leaf: 101.
    blades = BladeSet("F", (Leaf(um(40)), Leaf(Length(53_500)), Leaf(um(98))))
    assert aim_feeler(blades, um(100)) == Feeler((Leaf(um(98)),))


def test_what_each_answer_leaves() -> None:
    here = bracket(80, 120)
    free = left_by(here, tried(100, Answer.FREE))
    assert (free.low, free.high, free.wide_low) == (um(100), um(120), um(95))
    drag = left_by(here, tried(100, Answer.DRAG))
    assert (drag.low, drag.high) == (um(100) - GIVE, um(100) - GIVE + DRAG)
    assert (drag.wide_low, drag.wide_high) == (um(91), um(115))
    refuses = left_by(here, tried(100, Answer.REFUSES))
    assert (refuses.low, refuses.high, refuses.wide_high) == (um(80), um(100), um(105))


@given(st.integers(20, 300), st.integers(20, 300), st.sampled_from(Answer))
def test_a_blade_never_widens_and_never_moves_an_end_it_says_nothing_of(
    low: int, thickness: int, answer: Answer
) -> None:
    here = bracket(low, low + 40)
    left = left_by(here, tried(thickness, answer))
    assert left.low >= here.low
    assert left.high is not None
    assert here.high is not None
    assert left.high <= here.high
    if answer is Answer.REFUSES:
        assert left.low == here.low
    if answer is Answer.FREE:
        assert left.high == here.high


def test_reckoning_and_blade_that_differ_clash() -> None:
    assert left_by(bracket(80, 90), tried(200, Answer.FREE)).clash
    assert left_by(OPEN, tried(100, Answer.REFUSES)) == Bracket(ZERO, um(100), ZERO, um(105))
