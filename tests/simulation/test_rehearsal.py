"""A short seeded rehearsal: an engine and a hand that are not real, through the real bench."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, bracket_of
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.domain.sheet import Band
from benchtui.practice.hand import RIGID_HAND, STORY_HAND, Hand
from benchtui.practice.metal import Metal, drawn, true_leaves
from tests.engines import band
from tests.simulation.fleet import COARSE, FINE, FLEET, Case, blade_set, engine
from tests.simulation.optimum import advised, cost_of, exact_optimum
from tests.simulation.player import play
from tests.simulation.report import Report
from tests.simulation.rivals import as_choice, stepping, stepping_on
from tests.simulation.settings import Teaching, shares, together
from tests.simulation.shipped import STACKED, mixed_fleet
from tests.simulation.tally import beside, rehearse

SMALL = (FLEET[0], FLEET[2])
NARROW = band("0.08", "0.12")
EVERY_CASE = tuple(
    {
        (str(asked), case.blades.name): (asked, case.blades)
        for case in (*FLEET, *mixed_fleet())
        for asked in case.bands
    }.values()
)
"""Each band with each set that the fleets measure it with, once."""


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
def test_the_optimum_to_the_parts_that_a_prior_is_cut_into(asked: Band, blades: BladeSet) -> None:
    """Where no stack that lies far out is left out, nothing but rounding parts the two."""
    prior = from_setting(asked)
    bench = cost_of(advised(blades, asked, prior), asked, prior)
    assert bench.weighed == pytest.approx(exact_optimum(blades, asked, prior), rel=2e-4)


@pytest.mark.parametrize(
    ("asked", "blades"),
    [
        (band("0.22", "0.28"), COARSE),  # no leaf at either limit
        (band("0.05", "0.09"), blade_set("five", "0.03", "0.05", "0.06", "0.08", "0.10")),
        *EVERY_CASE,
    ],
    ids=lambda told: told.name if isinstance(told, BladeSet) else str(told),
)
def test_no_method_needs_fewer_insertions(asked: Band, blades: BladeSet) -> None:
    """The bench against a brute force over every stack at every stretch, written apart from it."""
    prior = from_setting(asked)
    bench = cost_of(advised(blades, asked, prior), asked, prior)
    assert bench.weighed == pytest.approx(exact_optimum(blades, asked, prior), rel=1e-3)


@given(
    st.lists(st.integers(6, 80), min_size=1, max_size=6, unique=True),
    st.integers(8, 80),
    st.sampled_from([20, 30, 40, 60, 100]),
)
def test_following_the_advice_costs_what_its_plan_says(
    marks: list[int], low: int, width: int
) -> None:
    """Asked anew after every answer, the bench goes down the one tree that it began with."""
    blades = BladeSet("any", tuple(Leaf(Length.um(5 * m)) for m in marks))
    asked = Band(Length.um(5 * low), Length.um(5 * low + width))
    prior = from_setting(asked)
    followed = cost_of(advised(blades, asked, prior), asked, prior)
    top = next_blade(OPEN, blades, asked, prior=prior, window=asked.width)
    assert isinstance(top, NextBlade)
    # The prior is cut into a million parts and every cell gets one more, hence the tolerances.
    assert followed.weighed == pytest.approx(float(top.expected), rel=1e-3)
    assert followed.weighed == pytest.approx(exact_optimum(blades, asked, prior), rel=1e-3)


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


def test_drag_orders_the_blades_and_decides_nothing() -> None:
    """Where a drag lets one look weighs the odds anew; with nothing felt the plan is the old one."""
    setting, bracket = Band(Length.um(100), Length.um(150)), Bracket(Length.um(70), None)
    plain = next_blade(bracket, FINE, setting, window=setting.width)
    same = next_blade(bracket, FINE, setting, window=setting.width, felt=OPEN)
    near = Bracket(Length.um(66), Length.um(80))
    felt = next_blade(bracket, FINE, setting, window=setting.width, felt=near)
    assert isinstance(plain, NextBlade)
    assert isinstance(felt, NextBlade)
    assert plain == same
    assert felt.feeler.nominal < plain.feeler.nominal
    assert felt.expected < plain.expected


def test_stepping_goes_on_with_stacks_until_it_decides() -> None:
    """A single leaf cannot settle this engine's range; stacks can."""
    prior = from_setting(STACKED.bands[0])
    asked, blades = STACKED.bands[0], STACKED.blades
    alone = cost_of(lambda r: stepping(bracket_of(r), blades, asked), asked, prior)
    going_on = cost_of(lambda r: stepping_on(bracket_of(r), blades, asked), asked, prior)
    assert alone.undecided > 0.5
    assert going_on.undecided < 0.01
    assert going_on.weighed > exact_optimum(blades, asked, prior)


def test_only_valves_that_both_decide_are_set_beside_each_other() -> None:
    bench = rehearse((STACKED,), STORY_HAND, 3, sessions=12)
    rival = rehearse((STACKED,), STORY_HAND, 3, sessions=12, choose=as_choice(stepping))
    pair = beside(bench, rival)
    assert 0 < pair.valves < bench.valves
    assert rival.undecided > bench.undecided


def test_a_sheet_with_a_printed_plan_is_played_by_its_stops() -> None:
    """The van's second stop is overlap, where the first cylinder's own valves are not measured."""
    van = next(c for c in mixed_fleet() if c.sheet.plan and "coarse" in c.blades.name.lower())
    tally = rehearse((van,), STORY_HAND, 2, sessions=2)
    assert tally.valves == 2 * len(van.sheet.layout.valves)
    assert tally.undecided == 0


def test_the_report_ends_with_its_goals_and_fits_a_screen() -> None:
    report = Report(1, sessions=1, rounds=1, seeds=2)
    lines = [*report.played(), *report.ends()]
    assert max(len(line) for line in lines) <= 100
    assert sum(line.endswith("met") or "missed by" in line for line in lines) == len(report.goals)


def test_stepping_takes_more() -> None:
    bench = rehearse((FLEET[0],), STORY_HAND, 3, sessions=30)
    rival = rehearse((FLEET[0],), STORY_HAND, 3, sessions=30, choose=as_choice(stepping))
    assert bench.insertions <= 0.85 * rival.insertions


def test_one_turn_out_is_found_out_before_a_screw_is_touched() -> None:
    tally = rehearse((FLEET[2],), Hand(overlap=0.5), 5, sessions=6)
    assert tally.overlaps > 5
    assert tally.overlaps_seen == tally.overlaps
    assert tally.undecided == 0


def test_learning_the_nut_pays_and_a_blade_between_pays_more() -> None:
    none, learning = (
        together(shares(t, STORY_HAND, 2, rounds=4, sessions=2))
        for t in (Teaching.NONE, Teaching.LEARNING)
    )
    between = together(shares(Teaching.LEARNING, STORY_HAND, 2, rounds=4, sessions=2, between=True))
    assert none.share < learning.share < between.share
    assert between.lockings <= 1.15 * between.locked


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
