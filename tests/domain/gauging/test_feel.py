from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading
from benchtui.domain.gauging.feel import (
    FeelBand,
    OwnSpread,
    Practice,
    Try,
    bracket_by_feel,
    in_range_by_feel,
    learn,
    next_excess,
    own_spread,
    steady,
)
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

mm, um = Length.mm, Length.um
FINE = [
    mm(x)
    for x in "0.03 0.04 0.05 0.06 0.07 0.08 0.09 0.10 0.12 0.15 0.20".split()  # noqa: SIM905 - reads better
]
TRAINED = FeelBand.exactly(um(-4), um(10))


def hand(gap: Length, blade: Length, band: FeelBand = TRAINED) -> Answer:
    if gap - blade >= band.free_from:
        return Answer.FREE
    return Answer.REFUSES if gap - blade < band.refused_to else Answer.DRAG


def practice(gap: Length, *micrometres: int) -> list[Try]:
    return [Try(gap, um(m), hand(gap, um(m))) for m in micrometres]


def reading(answer: Answer, mark: Length) -> Reading:
    return Reading(Feeler((Leaf(mark),)), answer)


def test_a_band_learned_on_a_known_gap() -> None:
    # Gap 0.100: 0.108 and 0.105 refuse (excess -8, -5); -4, 0, 5, 9 drag; 10, 15 free.
    tries = practice(mm("0.100"), 108, 105, 104, 100, 95, 91, 90, 85)
    assert steady(tries)
    assert learn(tries) == FeelBand(um(-5), um(-4), um(9), um(10))


def test_a_gap_set_by_a_stack_makes_the_band_as_much_wider() -> None:
    """0.20 and 0.05 together are 0.250 to 0.257: every end is taken with that against us."""
    stack = Feeler((Leaf(mm("0.20")), Leaf(mm("0.05"))))
    practice = Practice().at_stack(stack)
    for excess in (-8, -5, -4, 0, 5, 9, 10, 15):
        practice = practice.felt(mm("0.25") - um(excess), hand(mm("0.25") + um(excess), mm("0.25")))
    assert practice.band == FeelBand(um(-5), um(-4 + 7), um(9), um(10 + 7))
    assert practice.at(mm("0.104")).doubt == ZERO


def test_what_to_try_next_goes_out_and_then_halves_the_worse_known_end() -> None:
    assert next_excess([]) == um(-5)
    gap = mm("0.100")
    assert next_excess([Try(gap, um(105), Answer.DRAG)]) == um(-10)
    ends = [Try(gap, um(110), Answer.REFUSES), Try(gap, um(80), Answer.FREE)]
    assert next_excess(ends) == um(5)
    # A refusal at -10, a drag at 4, free at 20: 14 wide below, 16 above.
    assert next_excess([*ends, Try(gap, um(96), Answer.DRAG)]) == um(12)
    assert next_excess(practice(gap, 108, 105, 104, 100, 95, 91, 90, 85)) is None


def test_too_little_practice_teaches_nothing() -> None:
    tries = practice(mm("0.100"), 108, 105, 104, 100, 95, 91, 90, 85)
    assert learn(tries[:-1]) is None
    assert learn([t for t in tries if t.answer is not Answer.FREE] * 2) is None
    assert learn([t for t in tries if t.answer is not Answer.DRAG] * 3) is None


def test_an_unsteady_hand_gets_a_wider_band() -> None:
    tries = practice(mm("0.100"), 108, 105, 104, 100, 95, 91, 90, 85)
    odd = [*tries, Try(mm("0.100"), um(98), Answer.FREE), Try(mm("0.100"), um(99), Answer.REFUSES)]
    assert not steady(odd)
    band = learn(odd)
    assert band is not None
    assert band.free_from == um(2)
    assert band.refused_to == um(1)
    assert (band.floor, band.ceiling) == (um(-4), um(9))


@given(
    st.lists(st.integers(-15, 25), min_size=8, max_size=30),
    st.integers(40, 140),
    st.lists(st.sampled_from(FINE), min_size=1, max_size=5),
)
def test_a_learned_band_never_loses_the_truth(
    excesses: list[int], gap: int, blades: list[Length]
) -> None:
    """With a hand that keeps its band, what is learned from it holds the clearance."""
    band = learn([Try(um(200), um(200 - e), hand(um(200), um(200 - e))) for e in excesses])
    if band is None:
        return
    clearance = um(gap)
    found = bracket_by_feel([reading(hand(clearance, b), b) for b in blades], band)
    assert found.low <= clearance
    assert found.high is None or clearance <= found.high


@given(
    st.lists(st.tuples(st.integers(-18, 25), st.integers(0, 7)), min_size=8, max_size=30),
    st.integers(40, 140),
    st.lists(st.sampled_from(FINE), min_size=1, max_size=5),
)
def test_nor_one_that_was_learned_on_stacks(
    tries: list[tuple[int, int]], gap: int, blades: list[Length]
) -> None:
    """Each stack is truly wider than its leaves by 0 to 7 um; nobody knows by how much."""
    stacks = [
        Try(um(200), um(200 - e), hand(um(200 + wider), um(200 - e)), um(7)) for e, wider in tries
    ]
    band = learn(stacks)
    if band is None:
        return
    found = bracket_by_feel([reading(hand(um(gap), b), b) for b in blades], band)
    assert found.low <= um(gap)
    assert found.high is None or um(gap) <= found.high


def test_by_feel_is_narrower_than_plain() -> None:
    # 0.08 drags: from 0.076 to 0.090, within 0.06 to 0.10 with one blade.
    readings = [reading(Answer.DRAG, mm("0.08"))]
    assert bracket_by_feel(readings, TRAINED) == Bracket(
        mm("0.076"), mm("0.090"), mm("0.071"), mm("0.095")
    )
    assert in_range_by_feel(readings, TRAINED, Band(mm("0.06"), mm("0.10")))
    assert not in_range_by_feel(readings, TRAINED, Band(mm("0.08"), mm("0.10")))
    assert not in_range_by_feel([], TRAINED, Band(mm("0.06"), mm("0.10")))


def test_own_spread_from_blind_repeats() -> None:
    first = Bracket(mm("0.05"), mm("0.06"))
    again = Bracket(mm("0.07"), mm("0.08"))
    assert own_spread([first]) is None
    assert own_spread([first, first]) == OwnSpread(ZERO, mm("0.01"))
    assert own_spread([first, again]) == OwnSpread(mm("0.01"), mm("0.03"))
    assert own_spread([first, OPEN]) == OwnSpread(ZERO, None)


def test_a_band_upside_down_is_refused() -> None:
    with pytest.raises(ValueError, match="upwards"):
        FeelBand.exactly(um(10), um(-4))


def test_one_gap_alone_teaches_nothing_however_often_it_is_tried() -> None:
    answers = [Answer.DRAG] * 6 + [Answer.REFUSES, Answer.FREE]
    tries = [Try(mm("0.100"), um(105), answer) for answer in answers]
    assert learn(tries) is None
    assert next_excess(tries) == um(15)  # somewhere else
