"""The cheapest order of go / no-go tests: an exact dynamic programme over threshold trees.

A test has a place on a line. It says on which side of its place the unknown lies, so what is known
is always a stretch between two places, and a plan is a binary tree whose leaves keep their order
(an alphabetic tree). Tests may differ in cost, a stretch may be good enough to stop at, and a test
may settle by itself the mass that lies exactly on it. With that last mass the same recurrence is
the classic one for optimal search trees.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class MayEnd(Enum):
    """Whether the tests may end at a stretch."""

    SETTLED = "settled"
    """Nothing more is wanted."""

    MAY_GIVE_UP = "may give up"
    """Not settled; but where no test can settle any part of it, it is left as it is."""

    GO_ON = "go on"
    """Not settled: test on while there is a test."""


def never(_low: int, _high: int) -> MayEnd:
    """Go on down to single cells."""
    return MayEnd.GO_ON


@dataclass(frozen=True, slots=True)
class Tree:
    """The best plan for every stretch, not only for those met on the way down from the top.

    Tests are numbered 1 to n by place. The stretch (i, j) is what is left once test i has gone and
    test j has refused; 0 and n + 1 are the two open ends.
    """

    _choices: tuple[tuple[int, ...], ...]
    _values: tuple[tuple[int, ...], ...]
    _mass: tuple[tuple[int, ...], ...]
    _unit: int
    _price: tuple[int, ...]

    def choice(self, low: int, high: int) -> int | None:
        """The test to make next, or None where the plan ends."""
        return self._choices[low][high] or None

    def weighted_cost(self, low: int, high: int) -> int:
        """The sum of mass times cost over every cell of the stretch."""
        return self._values[low][high] % self._unit

    def expected_cost(self, low: int, high: int) -> Fraction:
        """The mean cost from here to the end."""
        return Fraction(self.weighted_cost(low, high), self._mass[low][high])

    def nearly_as_good(self, low: int, high: int, give: Fraction) -> list[tuple[int, Fraction]]:
        """The tests that cost at most ``give`` more on the mean and leave no more open; what they cost.

        The choice itself is not among them.
        """
        values, weight, chosen = self._values, self._mass[low][high], self.choice(low, high)
        best, found = values[low][high], []
        for k in range(low + 1, high if chosen else low + 1):
            value = values[low][k] + values[k][high] + self._price[k] * weight
            if k != chosen and _near(value, best, weight, give, self._unit):
                found.append((k, Fraction(max(0, value - best), weight)))
        return found

    def left_open(self, low: int, high: int) -> Fraction:
        """The share of the stretch that no order of these tests settles."""
        return Fraction(self._values[low][high] // self._unit, self._mass[low][high])


def optimal_tree(
    cells: Sequence[int],
    costs: Sequence[int],
    stop: Callable[[int, int], MayEnd] = never,
    *,
    hits: Sequence[int] | None = None,
    ranks: Sequence[tuple[int, ...]] | None = None,
    favoured: Sequence[int] = (),
    give: Fraction = Fraction(0),
) -> Tree:
    """The plan that leaves the least mass open and, of those, has the least expected cost.

    Args:
        cells: the mass below the first test, between each two neighbours, and above the last: n + 1
            whole numbers, zero or above.
        costs: the cost of each of the n tests, whole numbers above zero.
        stop: what to make of the stretch (i, j). A part of a settled stretch is settled too.
        hits: the mass exactly at each test, which that test settles at once; none by default.
        ranks: of equally good tests the one of the lowest rank is taken; by default the first.
        favoured: tests, numbered from 1, that come first where that costs little.
        give: so much more than the best of all the best favoured one may cost on the mean; it must
            leave no more open.

    Time goes with the cube of the number of tests. All numbers are whole, so the plan is the same
    on every machine.

    Raises:
        ValueError: the numbers of cells, costs, hits and ranks do not fit each other.
    """
    n = len(costs)
    at = [0] * n if hits is None else list(hits)
    order = [(k,) for k in range(n)] if ranks is None else list(ranks)
    if not len(cells) - 1 == len(at) == len(order) == n:
        raise ValueError("n costs go with n + 1 cells, n hits and n ranks")
    price = [0, *costs]
    upto = [0]  # upto[i]: all mass below cell i, hits up to test i among it
    for k, cell in enumerate(cells):
        upto.append(upto[-1] + cell + (at[k] if k < n else 0))
    hit = [0, *at, 0]
    # An open end costs more than all the tests together, so the least open mass comes first and one
    # whole number carries both aims.
    unit = 1 + sum(price) * max(1, upto[-1])
    size = n + 2
    values = [[0] * size for _ in range(size)]
    columns = [[0] * size for _ in range(size)]  # the same turned over, for quick slices
    choices = [[0] * size for _ in range(size)]
    mass = [[1] * size for _ in range(size)]
    for i in range(n, -1, -1):
        row = values[i]
        for j in range(i + 1, size):
            weight = upto[j] - upto[i] - hit[j]
            mass[i][j] = weight or 1
            verdict = stop(i, j)
            if verdict is MayEnd.SETTLED:
                continue
            best, choice = weight * unit, 0
            if j > i + 1:
                column = columns[j]
                sums = [
                    a + b + c * weight
                    for a, b, c in zip(
                        row[i + 1 : j], column[i + 1 : j], price[i + 1 : j], strict=True
                    )
                ]
                least = min(sums)
                if verdict is MayEnd.GO_ON or least < best:
                    best, choice = least, i + 1 + sums.index(least)
                    first = [k for k in favoured if i < k < j]
                    near = min(first, key=lambda k: sums[k - i - 1], default=None)
                    if near is not None and _near(sums[near - i - 1], least, weight, give, unit):
                        best, choice = sums[near - i - 1], near
                    elif sums.count(least) > 1:
                        ties = (k for k, value in enumerate(sums, i + 1) if value == least)
                        choice = min(ties, key=lambda k: (order[k - 1], k))
            row[j] = columns[j][i] = best
            choices[i][j] = choice
    return Tree(_frozen(choices), _frozen(values), _frozen(mass), unit, tuple(price))


def _near(value: int, least: int, weight: int, give: Fraction, unit: int) -> bool:
    """Whether a plan costs at most ``give`` more on the mean than the best, and leaves no more open."""
    cheap = (value - least) * give.denominator <= weight * give.numerator
    return cheap and value // unit == least // unit


def _frozen(table: list[list[int]]) -> tuple[tuple[int, ...], ...]:
    return tuple(tuple(row) for row in table)
