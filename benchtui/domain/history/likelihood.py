"""How likely a valve's whole history is if it drifts by so much, whatever its gap was to begin with.

A leaf's true thickness is not known, only that it lies evenly anywhere within its error; but it is
the same leaf at every check. Each answer says between what two bounds that thickness lies if the
gap was so wide then, so that all its answers along one line leave a share of the thicknesses it could
have. That share is the leaf's likelihood; leaves are independent. It is the likelihood of
interval-censored data (see for example Lawless, Statistical Models and Methods for Lifetime Data,
2nd ed., 2.2; from memory), with the censoring points, the leaves, known with an error.

What the gap was at the start of a run is averaged over. Runs of one valve share its drift; where it
is known how far a setting moved the gap, that links the gap before to the gap after, so that what
was closed in all counts, and not what one run shows by itself.

Lengths are nanometres, x kilometres or hours, slopes nanometres per unit of x. All in floating
point: an estimate is shown and aims, and is never compared with a limit to give a verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, inf

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.felt import Felt
from benchtui.domain.history.wear import Run
from benchtui.domain.length import Length

HAND = FeelBand(Length.um(-6), Length.um(-2), Length.um(8), Length.um(12))
"""Where any hand's drag may begin and end, gap less blade: the usual -4 to 10 um, and 2 um either
way from one day to another. A hand that is steadily softer or stiffer shifts every gap alike, and no
drift (design value; measured with three hands in tests/simulation/wear_lives.py)."""

GRAIN = 3_000
"""Gaps are looked at in steps of so many nanometres: half a leaf's usual error (design value)."""

MARGIN = 6
"""So many steps beside what the answers allow, for a history with a slip in it (design value)."""

SLIP = 0.02
"""The chance that a leaf's answers, or what a setting is said to have moved, mean nothing (design
value)."""

ANYWHERE = 170
"""A gap of which nothing is known lies anywhere in so many steps, half a millimetre."""


@dataclass(frozen=True, slots=True)
class _Leaf:
    """One leaf in one run: its thickness, and for each answer its place and what it allows.

    ``under`` are (dx, least): the leaf is no thicker than the gap there less ``least``. ``over``
    are (dx, most): it is thicker than the gap there less ``most``.
    """

    thin: float
    thick: float
    under: tuple[tuple[float, float], ...]
    over: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Gaps:
    """Weights of the gap at the start of a run, ``first`` the first step of ``GRAIN``."""

    first: int
    weights: tuple[float, ...]

    @property
    def total(self) -> float:
        """All of it: the likelihood."""
        return sum(self.weights)


@dataclass(frozen=True, slots=True)
class Stretch:
    """One run made ready: its leaves, how long it is to the next setting, what that setting moved.

    ``level`` is what its answers allow whatever the slope, where all were given at one visit.
    """

    leaves: tuple[_Leaf, ...]
    span: float
    moved: tuple[float, float] | None
    level: Gaps | None = None


def stretches(runs: Sequence[Run], hand: FeelBand = HAND) -> tuple[Stretch, ...]:
    """A valve's runs made ready; ``hand`` is what a drag means."""
    made = []
    for k, run in enumerate(runs):
        start = run.seen[0].x
        after = runs[k + 1] if k + 1 < len(runs) else None
        told: dict[tuple[Length, Length, Length], list[tuple[float, Felt]]] = {}
        for seen in run.seen:
            for one in seen.felt:
                key = (one.nominal, one.thinnest, one.thickest)
                told.setdefault(key, []).append((float(seen.x - start), one))
        moved = after.moved if after is not None else None
        leaves = tuple(_leaf(answers, hand) for answers in told.values())
        made.append(
            Stretch(
                leaves,
                float(after.seen[0].x - start) if after is not None else 0.0,
                None if moved is None else (float(moved[0].nm), float(moved[1].nm)),
                _along(leaves, 0.0) if all(seen.x == start for seen in run.seen) else None,
            )
        )
    return tuple(made)


def _leaf(answers: list[tuple[float, Felt]], hand: FeelBand) -> _Leaf:
    under, over = [], []
    for dx, one in answers:
        if one.answer is Answer.REFUSES:
            over.append((dx, float(hand.refused_to.nm)))
        elif one.answer is Answer.FREE:
            under.append((dx, float(hand.free_from.nm)))
        else:
            under.append((dx, float(hand.floor.nm)))
            over.append((dx, float(hand.ceiling.nm)))
    blade = answers[0][1]
    return _Leaf(float(blade.thinnest.nm), float(blade.thickest.nm), tuple(under), tuple(over))


def gaps_at_end(ready: Sequence[Stretch], slope: float) -> Gaps:
    """The weights of the gap at the start of the last run, with this slope throughout.

    Their total is the likelihood of the slope, on a scale that is the same for every slope.
    """
    before: Gaps | None = None
    for k, stretch in enumerate(ready):
        here = stretch.level or _along(stretch.leaves, slope)
        if before is not None:
            here = _linked(before, ready[k - 1], here, slope)
        before = here
    if before is None:
        raise ValueError("a history needs a run")
    return before


def _along(leaves: Sequence[_Leaf], slope: float) -> Gaps:
    """The weights of the gap at a run's start, from this run's answers alone."""
    if not leaves:
        return Gaps(0, (1.0,) * ANYWHERE)
    edges = [_edges(leaf, slope) for leaf in leaves]
    low = max([edge[0] for edge in edges])
    high = min([edge[3] for edge in edges])
    if low == -inf:
        low = (0.0 if high == inf else high) - 40 * GRAIN
    if high == inf:
        high = low + 40 * GRAIN
    first, last = sorted((int(low // GRAIN), int(high // GRAIN) + 1))
    first, last = first - MARGIN, last + MARGIN
    # Most steps lie wholly within what a leaf's answers allow, or wholly outside; of those outside
    # only so much is kept for each leaf as how many more there are than at the step before.
    count = last - first + 1
    weights, outside = [1.0] * count, [0] * (count + 1)
    for edge in edges:
        _weigh(edge, first, weights, outside)
    slips = [SLIP**n for n in range(len(leaves) + 1)]
    each = zip(weights, accumulate(outside), strict=False)  # the last count lies beyond
    return Gaps(first, tuple([w * slips[n] for w, n in each]))


_Edges = tuple[float, float, float, float, float]
"""Where the share of a leaf's thicknesses that fit goes from 0 to 1, and where back to 0: the first
from ``rise`` to ``full``, the second from ``fall`` to ``gone``; last how ``wide`` either is. A plain
tuple, for they are made by the hundred thousand."""


def _edges(leaf: _Leaf, slope: float) -> _Edges:
    rise, fall, thin = -inf, inf, leaf.thin
    for dx, off in leaf.under:  # no thicker than the gap there less ``off``
        if (at := thin - slope * dx + off) > rise:
            rise = at
    for dx, off in leaf.over:
        if (at := thin - slope * dx + off) < fall:
            fall = at
    wide = max(1.0, leaf.thick - thin)
    return rise, rise + wide, fall, fall + wide, wide


def _weigh(edge: _Edges, first: int, weights: list[float], outside: list[int]) -> None:
    """Count one leaf in: where only some of its thicknesses fit in ``weights``, the rest by number."""
    rise, full, fall, gone, wide = edge
    count = len(weights)
    begins = 0 if rise == -inf else min(count, max(0, ceil(rise / GRAIN) - first))
    ends = count if gone == inf else min(count, max(0, ceil(gone / GRAIN) - first))
    outside[0] += 1
    if begins >= ends:
        return
    outside[begins] -= 1
    outside[ends] += 1
    for i in range(begins, ends):
        at = (first + i) * GRAIN
        if at >= full:
            break
        share = (at - rise - (at - fall if at > fall else 0.0)) / wide
        weights[i] *= SLIP + (1 - SLIP) * share if share > 0.0 else SLIP
    if gone == inf:
        return
    for i in range(ends - 1, begins - 1, -1):
        at = (first + i) * GRAIN
        if at <= fall or at < full:
            break
        weights[i] *= SLIP + (1 - SLIP) * (gone - at) / wide


def _linked(before: Gaps, stretch: Stretch, here: Gaps, slope: float) -> Gaps:
    """The run after a setting: its gap is the one before, drifted on and moved by the setting."""
    anywhere = before.total / ANYWHERE
    if stretch.moved is None:
        return Gaps(here.first, tuple(w * anywhere for w in here.weights))
    low, high = (round((slope * stretch.span + m) / GRAIN) for m in stretch.moved)
    # The gap before lies from so many steps to so many; its sums go on level beyond both its ends.
    begin = here.first - before.first - high
    upto = begin + high - low + 1
    count = len(here.weights)
    sums = [0.0, *accumulate(before.weights)]
    before_it = max(0, -min(begin, upto))
    after_it = max(0, max(begin, upto) + count - len(sums))
    sums = [0.0] * before_it + sums + [sums[-1]] * after_it
    begin, upto = begin + before_it, upto + before_it
    known, unknown = (1 - SLIP) / (high - low + 1), SLIP * anywhere
    pairs = zip(here.weights, sums[begin:], sums[upto:], strict=False)
    return Gaps(here.first, tuple([w * (unknown + known * (b - a)) for w, a, b in pairs]))
