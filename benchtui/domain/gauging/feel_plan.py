"""Which blade to try next where a drag is read as one hand's band: a plan with three answers.

Only for whoever has chosen to go by feel, and only up to the verdict: in range as the blades have
it, in range by feel, tight or wide. What is left to narrow for a turn is priced by the best plan
with two answers. Single leaves only: a stack's oil makes a drag worthless.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise

from benchtui.domain.blades import BladeSet
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.feel import FeelBand, bracket_by_feel
from benchtui.domain.gauging.next_blade import REMEMBERED, NextBlade
from benchtui.domain.gauging.prior import GRAIN, Prior, from_setting
from benchtui.domain.gauging.tree import Stop, Tree, optimal_tree
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

ENDLESS = 10**12
"""Nanometres; more than any clearance: an open end."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the answers have left, in nanometres, open at ``ENDLESS``.

    ``low`` and ``high`` as the blades have it, ``felt_low`` and ``felt_high`` by feel with the doubt
    of the band against us, ``from_`` to ``to`` by feel with the ends of the band taken half way.
    """

    low: int
    high: int
    felt_low: int
    felt_high: int
    from_: int
    to: int


def next_by_feel(
    readings: Sequence[Reading],
    blades: BladeSet,
    setting: Band,
    band: FeelBand,
    *,
    prior: Prior | None = None,
    window: Length | None = None,
) -> NextBlade | None:
    """The next leaf; None where single leaves cannot always decide: then plan with two answers.

    Args:
        readings: what was read so far, not yet decided by it.
        blades: what there is to try.
        setting: the range.
        band: the hand's.
        prior: where the clearance was expected; about the setting range by default.
        window: as for the plan with two answers.
    """
    plain, felt, ends = bracket_of(readings), bracket_by_feel(readings, band), _half_way(band)
    here = bracket_by_feel(readings, FeelBand.exactly(*ends))
    if plain.clash or felt.clash or here.clash:
        return None
    known = Known(
        plain.low.nm,
        _open(plain.high),
        felt.low.nm,
        _open(felt.high),
        here.low.nm,
        _open(here.high),
    )
    tried = frozenset(r.feeler.marks for r in readings)
    return _planned(known, blades, setting, band, prior or from_setting(setting), window, tried)


def _half_way(band: FeelBand) -> tuple[Length, Length]:
    low = Length((band.floor.nm + band.refused_to.nm) // 2)
    return low, Length((band.free_from.nm + band.ceiling.nm) // 2)


def _open(high: Length | None) -> int:
    return ENDLESS if high is None else high.nm


@lru_cache(maxsize=REMEMBERED)
def _planned(  # noqa: PLR0917  # by place, so that the same call is remembered as the same
    known: Known,
    blades: BladeSet,
    setting: Band,
    band: FeelBand,
    prior: Prior,
    window: Length | None,
    tried: frozenset[tuple[Length, ...]],
) -> NextBlade | None:
    sizes = _worth_a_thought(blades, setting, band, tried)
    every = tuple(sorted({f.nominal.nm for f in blades.singles()}))
    narrowing = _Narrowing(every, setting, window, prior)
    return _Plan(sizes, narrowing, setting, band, prior).advice(known, blades)


def _worth_a_thought(
    blades: BladeSet, setting: Band, band: FeelBand, tried: frozenset[tuple[Length, ...]]
) -> tuple[int, ...]:
    """Leaves whose answer can bear on the verdict: near the range, and the next on either side."""
    sizes = sorted({f.nominal.nm for f in blades.singles() if f.marks not in tried})
    low, high = setting.low.nm, setting.high.nm
    near = {t for t in sizes if low - band.ceiling.nm < t <= high + max(0, -band.floor.nm)}
    near |= set([t for t in sizes if t <= low][-1:]) | set([t for t in sizes if t >= high][:1])
    return tuple(sorted(near))


Value = tuple[int, int]
"""Mass left undecided, then the sum of mass times insertions."""


class _Plan:
    """The best leaf for whatever is known."""

    def __init__(
        self,
        sizes: tuple[int, ...],
        narrowing: _Narrowing,
        setting: Band,
        band: FeelBand,
        prior: Prior,
    ) -> None:
        self.sizes, self.band = sizes, band
        self.bottom, self.roof = setting.low.nm, setting.high.nm
        self.ends = tuple(end.nm for end in _half_way(band))
        self.upto = cache(lambda nm: _share(prior, nm))
        self.narrowing = narrowing
        self.best = cache(self._best)

    def after(self, known: Known, size: int, answer: Answer) -> Known | None:
        """What this answer would leave; None where it cannot come."""
        low, high = self.ends
        k, b = known, self.band
        match answer:
            case Answer.REFUSES:
                made = Known(
                    k.low,
                    min(k.high, size),
                    k.felt_low,
                    min(k.felt_high, size + b.refused_to.nm),
                    k.from_,
                    min(k.to, size + low),
                )
            case Answer.DRAG:
                made = Known(
                    max(k.low, size),
                    k.high,
                    max(k.felt_low, size + b.floor.nm),
                    min(k.felt_high, size + b.ceiling.nm),
                    max(k.from_, size + low),
                    min(k.to, size + high),
                )
            case Answer.FREE:
                made = Known(
                    max(k.low, size),
                    k.high,
                    max(k.felt_low, size + b.free_from.nm),
                    k.felt_high,
                    max(k.from_, size + high),
                    k.to,
                )
        return made if made.from_ < made.to and made.low < made.high else None

    def mass(self, known: Known) -> int:
        """The prior's share of it, and one part more: nothing is ever ruled out."""
        top = GRAIN if known.to >= ENDLESS else self.upto(known.to)
        return max(0, top - self.upto(known.from_)) + 1

    def said(self, known: Known, size: int, answer: Answer | None) -> str:
        """The verdict, "" while there is none."""
        if known.high <= self.bottom:
            return "tight"
        if known.low > self.roof or (size == self.roof and answer is Answer.FREE):
            return "wide"
        if size == self.roof and answer is Answer.DRAG:
            return "at the limit"
        if self.bottom <= known.low and known.high <= self.roof:
            return "in range"
        if self.bottom <= known.felt_low and known.felt_high <= self.roof:
            return "in range by feel"
        return ""

    def value(self, known: Known, size: int, answer: Answer) -> Value:
        """What this leaves to be done once ``answer`` has come."""
        said = self.said(known, size, answer)
        if not said:
            return self.best(known)[0]
        more = self.narrowing.left(known) if said in {"tight", "wide"} else Fraction(0)
        return 0, round(self.mass(known) * more)

    def _best(self, known: Known) -> tuple[Value, int | None]:
        """The least value from here, and the leaf to try; None where no leaf tells more."""
        weight = self.mass(known)
        options: list[tuple[int, int, int, int]] = []
        for size in self.sizes:
            some = [(a, self.after(known, size, a)) for a in Answer]
            left = [(a, k) for a, k in some if k is not None]
            if all(k == known for _, k in left):
                continue
            parts = [self.value(k, size, a) for a, k in left]
            rank = 0 if size in {self.bottom, self.roof} else 1
            cost = weight + sum(c for _, c in parts)
            options.append((sum(o for o, _ in parts), cost, rank, size))
        if not options:
            return (weight, 0), None
        undecided, cost, _, size = min(options)
        return (undecided, cost), size

    def advice(self, known: Known, blades: BladeSet) -> NextBlade | None:
        """The leaf at the top, in words; None where single leaves may not decide."""
        (undecided, cost), size = self.best(known)
        # Of every stretch one part is there for its own sake: that much open is none.
        if size is None or undecided > len(self.sizes) ** 2:
            return None
        feeler = next(f for f in blades.singles() if f.nominal.nm == size)
        means = {a: self.meaning(self.after(known, size, a), size, a) for a in Answer}
        goes = f"drag, {means[Answer.DRAG]}; free, {means[Answer.FREE]}"
        return NextBlade(
            feeler,
            f"{feeler.bare}: {self.place(size)}; {self.gain(means)}",
            goes,
            means[Answer.REFUSES],
            Fraction(cost, self.mass(known)),
        )

    def place(self, size: int) -> str:
        """Where this leaf lies, as seen from the range."""
        if size == self.bottom:
            return "the lower limit"
        if size == self.roof:
            return "the upper limit"
        if self.bottom < size < self.roof:
            return "inside the range"
        return "below the range" if size < self.bottom else "above the range"

    @staticmethod
    def gain(means: dict[Answer, str]) -> str:
        """The best that it can do."""
        for answer, word in ((Answer.DRAG, "drags"), (Answer.REFUSES, "refuses")):
            if means[answer].startswith("in range"):
                return f"if it {word}, this valve is {means[answer]}"
        return "it halves what is left, as the odds and this hand lie"

    def meaning(self, known: Known | None, size: int, answer: Answer) -> str:
        """A verdict, or the leaf after it."""
        if known is None:
            return "would not fit what was felt"
        said = self.said(known, size, answer)
        if said:
            return {"at the limit": "at the limit: set it"}.get(said, said)
        after = self.best(known)[1]
        if after is None:
            return "this set could not decide then"
        return f"not known yet: then {Length(after).bare} next"


def _share(prior: Prior, nm: int) -> int:
    return round(prior.below(Length(max(0, nm))) * GRAIN)


class _Narrowing:
    """Insertions still wanted, out of range, until one turn brings the whole bracket in."""

    def __init__(
        self, sizes: tuple[int, ...], setting: Band, window: Length | None, prior: Prior
    ) -> None:
        self.sizes, self.window = sizes, window
        self._bottom, self._roof = setting.low.nm, setting.high.nm
        shares = [_share(prior, 0), *(_share(prior, s) for s in sizes), GRAIN]
        cells = [max(0, b - a) + 1 for a, b in pairwise(shares)]
        self._tree: Tree | None = None
        if window is not None:
            self._tree = optimal_tree(cells, [1] * len(sizes), self._stop)

    def _stop(self, i: int, j: int) -> Stop:
        low = 0 if i == 0 else self.sizes[i - 1]
        if j == i + 1:
            return Stop.SETTLED
        if j > len(self.sizes) or self.window is None:
            return Stop.GO_ON
        narrow = self.sizes[j - 1] - low <= self.window.nm
        out = self.sizes[j - 1] <= self._bottom or low >= self._roof
        return Stop.SETTLED if narrow and out else Stop.GO_ON

    def left(self, known: Known) -> Fraction:
        """The mean number from here."""
        if self._tree is None:
            return Fraction(0)
        return self._tree.expected_cost(
            bisect_right(self.sizes, known.low), bisect_left(self.sizes, known.high) + 1
        )
