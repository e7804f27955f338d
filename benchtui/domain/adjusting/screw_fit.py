"""How far the gap moves in a turn, by the likelihood of all that was read after many turns.

One turn tells little: the locknut moves the gap too, the hand is a few degrees out, the blades are
a little off. Many turns of different sizes, in and out, tell the thread from the nut, for the nut
takes about as much at every locking however far the screw was turned.

A valve is followed from its first closed bracket: each turn moves the clearance by so much a degree
and spreads it by the hand's error, each work on the nut by its mean and its scatter, and each
bracket read, open ones too, cuts it. The chance of having read just that, under one supposed gap a
turn, is its likelihood. What the nut takes on the mean is not known and is averaged over. Where in
its spread a clearance lies is taken as normal, kept by its mean and variance after each cut
(truncated normal; textbook). A reading that fits nothing counts as a slip and weighs no more than
``SLIP`` lets it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product
from math import erfc, exp, fsum, inf, isfinite, log, pi, sqrt

from benchtui.domain.adjusting.screw_check import Span
from benchtui.domain.adjusting.turns import FULL_TURN, HAND
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length

NUT_MEAN = Length.um(40)
"""A locknut may take so much on the mean, either way (design value)."""

NUT_STEP = Length.um(5)

NUT_SCATTER = Length.um(8)
"""One locking differs from the next by this standard deviation (design value)."""

SLIP = 0.02
"""The chance that a bracket has nothing to do with the turn before it (design value)."""

SURE = log(1_000)
"""The sheet must be so many times less likely than the best before it is doubted (design value)."""

SURE_WITHOUT_ONE = log(20)
"""The same with any one valve of any one session left out."""

SLOPES = tuple(
    Fraction(k, 20)
    for k in (0, 4, 8, 11, 13, 15, 17, 19, 20, 21, 23, 25, 27, 29, 31, 34, 38, 46, 60)
)
"""Supposed gaps a turn, in parts of the sheet's."""

NEAR = (Fraction(19, 20), Fraction(21, 20))
"""So near, a sheet counts as right: the leaves' own errors, the same at every turn, do as much."""


LEAST = 2
"""One run alone cannot be left out."""

ROOT_2, ROOT_2_PI = sqrt(2), sqrt(2 * pi)


@dataclass(frozen=True, slots=True)
class ScrewStep:
    """What was done to a screw since the bracket before, and the bracket that was read then.

    ``degrees`` are plus where they were meant to open the gap, in all; ``times`` is how many turns
    of a hand they are made of. ``slackened`` and ``tightened`` count what was done to the nut.
    """

    degrees: Fraction
    times: int
    slackened: int
    tightened: int
    read: Bracket


@dataclass(frozen=True, slots=True)
class ScrewRun:
    """One valve in one session: a closed bracket from above zero, and what was done and read after it."""

    session: str
    valve: str
    start: Bracket
    steps: tuple[ScrewStep, ...]


def excluded_by_one(run: ScrewRun, expected: Fraction, nut: Length) -> Span | None:
    """Nanometres a turn that one turn of this run allows, where that cannot be ``expected``; else None.

    As an interval: with the hand's error, each blade's own, and ``nut`` for every work on the locknut
    all against us. Only what is as gross as a turn the wrong way, or a lever left out of a big turn,
    shows so soon. The last such turn is told. Steps without a closed bracket are taken as one with the
    next.
    """
    found: Span | None = None
    before = run.start
    degrees, times, worked = Fraction(0), 0, 0
    for step in run.steps:
        degrees += step.degrees
        times += step.times
        worked += step.tightened or step.slackened
        span = _one_turn(before, step.read, degrees, HAND * times, nut * worked)
        if span is not None and not span.holds(expected):
            found = span
        if step.read.high is not None and step.read.low > ZERO:
            before, degrees, times, worked = step.read, Fraction(0), 0, 0
    return found


def _one_turn(
    before: Bracket, after: Bracket, degrees: Fraction, hand: Fraction, nut: Length
) -> Span | None:
    """Plus where it moved the way it was meant to; None where the turn is no bigger than the errors."""
    if abs(degrees) <= hand:
        return None
    start, end = (before, after) if degrees > 0 else (after, before)
    shortest, longest = ((abs(degrees) + e) / FULL_TURN for e in (-hand, hand))
    low = _apart(_bottom(end), start.wide_high, -nut)
    high = _apart(end.wide_high, _bottom(start), nut)
    return Span(
        None if low is None else low / (shortest if low < 0 else longest),
        None if high is None else high / (longest if high < 0 else shortest),
    )


def _bottom(bracket: Bracket) -> Length | None:
    """None where no blade went: the valve may be held off its seat."""
    return bracket.wide_low if bracket.low > ZERO else None


def _apart(a: Length | None, b: Length | None, give: Length) -> int | None:
    return None if a is None or b is None else (a - b + give).nm


@dataclass(frozen=True, slots=True)
class _Nut:
    """What the nut does on the mean, in nanometres: when it is tightened, and when it is slackened."""

    tightened: int
    slackened: int


_TAKES = range(-NUT_MEAN.nm, NUT_MEAN.nm + 1, NUT_STEP.nm)
_NUTS = tuple(dict.fromkeys(_Nut(take, -take * back) for take, back in product(_TAKES, (0, 1))))
"""Slackening gives nothing back, or all of it."""


@lru_cache(maxsize=64)
def excludes(runs: tuple[ScrewRun, ...], expected: Fraction) -> Span | None:
    """Nanometres a turn that these runs allow, where that surely is not ``expected``; else None.

    It has to be so without any one of them too: a single slip, or one wrong blade, makes no doubt.
    Remembered, for screens ask at every key.
    """
    if len(runs) < LEAST:
        return None
    each = [_likelihoods(run, expected) for run in runs]
    sums = [
        [fsum(cell) for cell in zip(*column, strict=True)] for column in zip(*each, strict=True)
    ]
    whole = [_mean(column) for column in sums]
    if not _excluded(whole, SURE):
        return None
    best = max(range(len(SLOPES)), key=lambda k: whole[k])
    for one in each:
        rest = [
            _mean([a - b for a, b in zip(column, own, strict=True)])
            for column, own in zip(sums, one, strict=True)
        ]
        again = max(range(len(SLOPES)), key=lambda k: rest[k])
        if not _excluded(rest, SURE_WITHOUT_ONE) or (SLOPES[again] < 1) != (SLOPES[best] < 1):
            return None
    return _allowed(whole, expected)


def _excluded(by_slope: Sequence[float], sure: float) -> bool:
    """Whether every gap a turn near the sheet's is that much less likely than the best."""
    near = max(v for s, v in zip(SLOPES, by_slope, strict=True) if NEAR[0] <= s <= NEAR[1])
    return max(by_slope) - near >= sure


def _allowed(by_slope: Sequence[float], expected: Fraction) -> Span:
    """From the last excluded one below to the first above those that are not excluded."""
    best = max(by_slope)
    kept = [k for k, v in enumerate(by_slope) if best - v < SURE]
    low = SLOPES[kept[0] - 1] * expected if kept[0] > 0 else None
    high = SLOPES[kept[-1] + 1] * expected if kept[-1] + 1 < len(SLOPES) else None
    return Span(low, high)


@lru_cache(maxsize=512)
def _likelihoods(run: ScrewRun, expected: Fraction) -> tuple[tuple[float, ...], ...]:
    """The log of the likelihood of one run, by supposed gap a turn and by what the nut does."""
    if run.start.high is None:
        raise ValueError("a run starts with a closed bracket")
    start = _ends(run.start)
    steps = tuple(_in_numbers(step, expected) for step in run.steps)
    return tuple(
        tuple(_follow(start, steps, float(slope), nut) for nut in _NUTS) for slope in SLOPES
    )


@dataclass(frozen=True, slots=True)
class _Ends:
    """A bracket in nanometres, without bound where it is open; ``blur`` is its ends' own variance.

    Where no blade went the valve may be held off its seat, so that below there is no end.
    """

    low: float
    high: float
    blur: float

    @property
    def closed(self) -> bool:
        return isfinite(self.high - self.low)

    def spread(self) -> tuple[float, float]:
        """Mean and variance of a clearance anywhere in it, whose blades are a little off."""
        return (self.low + self.high) / 2, (self.high - self.low) ** 2 / 12 + self.blur


@dataclass(frozen=True, slots=True)
class _Move:
    """A step as numbers: what the sheet says it moved, and the variance of the hand and of the nut."""

    moved: float
    hand: float
    nut: float
    tightened: int
    slackened: int
    read: _Ends


def _ends(bracket: Bracket) -> _Ends:
    errors = [(bracket.low - bracket.wide_low).nm]
    if bracket.high is not None and bracket.wide_high is not None:
        errors.append((bracket.wide_high - bracket.high).nm)
    return _Ends(
        float(bracket.low.nm) if bracket.low > ZERO else -inf,
        inf if bracket.high is None else float(bracket.high.nm),
        max(errors) ** 2 / 3,  # the leaves anywhere within their errors
    )


def _in_numbers(step: ScrewStep, expected: Fraction) -> _Move:
    return _Move(
        float(step.degrees * expected / FULL_TURN),
        float((HAND * expected / FULL_TURN) ** 2 * step.times / 3),
        float((step.slackened + step.tightened) * NUT_SCATTER.nm**2),
        step.tightened,
        step.slackened,
        _ends(step.read),
    )


def _follow(start: _Ends, steps: Sequence[_Move], slope: float, nut: _Nut) -> float:
    mean, variance = start.spread()
    told = 0.0
    for step in steps:
        mean += slope * step.moved + step.tightened * nut.tightened + step.slackened * nut.slackened
        variance += slope * slope * step.hand + step.nut
        chance, cut_mean, cut_variance = _cut(mean, variance, step.read)
        told += log((1 - SLIP) * chance + SLIP)
        if chance > SLIP:
            mean, variance = cut_mean, cut_variance
        elif step.read.closed:
            mean, variance = step.read.spread()
    return told


def _cut(mean: float, variance: float, read: _Ends) -> tuple[float, float, float]:
    """The chance of reading this, and mean and variance of the clearance once it was read."""
    spread = sqrt(variance + read.blur)
    low, high = (read.low - mean) / spread, (read.high - mean) / spread
    chance = (erfc(low / ROOT_2) - erfc(high / ROOT_2)) / 2
    if chance <= SLIP:
        return max(chance, 0.0), mean, variance
    at_low, at_high = exp(-low * low / 2) / ROOT_2_PI, exp(-high * high / 2) / ROOT_2_PI
    pull = (at_low - at_high) / chance
    # Without bound there is no density, and its product with the bound is nothing.
    ends = ((low * at_low if at_low else 0.0) - (high * at_high if at_high else 0.0)) / chance
    gain = variance / spread
    return chance, mean + gain * pull, max(variance - gain * gain * (pull * pull - ends), 1.0)


def _mean(logs: Iterable[float]) -> float:
    """The log of the mean of what these are logs of."""
    values = list(logs)
    top = max(values)
    return top + log(fsum(exp(v - top) for v in values) / len(values))
