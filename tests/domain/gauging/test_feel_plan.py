"""The plan with three answers: exact, never worse than two answers, and it only ever advises."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.feel_plan import next_by_feel
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.gauging.prior import Prior, from_setting
from benchtui.domain.gauging.verdict import Verdict, judge
from benchtui.domain.length import Length, midpoint
from benchtui.domain.sheet import Band

mm, um = Length.mm, Length.um
HAND = FeelBand.exactly(um(-4), um(10))
FINE = BladeSet(
    "fine",
    tuple(Leaf(um(t)) for t in (30, 40, 50, 60, 70, 80, 90, 100, 120, 150, 200)),
)
RANGES = [("0.06", "0.10"), ("0.08", "0.12"), ("0.10", "0.15")]


def band(low: str, high: str) -> Band:
    return Band(mm(low), mm(high))


def hand(gap: Length, blade: Length, felt: FeelBand = HAND) -> Answer:
    if gap - blade >= felt.free_from:
        return Answer.FREE
    return Answer.DRAG if gap - blade >= felt.refused_to else Answer.REFUSES


def two(readings: list[Reading], have: BladeSet, setting: Band) -> NextBlade | None:
    advice = next_blade(bracket_of(readings), have, setting)
    return advice if isinstance(advice, NextBlade) else None


def three(readings: list[Reading], have: BladeSet, setting: Band) -> NextBlade | None:
    return next_by_feel(readings, have, setting, HAND) or two(readings, have, setting)


def gauge(
    gap: Length, have: BladeSet, setting: Band, *, feel: bool
) -> tuple[list[Reading], Verdict]:
    """Until in range, by feel or not, or out."""
    readings: list[Reading] = []
    while True:
        verdict = judge(readings, setting, HAND)
        if verdict.kind.settled or verdict.by_feel:
            return readings, verdict
        advice = (three if feel else two)(readings, have, setting)
        if advice is None:
            return readings, verdict
        answer = hand(gap, advice.feeler.nominal)
        readings.append(Reading(advice.feeler, answer))
        assert len(readings) < 12


def mean(setting: Band, prior: Prior, *, feel: bool) -> Fraction:
    """Insertions to the verdict, exact: between two neighbouring ends of the hand's answers every
    clearance answers alike."""
    ends = (leaf.thickness + e for leaf in FINE.leaves for e in (HAND.refused_to, HAND.free_from))
    places = [Length(0), *sorted(set(ends)), mm("1")]
    total = Fraction(0)
    for low, high in pairwise(places):
        weight = (1 if high == mm("1") else prior.below(high)) - prior.below(low)
        total += weight * len(gauge(midpoint(low, high), FINE, setting, feel=feel)[0])
    return total


@pytest.mark.parametrize(("low", "high"), RANGES)
def test_no_more_insertions_than_with_two_answers(low: str, high: str) -> None:
    setting = band(low, high)
    prior = from_setting(setting)
    by_two, by_three = (mean(setting, prior, feel=feel) for feel in (False, True))
    assert by_three < by_two


@pytest.mark.parametrize(("low", "high"), RANGES)
def test_the_mean_foretold_is_the_mean_played(low: str, high: str) -> None:
    """Every clearance played to its verdict, weighed by the prior: the plan's own figure."""
    setting = band(low, high)
    prior = from_setting(setting)
    first = next_by_feel([], FINE, setting, HAND)
    assert first is not None
    # The plan reckons in parts of a million, and gives each stretch one part more.
    assert float(first.expected) == pytest.approx(float(mean(setting, prior, feel=True)), abs=1e-4)


@given(
    st.integers(0, 300),
    st.lists(st.integers(3, 30).map(lambda t: t * 10), min_size=2, max_size=9, unique=True),
    st.integers(4, 20),
    st.integers(1, 8),
)
def test_it_ends_in_a_verdict_that_two_answers_would_not_contradict(
    gap: int, sizes: list[int], low: int, width: int
) -> None:
    setting = Band(um(low * 10), um((low + width) * 10))
    have = BladeSet("some", tuple(Leaf(um(t)) for t in sizes))
    readings, verdict = gauge(um(gap), have, setting, feel=True)
    _, plain = gauge(um(gap), have, setting, feel=False)
    if verdict.kind.settled and plain.kind.settled:
        assert verdict.kind is plain.kind
    if verdict.by_feel:
        # This hand keeps its band, so what it says by feel is so.
        assert setting.low <= um(gap) <= setting.high
    assert len({r.feeler.marks for r in readings}) == len(readings)


def test_it_says_what_each_of_the_three_answers_would_mean() -> None:
    """0.09 dragging is 0.086 to 0.100 by this hand: in range with one blade."""
    three_leaves = BladeSet("three", tuple(Leaf(um(t)) for t in (60, 90, 100)))
    first = next_by_feel([], three_leaves, band("0.06", "0.10"), HAND)
    assert first is not None
    assert first.why == "0.09: inside the range; if it drags, this valve is in range by feel"
    assert first.if_goes == "drag, in range by feel; free, not known yet: then 0.10 next"
    assert first.if_refuses == "not known yet: then 0.06 next"
    felt = [Reading(three_leaves.feeler(um(60)), Answer.FREE)]
    then = next_by_feel(felt, three_leaves, band("0.06", "0.10"), HAND)
    assert then is not None
    assert then.why == "0.10: the upper limit; if it refuses, this valve is in range"
    assert then.if_goes == "drag, at the limit: set it; free, wide"


def test_where_single_leaves_cannot_decide_it_leaves_it_to_two_answers_and_stacks() -> None:
    coarse = BladeSet("coarse", tuple(Leaf(um(t)) for t in (50, 100, 150, 200)))
    assert next_by_feel([], coarse, band("0.11", "0.14"), HAND) is None


def test_what_does_not_fit_the_hand_is_left_to_two_answers() -> None:
    """0.06 drags and 0.10 drags: no one gap does that to this hand."""
    felt = [Reading(FINE.feeler(um(t)), Answer.DRAG) for t in (60, 100)]
    assert next_by_feel(felt, FINE, band("0.06", "0.12"), HAND) is None
