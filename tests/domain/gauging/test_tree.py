from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.gauging.tree import MayEnd, optimal_tree

Plan = tuple[int, "Plan", "Plan"] | None


def every_plan(i: int, j: int, ends: Callable[[int, int], bool]) -> Iterator[Plan]:
    """Every plan for the stretch (i, j), one by one."""
    if j == i + 1 or ends(i, j):
        yield None
        return
    for k in range(i + 1, j):
        for left in every_plan(i, k, ends):
            for right in every_plan(k, j, ends):
                yield (k, left, right)


def cost_of(plan: Plan, cell: int, costs: list[int]) -> int:
    """The cost of walking down to one cell."""
    total = 0
    while plan is not None:
        k, left, right = plan
        total += costs[k - 1]
        plan = right if cell >= k else left
    return total


def cheapest(cells: list[int], costs: list[int], ends: Callable[[int, int], bool]) -> int:
    """The least weighted cost of all plans, by trying each."""
    plans = every_plan(0, len(costs) + 1, ends)
    return min(sum(w * cost_of(p, c, costs) for c, w in enumerate(cells)) for p in plans)


@pytest.mark.parametrize(
    ("leaves", "cost"), [(5, "2.4"), (8, "3"), (10, "3.4"), (13, "3.7692"), (20, "4.4")]
)
def test_equally_likely_leaves(leaves: int, cost: str) -> None:
    # Calculated: a complete binary tree, depths differing by one at the most.
    tree = optimal_tree([1] * leaves, [1] * (leaves - 1))
    found = tree.expected_cost(0, leaves)
    assert abs(found - Fraction(cost)) <= Fraction(5, 100_000)


def test_published_search_tree_with_dummy_keys() -> None:
    # CLRS, Introduction to Algorithms, 15.5: expected cost 2.75 (value read, data from memory). It
    # counts the dummy keys' own level too, so their whole mass is added once.
    p, q = [15, 10, 5, 10, 20], [5, 10, 5, 5, 5, 10]
    tree = optimal_tree(q, [1] * 5, hits=p)
    assert tree.weighted_cost(0, 6) + sum(q) == 275
    assert tree.choice(0, 6) == 2


def test_published_search_tree_with_whole_weights() -> None:
    # Horowitz and Sahni: cost 32 (from memory); the misses are counted at their parent's level.
    tree = optimal_tree([2, 3, 1, 1, 1], [1] * 4, hits=[3, 3, 1, 1])
    assert tree.weighted_cost(0, 5) == 32


@given(st.data())
def test_no_plan_is_cheaper(data: st.DataObject) -> None:
    n = data.draw(st.integers(1, 6))
    cells = data.draw(st.lists(st.integers(1, 50), min_size=n + 1, max_size=n + 1))
    costs = data.draw(st.lists(st.sampled_from([2, 3, 4]), min_size=n, max_size=n))
    # Stretches that end are those inside one of some blocks: parts of them end as well.
    cuts = data.draw(st.sets(st.integers(1, n)))
    tree = optimal_tree(cells, costs, lambda i, j: _stop(i, j, cuts))

    def ends(i: int, j: int) -> bool:
        return _stop(i, j, cuts) is MayEnd.SETTLED

    assert tree.weighted_cost(0, n + 1) == cheapest(cells, costs, ends)


def _stop(i: int, j: int, cuts: set[int]) -> MayEnd:
    return MayEnd.GO_ON if any(i < cut < j for cut in cuts) else MayEnd.SETTLED


@given(st.lists(st.integers(1, 1000), min_size=2, max_size=25))
def test_entropy_bounds(cells: list[int]) -> None:
    # Theory of alphabetic trees (from memory): entropy <= cost < entropy + 2.
    total = sum(cells)
    entropy = -sum(w / total * math.log2(w / total) for w in cells)
    cost = float(optimal_tree(cells, [1] * (len(cells) - 1)).expected_cost(0, len(cells)))
    assert entropy - 1e-9 <= cost < entropy + 2


@given(st.lists(st.integers(1, 40), min_size=3, max_size=9), st.integers(2, 5))
def test_the_plan_followed_down_costs_what_it_says(cells: list[int], dear: int) -> None:
    n = len(cells) - 1
    costs = [dear if k % 2 else 2 for k in range(n)]
    tree = optimal_tree(cells, costs)
    total = 0
    for cell, weight in enumerate(cells):
        i, j = 0, n + 1
        while (k := tree.choice(i, j)) is not None:
            total += weight * costs[k - 1]
            i, j = (k, j) if cell >= k else (i, k)
        assert (i, j) == (cell, cell + 1)
    assert total == tree.weighted_cost(0, n + 1)


def test_a_dead_end_is_left_where_no_test_helps_it() -> None:
    # Tests 1 to 3; only the stretch above test 3 can be settled.
    def stop(i: int, _j: int) -> MayEnd:
        return MayEnd.SETTLED if i >= 3 else MayEnd.MAY_GIVE_UP

    tree = optimal_tree([1, 1, 1, 1], [1, 1, 1], stop)
    assert tree.choice(0, 4) == 3
    assert tree.choice(0, 3) is None
    assert tree.left_open(0, 4) == Fraction(3, 4)
    assert tree.expected_cost(0, 4) == 1


def test_open_mass_comes_before_cost() -> None:
    # Test 1 costs dearly and is the only one that settles the bottom cell.
    def stop(i: int, j: int) -> MayEnd:
        return MayEnd.SETTLED if (i, j) == (0, 1) or i >= 2 else MayEnd.MAY_GIVE_UP

    tree = optimal_tree([1, 1, 1], [100, 1], stop)
    assert tree.left_open(0, 3) == Fraction(1, 3)
    assert tree.choice(0, 2) == 1


def test_ties_go_by_rank_then_by_place() -> None:
    assert optimal_tree([1, 1, 1], [1, 1]).choice(0, 3) == 1
    assert optimal_tree([1, 1, 1], [1, 1], ranks=[(1, 0), (0, 9)]).choice(0, 3) == 2


def test_no_tests_leave_one_cell() -> None:
    tree = optimal_tree([7], [])
    assert tree.choice(0, 1) is None
    assert tree.expected_cost(0, 1) == 0
    assert tree.left_open(0, 1) == 1


def test_numbers_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="n costs go with"):
        optimal_tree([1, 2], [1, 1])


def test_a_favoured_test_comes_first_where_that_costs_little() -> None:
    """Four cells alike: the middle test alone is best, at 2; either outer one costs 2.25."""
    even, costs = [1, 1, 1, 1], [1, 1, 1]
    quarter = Fraction(1, 4)
    assert optimal_tree(even, costs).choice(0, 4) == 2
    kept = optimal_tree(even, costs, favoured=(1,), give=quarter - Fraction(1, 100))
    assert (kept.choice(0, 4), kept.expected_cost(0, 4)) == (2, Fraction(2))
    given = optimal_tree(even, costs, favoured=(1,), give=quarter)
    assert (given.choice(0, 4), given.expected_cost(0, 4)) == (1, Fraction(9, 4))


def test_a_favoured_test_never_leaves_more_open() -> None:
    def stop(i: int, j: int) -> MayEnd:
        return MayEnd.SETTLED if (i, j) == (0, 2) else MayEnd.MAY_GIVE_UP

    tree = optimal_tree([1, 1, 1], [1, 1], stop, favoured=(1,), give=Fraction(10))
    assert tree.choice(0, 3) == 2
