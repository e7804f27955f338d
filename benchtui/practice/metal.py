"""The engine that is not real: true clearances, true leaves, a crank that may stand one turn out."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from random import Random

from benchtui.domain.adjusting.turns import Way, gap_for
from benchtui.domain.blades import JOINT, BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.prior import Prior, from_setting
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Sheet, setting_range
from benchtui.practice.hand import Hand

FURTHEST = 2_000_000
"""No drawn clearance is wider, in nanometres: beyond 2 mm something has come apart."""


def drawn(prior: Prior, random: Random) -> int:
    """One clearance in nanometres, drawn from a prior; the prior's own shares turned over."""
    u = random.random()
    outside = float(1 - prior.inside) / 2
    low, high, tail = prior.low.nm, prior.high.nm, prior.tail.nm
    if u < outside:
        return max(0, round(low - tail * (math.sqrt(outside / max(u, 1e-12)) - 1)))
    if u > 1 - outside:
        return min(FURTHEST, round(high + tail * (math.sqrt(outside / max(1 - u, 1e-12)) - 1)))
    return round(low + (high - low) * (u - outside) / float(prior.inside))


def draw_gaps(sheet: Sheet, random: Random, owners: Length | None = None) -> dict[str, int]:
    """A clearance for every valve, about its setting range with the bench's own heavy tails."""
    gaps = {}
    for valve in sheet.layout.valves:
        setting = setting_range(sheet, valve, owners)
        band = setting.band if setting is not None else sheet.clearances.of(valve)
        gaps[valve.name] = drawn(from_setting(band), random)
    return gaps


def true_leaves(blades: BladeSet, random: Random) -> dict[Leaf, int]:
    """A true thickness for every leaf of a set, anywhere within its error, in nanometres."""
    return {leaf: _true_leaf(leaf, random) for leaf in blades.leaves}


def _true_leaf(leaf: Leaf, random: Random) -> int:
    return leaf.thickness.nm + random.randint(-leaf.error.nm, leaf.error.nm)


class Metal:
    """An engine on the stand with somebody at it; what is true is in nanometres.

    The same class serves a rehearsal at the keyboard: it answers for the metal, and nothing of what
    it knows reaches the bench except through ``feel``.
    """

    def __init__(
        self,
        sheet: Sheet,
        blades: BladeSet,
        hand: Hand,
        random: Random,
        *,
        gaps: Mapping[str, int] | None = None,
        leaves: Mapping[Leaf, int] | None = None,
    ) -> None:
        self.sheet, self.hand, self._random = sheet, hand, random
        self.gaps = dict(draw_gaps(sheet, random) if gaps is None else gaps)
        self.leaves = dict(true_leaves(blades, random) if leaves is None else leaves)
        self.one_turn_out = False
        # Every valve has luck of its own: two ways of working meet the same turns and the same nuts.
        self._luck = {v.name: Random(random.getrandbits(64)) for v in sheet.layout.valves}

    def stand(self) -> None:
        """Bring a cylinder to its mark: on compression, or one turn out without knowing it."""
        self.one_turn_out = self._random.random() < self.hand.overlap

    def turn_on(self) -> bool:
        """Turn on a little and watch: whether a valve opened, so that it was overlap.

        Whoever saw that goes on to the same mark one turn later, and stands right there.
        """
        was, self.one_turn_out = self.one_turn_out, False
        return was

    def gap(self, valve: str) -> int:
        """The true clearance where the crank stands now; none at overlap."""
        return 0 if self.one_turn_out else self.gaps[valve]

    def thickness(self, feeler: Feeler) -> int:
        """The true thickness of what goes in: the leaves, and what is between them this time."""
        size = 0
        for leaf in feeler.leaves:
            if leaf not in self.leaves:
                self.leaves[leaf] = _true_leaf(leaf, self._random)
            size += self.leaves[leaf]
        return size + sum(self._random.randint(0, JOINT.nm) for _ in feeler.leaves[1:])

    def feel(self, valve: str, feeler: Feeler) -> Answer:
        """Try a blade."""
        felt = self.gap(valve)
        if self.hand.noise:
            felt += round(self._random.gauss(0, self.hand.noise))
        return self.hand.feel(felt, self.thickness(feeler))

    def turn(self, valve: str, way: Way, degrees: Fraction) -> None:
        """Turn the adjuster, as well as this hand can."""
        error = self._luck[valve].uniform(-self.hand.turn_error, self.hand.turn_error)
        made = max(Fraction(0), degrees + Fraction(round(error * 1000), 1000))
        moved = gap_for(way, made, self.sheet.adjuster)
        self.gaps[valve] = max(ZERO.nm, self.gaps[valve] + moved.nm)

    def set_on(self, valve: str, feeler: Feeler) -> None:
        """Set on a blade held in the gap, to a light drag: anywhere that this hand says drag."""
        give = self._luck[valve].uniform(self.hand.drag_above, self.hand.free_above)
        self.gaps[valve] = max(0, self.thickness(feeler) + round(give))

    def lock(self, valve: str) -> None:
        """Tighten the nut: the screw goes with it a little."""
        shift = round(self._luck[valve].gauss(self.hand.lock_closes, self.hand.lock_spread))
        self.gaps[valve] = max(0, self.gaps[valve] - shift)
