"""Which blade to try next.

The plan is the optimal threshold tree over the blades of the set (see ``tree`` and ``candidates``):
no other order needs fewer insertions on the average, as the prior sees it, a stack of two counting
as one and a half and a stack of three as two.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import OPEN, Bracket
from benchtui.domain.gauging.candidates import Candidate, Marks, candidates
from benchtui.domain.gauging.lacking import CannotDecide, lacking
from benchtui.domain.gauging.prior import GRAIN, Prior, from_setting
from benchtui.domain.gauging.stands_for import as_bladed
from benchtui.domain.gauging.tree import MayEnd, Tree, optimal_tree
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

HALVES = {1: 2, 2: 3, 3: 4}
"""The cost of one, two or three leaves at once, in half insertions: a stack takes time to wipe, lay
together and undo (own choice)."""

GIVE = Fraction(1, 100)
"""So much of an insertion the lower limit may cost more and still be tried before the upper one: tight is
the side that burns valves, and as good as always the two are a tie (own choice)."""

MOST_LOST = Fraction(1, 20)
"""So much of an insertion a blade may lose beside the best one and still serve (own choice)."""

REMEMBERED = 4096
"""So many answers are kept: screens ask for the same one again, sisters of one kind share theirs."""

NO_FEELERS: frozenset[Feeler] = frozenset()


Goal = DecisionRule
"""What is aimed at is what the verdict will be judged by; by feel the blades aim at plain."""


@dataclass(frozen=True, slots=True)
class NextBlade:
    """Try ``feeler``. ``expected`` is the mean cost from here to the end, in single insertions.

    ``as_good`` are the other blades that lose at most ``MOST_LOST`` of an insertion beside it, each with
    what it loses on the mean.
    """

    feeler: Feeler
    expected: Fraction
    as_good: tuple[tuple[Feeler, Fraction], ...] = ()


def next_blade(
    bracket: Bracket,
    blades: BladeSet,
    setting: Band,
    *,
    goal: Goal = Goal.PLAIN,
    prior: Prior | None = None,
    window: Length | None = None,
    tried: frozenset[Feeler] = NO_FEELERS,
    felt: Bracket | None = None,
) -> NextBlade | CannotDecide | None:
    """The next blade or stack; None where nothing more is needed.

    Args:
        bracket: what the readings so far have left.
        blades: what there is to try.
        setting: the range the clearance is judged against.
        goal: whether in range has to be proved.
        prior: where the clearance was expected; about the setting range by default.
        window: out of range, go on until the bracket is no wider than this (the width that one
            turn brings wholly into range); None where nothing is to be set.
        tried: what was read already and would tell nothing new.
        felt: where the drags, and the blades that were free, let one look for it; it weighs the
            odds anew, so that the blades come in a better order, and settles nothing.
    """
    if bracket.clash_beyond_error:
        return lacking(bracket, setting, proof=False)
    if bracket.high is not None and bracket.clash:  # within their errors: the span between them
        bracket = replace(bracket, low=bracket.high, high=bracket.low)
    marks = frozenset(feeler.marks for feeler in tried)
    known = prior or from_setting(setting)
    if goal is not Goal.PROVED:
        setting = as_bladed(setting, blades.leaves)
    return _planned(bracket, blades, setting, goal, known, window, marks, felt)


@lru_cache(maxsize=REMEMBERED)
def _planned(  # noqa: PLR0917  # by place, so that the same call is remembered as the same
    bracket: Bracket,
    blades: BladeSet,
    setting: Band,
    goal: Goal,
    prior: Prior,
    window: Length | None,
    tried: frozenset[Marks],
    felt: Bracket | None,
) -> NextBlade | CannotDecide | None:
    """The same, remembered: these eight are all that a plan depends on, and none of them changes."""
    some = candidates(
        bracket, blades, setting, proved=goal is Goal.PROVED, window=window, tried=tried
    )
    plan = _Plan(bracket, some, setting, goal=goal, window=window, prior=prior, felt=felt)
    return plan.advice(blades)


class _Plan:
    """The tree for one bracket."""

    def __init__(
        self,
        bracket: Bracket,
        some: tuple[Candidate, ...],
        setting: Band,
        *,
        goal: Goal,
        window: Length | None,
        prior: Prior,
        felt: Bracket | None = None,
    ) -> None:
        self.bracket, self.some, self.setting = bracket, some, setting
        self.goal, self.window = goal, window
        high, wide_high = bracket.high, bracket.wide_high
        self.lows = [bracket.low.nm, *(c.at for c in some)]
        self.highs: list[int | None] = [-1, *(c.at for c in some)]
        self.highs.append(None if high is None else high.nm)
        wide_low = bracket.wide_low.nm
        # A blade that goes never takes away what a thinner, surer one has shown.
        self.wide_lows = [wide_low, *(max(wide_low, c.thinnest) for c in some)]
        top = None if wide_high is None else wide_high.nm
        thick = (c.thickest if top is None else min(top, c.thickest) for c in some)
        self.wide_highs: list[int | None] = [-1, *thick, top]
        # Both lists rise, so each of the questions below is one comparison of places.
        bottom, roof = setting.low.nm, setting.high.nm
        size = len(self.lows)
        closed = self.highs if high is not None else self.highs[:-1]
        self.first_in = next((i for i, nm in enumerate(self.lows) if nm >= bottom), size)
        self.first_wide = next((i for i, nm in enumerate(self.lows) if nm >= roof), size)
        self.last_in = sum(1 for nm in closed if nm is not None and nm <= roof) - 1
        self.last_tight = sum(1 for nm in closed if nm is not None and nm <= bottom) - 1
        self.tree = self._tree(prior, OPEN if felt is None else felt)

    def _tree(self, prior: Prior, felt: Bracket) -> Tree:
        # The parts of the prior, and one part more for each cell: no cell is ever ruled out.
        least = round(prior.below(felt.low) * GRAIN)
        most = GRAIN if felt.high is None else round(prior.below(felt.high) * GRAIN)
        high = self.bracket.high
        shares = [round(prior.below(Length(nm)) * GRAIN) for nm in self.lows]
        shares.append(GRAIN if high is None else round(prior.below(high) * GRAIN))
        shares = [min(most, max(least, share)) for share in shares]
        cells = [max(0, b - a) + 1 for a, b in pairwise(shares)]
        limits = (self.setting.low.nm, self.setting.high.nm)
        ranks = [(c.count, c.nominal not in limits, c.nominal) for c in self.some]
        costs = [HALVES[c.count] for c in self.some]
        # Refused, the last that lies under the range says tight; the first in it, gone in, says not.
        lower = sorted({self.last_tight, self.first_in} & set(range(1, len(costs) + 1)))
        return optimal_tree(
            cells, costs, self.stop, ranks=ranks, favoured=lower, give=GIVE * HALVES[1]
        )

    def stop(self, i: int, j: int) -> MayEnd:
        """Whether the stretch from blade i, which goes, to blade j, which refuses, is enough."""
        if i >= self.first_in and j <= self.last_in:
            if self.goal is not Goal.PROVED:
                return MayEnd.SETTLED
            wide_high = self.wide_highs[j]
            sure = wide_high is not None and wide_high <= self.setting.high.nm
            if sure and self.wide_lows[i] >= self.setting.low.nm:
                return MayEnd.SETTLED
            return MayEnd.MAY_GIVE_UP
        if j <= self.last_tight or i >= self.first_wide:
            if self.window is None or j == i + 1:
                return MayEnd.SETTLED
            high = self.highs[j]
            if high is not None and high - self.lows[i] <= self.window.nm:
                return MayEnd.SETTLED
        return MayEnd.GO_ON

    def in_range(self, i: int, j: int) -> bool:
        """Whether the plain stretch lies within the setting range."""
        return i >= self.first_in and j <= self.last_in

    def advice(self, blades: BladeSet) -> NextBlade | CannotDecide | None:
        """The choice at the top."""
        top = len(self.some) + 1
        if self.stop(0, top) is MayEnd.SETTLED:
            return None
        k = self.tree.choice(0, top)
        if k is None:
            return lacking(self.bracket, self.setting, proof=self.in_range(0, top))
        return NextBlade(
            self.some[k - 1].feeler(blades),
            self.tree.expected_cost(0, top) / 2,
            tuple(
                (self.some[other - 1].feeler(blades), lost / 2)
                for other, lost in self.tree.nearly_as_good(0, top, MOST_LOST * HALVES[1])
            ),
        )
