"""How likely a verdict is wrong, in the terms of JCGM 106.

A *false accept* is a clearance out of its range that is called in range (the consumer's risk). A
*guard band* is how far inside the limits a reading must lie to be accepted; *simple acceptance* has
none. Chances are floating point: they are shown and never compared with a limit of the range.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.gauging.prior import Prior
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.sheet import Band

Density = Callable[[float], float]
PANELS = 32
LEAST_SHOWN = 1e-4


def chance_in_range(readings: Iterable[Reading], setting: Band, prior: Prior) -> float:
    """The chance, 0 to 1, that the clearance is in range, given the prior and every reading.

    Each blade is taken as equally likely anywhere between its thinnest and its thickest, and each
    blade by itself; that spreads a stack wider than its leaves would, which errs on the safe side.
    A blade tried twice with the same answer tells what it told once. A drag counts as goes. Where
    the readings leave no clearance possible at all, there is no chance to speak of: nan.
    """
    taken = {(r.feeler.marks, r.answer.goes): r for r in readings}.values()
    likely = _likelihood(tuple(taken))
    places = {0, setting.low.nm, setting.high.nm, prior.low.nm, prior.high.nm}
    for r in taken:
        places |= {r.feeler.thinnest.nm, r.feeler.thickest.nm}
    points = sorted(p for p in places if p >= 0)

    inside = outside = 0.0
    for a, b in pairwise(points):
        part = _simpson(lambda x: _density(prior, x) * likely(x), a, b, PANELS)
        if setting.low.nm <= a and b <= setting.high.nm:
            inside += part
        else:
            outside += part
    atoms = [(0, float(prior.share(0)))]
    if prior.low == prior.high:
        atoms.append((prior.low.nm, float(prior.inside)))
    for place, mass in atoms:
        if setting.low.nm <= place <= setting.high.nm:
            inside += mass * likely(place)
        else:
            outside += mass * likely(place)
    # Above the last point nothing changes any more: all blades there go.
    outside += float(1 - prior.share(points[-1])) * likely(points[-1] + 1)
    whole = inside + outside
    return inside / whole if whole > 0 else math.nan


def false_accept(readings: Iterable[Reading], setting: Band, prior: Prior) -> float:
    """The chance that a valve called in range on these readings is out of it."""
    return 1 - chance_in_range(readings, setting, prior)


def _likelihood(readings: Sequence[Reading]) -> Density:
    """How likely all these answers are at a clearance of x nm."""
    ramps = [(r.feeler.thinnest.nm, r.feeler.thickest.nm, r.answer.goes) for r in readings]

    def likely(x: float) -> float:
        product = 1.0
        for thin, thick, goes in ramps:
            # A blade known exactly has no width: its ramp is a step, drawn one nanometre long.
            share = min(1.0, max(0.0, (x - thin) / max(1, thick - thin)))
            product *= share if goes else 1 - share
        return product

    return likely


def _density(prior: Prior, x: float) -> float:
    """The prior's density per nm, beside its atoms."""
    inside, tail = float(prior.inside), prior.tail.nm
    low, high = prior.low.nm, prior.high.nm
    if low <= x <= high:
        return inside / (high - low) if high > low else 0.0
    out = low - x if x < low else x - high
    return (1 - inside) / tail * (tail / (tail + out)) ** 3


def _simpson(f: Density, a: float, b: float, panels: int) -> float:
    """The integral from a to b by Simpson's rule; ends are taken a hair inside, at steps."""
    if b <= a:
        return 0.0
    nudge = (b - a) * 1e-12
    step = (b - a) / panels
    total = f(a + nudge) + f(b - nudge)
    total += sum((4 if k % 2 else 2) * f(a + k * step) for k in range(1, panels))
    return total * step / 3


def rule_in_words(rule: DecisionRule) -> str:
    """What the decision rule asks, for the help page and the card."""
    return _IN_WORDS[rule]


_IN_WORDS = {
    DecisionRule.PLAIN: (
        "Plain: simple acceptance, with no guard band. The blades are taken at their known "
        "thickness, so close to a limit a valve called in range may be out by a blade's error."
    ),
    DecisionRule.PROVED: (
        "Proved: guarded acceptance. The guard band is each blade's own error, and 7 um a joint in "
        "a stack: in range only if it is so even with every error against us."
    ),
    DecisionRule.FEEL: (
        "By feel: simple acceptance on what one practised hand makes of a drag, with no guard band "
        "for the blades or for the hand. The weakest of the three; it holds for that hand alone."
    ),
}
"""In the terms of JCGM 106:2012 (8.2 simple, 8.3 guarded acceptance) and ISO 14253-1."""


EVEN = 0.5
"""Above it, one in so many says nothing."""


def risk_in_words(chance: float) -> str:
    """The chance of a false accept for the screen, as one in so many."""
    if math.isnan(chance):
        return "these readings do not fit each other: no chance can be given"
    return f"out of range all the same: {odds(chance)}"


def odds(chance: float) -> str:
    """``about 1 in 400``; what is rarer than 1 in 10 000 is not told apart."""
    if chance > EVEN:
        return "more likely out than in"
    return "less than 1 in 10 000" if chance <= LEAST_SHOWN else f"about 1 in {round(1 / chance)}"
