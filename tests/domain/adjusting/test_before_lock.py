"""One blade between turning and locking: the odds behind it, which one, and what it leaves."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.before_lock import DRAG, GIVE, hand_error, left_by
from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, Band, ScrewEnd
from tests.refusing import must_refuse

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
    with must_refuse("no pitch"):
        hand_error(Adjuster(AdjusterKind.SCREW))


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
