"""A short seeded rehearsal: an engine and a hand that are not real, through the real bench."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from benchtui.domain.blades import BladeSet
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.events import Opened, Particulars
from benchtui.domain.sheet import Band
from benchtui.rehearse.fleet import COARSE, FINE, FLEET, Case, band, blade_set, engine
from benchtui.rehearse.hand import RIGID_HAND, STORY_HAND, Hand
from benchtui.rehearse.metal import Metal, drawn, true_leaves
from benchtui.rehearse.optimum import advised, cost_of, exact_optimum
from benchtui.rehearse.player import play
from benchtui.rehearse.rivals import as_choice, stepping
from benchtui.rehearse.settings import Teaching, shares, together
from benchtui.rehearse.tally import rehearse

SMALL = (FLEET[0], FLEET[2])
NARROW = band("0.08", "0.12")


@pytest.mark.parametrize(
    ("asked", "blades"),
    [
        (band("0.06", "0.10"), FINE),
        (band("0.08", "0.12"), FINE),
        (band("0.15", "0.25"), COARSE),
        (band("0.22", "0.28"), COARSE),  # no leaf at either limit
        (band("0.05", "0.10"), blade_set("five", "0.03", "0.05", "0.06", "0.08", "0.10")),
    ],
    ids=["fine", "fine too", "coarse", "no leaf at a limit", "five leaves"],
)
def test_no_method_needs_fewer_insertions(asked: Band, blades: BladeSet) -> None:
    """The bench against a brute force over every stack at every stretch, written apart from it."""
    prior = from_setting(asked)
    bench = cost_of(advised(blades, asked, prior), asked, prior)
    assert bench.weighed == pytest.approx(exact_optimum(blades, asked, prior), rel=2e-4)


def test_a_test_tells_at_most_one_bit() -> None:
    """Entropy bounds the tests from below (source coding theorem)."""
    prior = from_setting(NARROW)
    bench = cost_of(advised(FINE, NARROW, prior), NARROW, prior)
    assert bench.verdicts <= bench.narrowed <= bench.insertions


@pytest.mark.parametrize("rule", list(DecisionRule)[:2])
def test_blades_that_keep_their_error_never_mislead(rule: DecisionRule) -> None:
    tally = rehearse(SMALL, RIGID_HAND, 11, sessions=8, rule=rule)
    assert tally.brackets > 200
    assert tally.missed == 0
    assert tally.false_in_proved == 0
    assert tally.undecided == 0


def test_a_dragged_blade_misleads_by_no_more_than_it_gives() -> None:
    """This hand draws a blade through a gap up to 4 um narrower than it."""
    tally = rehearse(SMALL, STORY_HAND, 11, sessions=8)
    assert tally.worst_miss <= 4000
    assert tally.false_in_proved == 0


def test_stepping_takes_more() -> None:
    bench = rehearse((FLEET[0],), STORY_HAND, 3, sessions=30)
    rival = rehearse((FLEET[0],), STORY_HAND, 3, sessions=30, choose=as_choice(stepping))
    assert bench.insertions <= 0.8 * rival.insertions


def test_one_turn_out_is_found_out_before_a_screw_is_touched() -> None:
    tally = rehearse((FLEET[2],), Hand(overlap=0.5), 5, sessions=6)
    assert tally.overlaps > 5
    assert tally.overlaps_seen == tally.overlaps
    assert tally.undecided == 0


def test_learning_the_nut_pays_and_a_blade_between_pays_more() -> None:
    none, learning = (
        together(shares(t, STORY_HAND, 2, rounds=2, sessions=2))
        for t in (Teaching.NONE, Teaching.LEARNING)
    )
    between = together(shares(Teaching.LEARNING, STORY_HAND, 2, rounds=2, sessions=2, between=True))
    assert none.share < learning.share < between.share
    assert between.lockings / between.locked < learning.lockings / learning.locked


def test_the_same_seed_plays_the_same_session() -> None:
    assert rehearse(SMALL, STORY_HAND, 4, sessions=2) == rehearse(SMALL, STORY_HAND, 4, sessions=2)


def test_what_is_drawn_follows_the_prior() -> None:
    prior = from_setting(NARROW)
    random = Random(1)
    some = Counter(drawn(prior, random) // 10_000 for _ in range(20_000))
    for cell in range(4, 20):
        low, high = Length(cell * 10_000), Length(cell * 10_000 + 10_000)
        assert some[cell] / 20_000 == pytest.approx(float(prior.weight(low, high)), abs=0.01)


@pytest.mark.parametrize(
    ("gap", "answer"),
    [(59, Answer.REFUSES), (96, Answer.DRAG), (109, Answer.DRAG), (110, Answer.FREE)],
)
def test_the_hand_of_the_stories(gap: int, answer: Answer) -> None:
    assert STORY_HAND.feel(gap * 1000, 100_000) is answer


def test_leaves_and_joints_stay_within_what_is_allowed() -> None:
    random = Random(2)
    leaves = true_leaves(FINE, random)
    assert all(abs(t - leaf.marked.nm) <= leaf.error.nm for leaf, t in leaves.items())
    metal = Metal(FLEET[0].sheet, FINE, STORY_HAND, random, leaves=leaves)
    stack = FINE.feeler(Length.mm("0.03"), Length.mm("0.20"), Length.mm("0.10"))
    for _ in range(50):
        assert stack.thinnest.nm <= metal.thickness(stack) <= stack.thickest.nm


def test_a_wide_range_is_locked_without_a_reading_between() -> None:
    case = Case(engine("wide", 1, band("0.10", "0.20"), band("0.20", "0.30")), FLEET[4].blades)
    gaps = {"1I": 70_000, "1E": 330_000}
    metal = Metal(case.sheet, case.blades, STORY_HAND, Random(3), gaps=gaps)
    opened = Opened("rehearsal", case.sheet, "mixed", case.blades, Particulars())
    played = play(opened, metal)
    assert played.valves[0].locks
    assert played.valves[0].between == 0
    assert all(v.done for v in played.valves)
