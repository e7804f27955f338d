"""While the locknut is slack: lock it, try a blade, turn it on, or set it on a blade held in.

Two things scatter when a valve is set: how far a hand turns, and what the nut takes along. The first can
still be put right before the nut is tight. What costs least on the mean is done: a blade, a turn, and the
lock that fails are set against each other, one blade ahead. An estimate: it orders, and decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate

from benchtui.domain.adjusting.before_lock import hand_error
from benchtui.domain.adjusting.turns import (
    FULL_TURN,
    SMALL,
    Turn,
    closing_way,
    gap_for,
    gap_per_turn,
    rotation_of,
)
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.chances import PLACE, SURE, Chances, answers_at, chances_of
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, Band

SCATTER = Length.um(10)
"""Locking moves one clearance further than the next by so much, either way (design value)."""

FAILED = 120.0
"""A lock that fails costs as much as so many blades: a nut slackened, a turn, a nut tightened and the
valve measured anew (own choice)."""

TURNED = 1.0
"""A turn with the nut slack costs as much as a blade (own choice)."""

LEFT_OUT = 20
"""One part in so many lies beyond either end of the turn that is shown."""

COST = {1: 1.0, 2: 1.5}
"""Of one leaf, or two at once, in insertions."""


@dataclass(frozen=True, slots=True)
class Lock:
    """Tighten it as it stands."""


@dataclass(frozen=True, slots=True)
class TryFirst:
    """Try ``feeler`` first; ``then`` is what is best after each answer."""

    feeler: Feeler
    then: tuple[tuple[Answer, Lock | Turn | Hold], ...]


@dataclass(frozen=True, slots=True)
class Hold:
    """Set it on this leaf, held in; ``otherwise`` by a turn, unless that is less than a hand can make."""

    feeler: Feeler
    otherwise: Turn | None = None


Best = Lock | TryFirst | Turn | Hold


@dataclass(frozen=True)
class Weighing:
    """What each thing would cost. ``band`` is the range less what the nut takes."""

    band: Band
    adjuster: Adjuster
    hand: FeelBand
    leaf: Feeler | None
    """The leaf to hold where one serves."""
    by_degrees: bool = False
    """Whether a leaf is held for a touch only, smaller than a hand can turn."""

    def best(self, here: Chances, blades: BladeSet, tried: frozenset[Feeler]) -> Best:
        """The cheapest; the plainer of two as cheap."""
        cost, act = self._at_once(here)
        found: Best = act
        for feeler in _worth_trying(here, blades, tried):
            fits = answers_at(feeler, self.hand, here.first, len(here.weights))
            total, then = COST[len(feeler.leaves)], []
            for answer, told in fits.items():
                left = here.times(told)
                share = sum(w * t for w, t in zip(here.weights, told, strict=True))
                if not share or not left.whole:
                    continue
                after, do = self._at_once(left)
                total += share / (here.whole * SURE) * after
                then.append((answer, do))
                if total >= cost:
                    break
            if total < cost:
                cost, found = total, TryFirst(feeler, tuple(then))
        return found

    def fails(self, here: Chances) -> float:
        """The chance that it would be out of range once it is locked as it stands."""
        return 1 - _dot(here, self._locked, 0)

    @cached_property
    def fails_held(self) -> float:
        """The same, set on the leaf first; a sure failure where no leaf serves."""
        if self.leaf is None:
            return 1.0
        held = chances_of((Reading(self.leaf, Answer.DRAG),), self.hand)
        return 1.0 if held is None else self.fails(held)

    def _at_once(self, here: Chances) -> tuple[float, Lock | Turn | Hold]:
        """The best without a blade before it."""
        cost: float = FAILED * self.fails(here)
        best: Lock | Turn | Hold = Lock()
        turn = self._turn(here)
        # What a hand cannot turn reliably is turned all the same, as far as it can, if nothing else helps.
        touch = turn is None or abs(self.band.middle - here.mean) < abs(self._moves(turn, SMALL))
        if self.leaf is not None and (touch or not self.by_degrees):
            held = TURNED + FAILED * self.fails_held
            if held < cost:
                cost, best = held, Hold(self.leaf, None if touch else turn)
        if turn is None:
            return cost, best
        moved = round(self._moves(turn, turn.degrees).nm / PLACE)
        turned = TURNED + FAILED * (1 - _dot(here, self._turned, moved))
        return (turned, turn) if turned < cost else (cost, best)

    def _moves(self, turn: Turn, degrees: Fraction) -> Length:
        return gap_for(turn.way, degrees, self.adjuster)

    def _turn(self, here: Chances) -> Turn | None:
        """To the middle of the range, never less than a hand turns reliably."""
        adjuster, aim = self.adjuster, self.band.middle
        if not adjuster.reckoned:
            return None
        per_nm = FULL_TURN / gap_per_turn(adjuster)
        off = aim.nm - here.mean.nm
        degrees = max(SMALL, Fraction(round(abs(off) * per_nm)))
        if degrees > FULL_TURN:
            return None
        closes = off < 0
        way = closing_way(adjuster) if closes else closing_way(adjuster).other
        ends = sorted(
            max(0, (end - aim).nm if closes else (aim - end).nm) * per_nm
            for end in here.span(LEFT_OUT)
        )
        low, high = min(ends[0], degrees), max(ends[1], degrees)
        return Turn(way, rotation_of(way, adjuster), closes, degrees, low, high, aim)

    @cached_property
    def _locked(self) -> list[float]:
        """By place: the chance to be in range once locked there."""
        return _spread(
            [
                float(self.band.low.nm <= x * PLACE <= self.band.high.nm)
                for x in range(self._places)
            ],
            SCATTER,
        )

    @cached_property
    def _turned(self) -> list[float]:
        """The same, turned to there first by this hand."""
        return _spread(self._locked, hand_error(self.adjuster))

    @property
    def _places(self) -> int:
        return (self.band.high + SCATTER + SCATTER).nm // PLACE + 100


def _spread(chances: list[float], either_way: Length) -> list[float]:
    """Smeared out by so much either way."""
    reach = round(either_way.nm / PLACE)
    sums = [0.0, *accumulate([0.0] * reach + chances + [0.0] * reach)]
    width = 2 * reach + 1
    return [(b - a) / width for a, b in zip(sums, sums[width:], strict=False)]


def _dot(here: Chances, table: list[float], moved: int) -> float:
    begin = here.first + moved
    total = 0.0
    for k, weight in enumerate(here.weights, begin):
        if 0 <= k < len(table):
            total += weight * table[k]
    return total / here.whole


def _worth_trying(here: Chances, blades: BladeSet, tried: frozenset[Feeler]) -> Iterator[Feeler]:
    low = Length(here.first * PLACE)
    high = low + Length(len(here.weights) * PLACE)
    seen: set[Length] = set()
    for count in COST:
        for feeler in blades.stacks(count):
            size = feeler.nominal
            if low <= size <= high and size not in seen and feeler not in tried:
                seen.add(size)
                yield feeler
