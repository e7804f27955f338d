"""What no method can beat, worked out anew and by brute force, apart from the bench's own planner.

Every leaf and every stack of two or three is tried at every stretch of the line; nothing is left
out beforehand. A blade goes where the clearance is at least its known thickness.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np  # comes with scipy

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading, bracket_of
from benchtui.domain.gauging.next_blade import HALVES, NextBlade, next_blade
from benchtui.domain.gauging.prior import Prior
from benchtui.domain.gauging.stands_for import as_bladed
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band
from tests.simulation.rivals import enough

OUT = ("in", "tight", "wide", "open")


@dataclass(frozen=True, slots=True)
class Cost:
    """Expected insertions to the end, the same weighed by 1, 1.5 and 2 for stacks, and what is left.

    ``undecided`` is the share of clearances left without a verdict. ``narrowed`` is the entropy in
    bits of the stretches that the method ends in, ``verdicts`` that of in, tight, wide and open.
    """

    insertions: float
    weighed: float
    undecided: float
    narrowed: float
    verdicts: float


def exact_optimum(blades: BladeSet, band: Band, prior: Prior) -> float:
    """The least expected cost, a stack of two counting 1.5 and one of three 2.

    The least undecided share comes first, as at the bench. Time goes with the cube of the number of
    different thicknesses.
    """
    window = band.width
    band = as_bladed(
        band, blades.leaves
    )  # the rule of what settles a valve, not of how to get there
    price: dict[int, int] = {}
    for count in (1, 2, 3):
        for feeler in blades.stacks(count):
            price.setdefault(feeler.nominal.nm, HALVES[count])
    places = sorted(price)
    top = len(places) + 1
    lows = [0, *places]
    shares = [0.0, *(float(prior.below(Length(p))) for p in places), 1.0]

    def bracket(i: int, j: int) -> Bracket:
        return Bracket(Length(lows[i]), None if j == top else Length(places[j - 1]))

    prices = np.array([price[place] / 2 for place in places])
    left_open, cost = np.zeros((2, top + 1, top + 1))  # from the ith place to the jth
    for span in range(1, top + 1):
        for i in range(top + 1 - span):
            j = i + span
            here = bracket(i, j)
            if enough(here, band, window):
                continue
            mass = shares[j] - shares[i]
            if span == 1:
                decided = here.low >= band.high or (here.high is not None and here.high <= band.low)
                left_open[i, j] = 0.0 if decided else mass
                continue
            # A blade at each place between: what the two sides leave open, then what they cost.
            opens = np.round(left_open[i, i + 1 : j] + left_open[i + 1 : j, j], 12)
            costs = cost[i, i + 1 : j] + cost[i + 1 : j, j] + mass * prices[i : j - 1]
            left_open[i, j] = opens.min()
            cost[i, j] = costs[opens == opens.min()].min()
    return float(cost[0, top])


Policy = Callable[[tuple[Reading, ...]], Feeler | None]


def advised(blades: BladeSet, band: Band, prior: Prior) -> Policy:
    """The bench's own advice as a way of choosing."""

    def choose(readings: tuple[Reading, ...]) -> Feeler | None:
        advice = next_blade(
            bracket_of(readings),
            blades,
            band,
            prior=prior,
            window=band.width,
            tried=frozenset(r.feeler for r in readings),
        )
        return advice.feeler if isinstance(advice, NextBlade) else None

    return choose


def cost_of(policy: Policy, band: Band, prior: Prior) -> Cost:
    """What a method costs exactly: every way down its tree, weighed by the prior."""
    ends: list[tuple[float, str]] = []
    insertions = weighed = 0.0
    stack: list[tuple[Reading, ...]] = [()]
    while stack:
        readings = stack.pop()
        bracket = bracket_of(readings) if readings else OPEN
        mass = float(prior.weight(bracket.low, bracket.high))
        feeler = policy(readings) if mass > 0 or not readings else None
        if feeler is None:
            ends.append((mass, _verdict(bracket, band)))
            continue
        insertions += mass
        weighed += mass * HALVES[len(feeler.leaves)] / 2
        stack += [(*readings, Reading(feeler, a)) for a in (Answer.FREE, Answer.REFUSES)]
    by_verdict = [sum(m for m, v in ends if v == word) for word in OUT]
    return Cost(
        insertions, weighed, by_verdict[-1], _entropy([m for m, _ in ends]), _entropy(by_verdict)
    )


def _verdict(bracket: Bracket, band: Band) -> str:
    low, high = bracket.low, bracket.high
    if high is not None and high <= band.low:
        return "tight"
    if low >= band.high:
        return "wide"
    return "in" if high is not None and band.low <= low and high <= band.high else "open"


def _entropy(masses: list[float]) -> float:
    return -sum(m * math.log2(m) for m in masses if m > 0)
