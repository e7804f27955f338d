from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import OPEN, Bracket
from benchtui.domain.gauging.candidates import Candidate, candidates
from benchtui.domain.gauging.next_blade import Goal, _Plan
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band


def every(blades: BladeSet) -> tuple[Candidate, ...]:
    """All leaves and all stacks, the cheapest and surest one of each thickness."""
    found: dict[int, Candidate] = {}
    for count in (1, 2, 3):
        for leaves in combinations(range(len(blades.leaves)), count):
            feeler = Candidate(0, 0, 0, 0, leaves).feeler(blades)
            nominal, thick = feeler.nominal.nm, feeler.thickest.nm
            old = found.get(nominal)
            if old is None or (old.count, old.thickest) > (count, thick):
                found[nominal] = Candidate(nominal, nominal, feeler.thinnest.nm, thick, leaves)
    return tuple(sorted(found.values(), key=lambda c: c.at))


@given(
    st.lists(st.integers(6, 80).map(lambda n: 5 * n), min_size=2, max_size=6, unique=True),
    st.integers(8, 80),
    st.sampled_from([20, 30, 40, 60]),
    st.sampled_from(list(Goal)),
    st.booleans(),
)
def test_the_stacks_left_out_could_not_have_helped(
    marks: list[int], low: int, width: int, goal: Goal, narrow: bool
) -> None:
    """The plan over the chosen few against the plan over every stack there is."""
    blades = BladeSet("any", tuple(Leaf(Length.um(m)) for m in marks))
    setting = Band(Length.um(5 * low), Length.um(5 * low + width))
    window = setting.width if narrow else None
    few = candidates(
        OPEN, blades, setting, proved=goal is Goal.PROVED, window=window, tried=frozenset()
    )
    open_share, cost = [], []
    for some in (few, every(blades)):
        plan = _Plan(
            OPEN, some, setting, goal=goal, window=window, prior=from_setting(setting)
        ).tree
        open_share.append(float(plan.left_open(0, len(some) + 1)))
        cost.append(float(plan.expected_cost(0, len(some) + 1) / 2))
    # The prior is cut into a million parts and every cell gets one more, hence the tolerances.
    assert open_share[0] == pytest.approx(open_share[1], abs=2e-4)
    # Only far out of the range may a little be lost, and never where no turn is planned.
    assert cost[0] <= cost[1] + (0.05 if narrow else 1e-3)


def test_few_of_the_many() -> None:
    blades = BladeSet("26", tuple(Leaf(Length.um(50 * k)) for k in range(1, 27)))
    setting = Band(Length.um(280), Length.um(340))
    some = candidates(OPEN, blades, setting, proved=True, window=None, tried=frozenset())
    # All sums are multiples of 0.05 too: no stack within the leaves' reach adds anything.
    assert len(some) == 26
    assert all(c.count == 1 for c in some)


def test_only_what_lies_between_and_was_not_tried() -> None:
    blades = BladeSet("three", tuple(Leaf(Length.um(m)) for m in (50, 80, 100)))
    setting = Band(Length.um(70), Length.um(110))
    tried = frozenset({(Length.um(80),)})
    some = candidates(OPEN, blades, setting, proved=False, window=None, tried=tried)
    assert 80_000 not in {c.nominal for c in some}
    assert [c.at for c in some] == sorted(c.at for c in some)


def test_every_wide_gap_out_of_the_range_gets_a_stack() -> None:
    leaves = [Leaf(Length.um(50 * k)) for k in range(1, 21)]
    blades = BladeSet("steps", (*leaves, Leaf(Length.um(38))))
    setting = Band(Length.um(80), Length.um(120))
    some = candidates(OPEN, blades, setting, proved=False, window=setting.width, tried=frozenset())
    # The leaves stand 0.05 apart and the window is 0.04: 0.038 and another leaf lie between.
    steps = [c.at for c in some if 150_000 <= c.at <= 1_000_000]
    assert max(b - a for a, b in pairwise(steps)) <= 40_000
    # Above the thickest leaf the ladder goes on.
    assert [c.at for c in some if 1_000_000 < c.at < 1_100_000]


def test_what_a_blade_has_proved_a_worse_one_does_not_take_back() -> None:
    bracket = Bracket(Length.um(65), None, Length.um(60), None)
    blades = BladeSet("rough", (Leaf(Length.um(80), error=Length.um(30)),))
    setting = Band(Length.um(60), Length.um(120))
    some = candidates(bracket, blades, setting, proved=True, window=None, tried=frozenset())
    plan = _Plan(bracket, some, setting, goal=Goal.PROVED, window=None, prior=from_setting(setting))
    assert plan.wide_lows == [60_000, 60_000]
