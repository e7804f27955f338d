"""An estimate of how each valve of a kind drifts, and where it may meet its limit.

Beside what brackets prove: the chance of each drift, given every answer of every check, over all
runs of a valve and over all its sisters. Sisters drift alike, but not the same: each valve's slope
lies normally about its kind's, and how widely is averaged over, as is the kind's slope itself, which
is taken to be near nothing with heavy tails (a Cauchy prior). It is the usual two-level normal
model, summed on a grid (Gelman and others, Bayesian Data Analysis, 3rd ed., 5.4; from memory).

Slopes are nanometres per kilometre or hour, as everywhere in the history.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import asinh, cosh, exp, inf, isfinite, sinh

from benchtui.domain.history.likelihood import GRAIN, Gaps, gaps_at_end, stretches
from benchtui.domain.history.wear import ProvedTrend, Run

USUAL = 0.1
"""In one interval between checks a valve usually drifts by less than this share of its range; the
prior's scale (design value)."""

FARTHEST = 4.0
"""No drift is looked for above so many ranges in one interval between checks."""

SPREADS = (0.15, 0.5, 1.5)
"""How far sisters lie apart, in parts of the prior's scale or of their kind's slope (design values)."""

OUTSIDE = 0.025
"""The chance left on either side of a band: it holds the truth 95 times in 100 at least, and a drift
is claimed where the band excludes none (measured: tests/simulation/wear_lives.py)."""

BEND, ROUGH, FINE = 5.0, 25, 49
"""The grid of slopes is fine about nothing and wide far off; looked over roughly, then finely."""

FAR = 1e9
"""Beyond so many kilometres or hours is never."""

NOTHING = 1e-6
"""Slopes less likely than the best by this are left out of the fine grid."""


@dataclass(frozen=True, slots=True)
class Slopes:
    """A grid of slopes, and the width of slope that each stands for."""

    at: tuple[float, ...]
    wide: tuple[float, ...]


@dataclass(frozen=True)
class Estimate:
    """What all answers make of one valve's drift and of its gap now.

    ``chances`` belong to ``slopes`` and add up to 1; ``gaps`` are, for each slope, the weights of
    the gap at ``start``, the beginning of the last run.
    """

    slopes: Slopes
    chances: tuple[float, ...]
    gaps: tuple[Gaps, ...]
    start: float

    @cached_property
    def closing(self) -> float:
        """The chance that the gap closes, 0 to 1."""
        below = sum(p for p, b in zip(self.chances, self.slopes.at, strict=True) if b < 0)
        level = sum(p for p, b in zip(self.chances, self.slopes.at, strict=True) if b == 0)
        return below + level / 2

    @property
    def trend(self) -> ProvedTrend:
        """Closing or opening where the chance of anything else is small; else NONE."""
        if 1 - self.closing < OUTSIDE:
            return ProvedTrend.CLOSING
        return ProvedTrend.OPENING if self.closing < OUTSIDE else ProvedTrend.NONE

    def slope(self, part: float) -> float:
        """The slope under which so much of the chance lies, 0 to 1."""
        return _quantile(self.slopes.at, self.chances, part)

    @property
    def band(self) -> tuple[float, float]:
        """The slopes that the drift lies between."""
        return self.slope(OUTSIDE), self.slope(1 - OUTSIDE)

    @cached_property
    def _joint(self) -> list[tuple[float, float, float]]:
        """Gap at the start, slope, chance; what weighs nothing is left out."""
        found: list[tuple[float, float, float]] = []
        for slope, chance, gaps in zip(self.slopes.at, self.chances, self.gaps, strict=True):
            if chance < NOTHING:
                continue
            each = chance / gaps.total
            found += [
                ((gaps.first + i) * GRAIN, slope, w * each)
                for i, w in enumerate(gaps.weights)
                if w * each > NOTHING / len(gaps.weights)
            ]
        return found

    def gap(self, x: float) -> tuple[float, float]:
        """Between what the gap lies at ``x``, in nanometres."""
        ordered = sorted((a + b * (x - self.start), w) for a, b, w in self._joint)
        at, weights = [g for g, _ in ordered], [w for _, w in ordered]
        return _quantile(at, weights, OUTSIDE), _quantile(at, weights, 1 - OUTSIDE)

    def meets(self, limit: float) -> tuple[float, float | None, float | None]:
        """Where the gap meets ``limit`` (nanometres), going the way of ``trend``: from, likely, to.

        The likely place has as much chance before it as after. The last two are None where it may be
        never. Ask only where a trend is claimed.
        """
        sign = -1 if self.trend is ProvedTrend.CLOSING else 1
        met = sorted(
            (self.start + (limit - a) / b if b * sign > 0 else inf, w) for a, b, w in self._joint
        )
        at, weights = [x for x, _ in met], [w for _, w in met]
        first, likely, last = (_place(at, weights, part) for part in (OUTSIDE, 1 / 2, 1 - OUTSIDE))
        return first, _finite(likely), _finite(last)


def estimates(valves: Mapping[str, Sequence[Run]], scale: float) -> dict[str, Estimate]:
    """An estimate for each valve of one kind.

    Args:
        valves: each valve's runs, oldest first, none empty.
        scale: nanometres per unit of x that would take a valve through its whole range in one
            interval between checks.
    """
    ready = {name: stretches(runs) for name, runs in valves.items()}
    rough = _grid(-FARTHEST, FARTHEST, scale, ROUGH)
    likely = {n: [gaps_at_end(r, b).total for b in rough.at] for n, r in ready.items()}
    chances = _pooled(rough, likely, scale)
    low, high = _worth(rough, chances, scale)
    fine = _grid(low, high, scale, FINE)
    gaps = {n: tuple(gaps_at_end(r, b) for b in fine.at) for n, r in ready.items()}
    pooled = _pooled(fine, {n: [g.total for g in gs] for n, gs in gaps.items()}, scale)
    return {
        name: Estimate(fine, tuple(pooled[name]), gaps[name], float(valves[name][-1].seen[0].x))
        for name in valves
    }


def _grid(low: float, high: float, scale: float, count: int) -> Slopes:
    """``count`` slopes from ``low`` to ``high`` times the scale, evenly in the bent measure."""
    bend = FARTHEST / sinh(BEND)
    first, last = asinh(low / bend), asinh(high / bend)
    step = (last - first) / (count - 1)
    bent = [first + step * k for k in range(count)]
    return Slopes(
        tuple(scale * bend * sinh(u) for u in bent),
        tuple(scale * bend * cosh(u) * step for u in bent),
    )


def _worth(
    grid: Slopes, chances: Mapping[str, Sequence[float]], scale: float
) -> tuple[float, float]:
    """The slopes worth looking at closely, in parts of the scale."""
    kept = [k for each in chances.values() for k, p in enumerate(each) if p > NOTHING * max(each)]
    low, high = max(0, min(kept) - 1), min(len(grid.at) - 1, max(kept) + 1)
    return grid.at[low] / scale, grid.at[high] / scale


def _pooled(
    grid: Slopes, likely: Mapping[str, Sequence[float]], scale: float
) -> dict[str, list[float]]:
    """The chance of each slope of each valve, its sisters' answers counted in."""
    usual = USUAL * scale
    chances = {name: [0.0] * len(grid.at) for name in likely}
    scaled = {n: _scaled(each) for n, each in likely.items()}
    for spread in SPREADS:
        for centre, wide in zip(grid.at, grid.wide, strict=True):
            apart = spread * max(usual, abs(centre))
            about = [
                exp(-(((b - centre) / apart) ** 2) / 2) * w
                for b, w in zip(grid.at, grid.wide, strict=True)
            ]
            norm = sum(about)
            inside = {
                n: sum(a * v for a, v in zip(about, each, strict=True)) / norm
                for n, each in scaled.items()
            }
            prior = wide / (1 + (centre / usual) ** 2)
            every = prior
            for value in inside.values():
                every *= value
            for name, own in scaled.items():
                if every == 0.0:
                    continue
                part = every / inside[name] / norm
                sums = chances[name]
                for k, a in enumerate(about):
                    sums[k] += part * a * own[k]
    return {name: _normed(each) for name, each in chances.items()}


def _scaled(values: Sequence[float]) -> list[float]:
    best = max(values)
    return [v / best for v in values]


def _normed(values: Sequence[float]) -> list[float]:
    whole = sum(values)
    return [v / whole for v in values]


def _quantile(at: Sequence[float], weights: Sequence[float], part: float) -> float:
    """Where so much of the weight lies below, the weight of a place spread half way to the next."""
    whole, gone = sum(weights), 0.0
    for k, weight in enumerate(weights):
        if gone + weight >= part * whole:
            share = (part * whole - gone) / weight if weight else 0.0
            below = at[max(0, k - 1)]
            above = at[min(len(at) - 1, k + 1)]
            low, high = (below + at[k]) / 2, (above + at[k]) / 2
            return low + share * (high - low)
        gone += weight
    return at[-1]


def _place(at: Sequence[float], weights: Sequence[float], part: float) -> float:
    """The place at which this share of the weight is reached; one of those given."""
    whole, gone = sum(weights), 0.0
    for place, weight in zip(at, weights, strict=True):
        gone += weight
        if gone > part * whole:
            return place
    return at[-1]


def _finite(place: float) -> float | None:
    return place if isfinite(place) and abs(place) < FAR else None
