"""One blade between turning and locking: whether it pays, which one, and what it leaves.

Two things scatter when a valve is set: how far a hand turns, and what the nut takes along. Only the
first can still be put right before the nut is tight, and one blade of about the size aimed at tells
it: dragging, the screw stands right.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from benchtui.domain.adjusting.turns import FULL_TURN, HAND, gap_per_turn
from benchtui.domain.blades import JOINT, BladeSet, Feeler
from benchtui.domain.gauging.bracket import Answer, Bracket, Reading
from benchtui.domain.length import ZERO, Length, lesser, midpoint
from benchtui.domain.sheet import Adjuster, Band

SCATTER = Length.um(10)
"""Locking moves one clearance further than the next by so much, either way (design value)."""

DRAG = Length.um(14)
"""A blade drags over this much of clearance, of a hand that has not practised (design value)."""

GIVE = Length.um(4)
"""A blade may be drawn, dragging, through a gap so much narrower than itself (design value)."""

DRAG_MIDDLE = Length.um(3)
"""In the middle of that the gap is so much wider than the blade (design value)."""

NEAR = Length.um(6)
"""No blade further from the size aimed at is worth it: the drag would tell of another place."""

WORTH = Fraction(1, 16)
"""A lock in sixteen that fails costs as much as a blade a lock: each failure is a nut slackened, a
turn, a nut tightened and the valve measured anew (own choice)."""


def hand_error(adjuster: Adjuster) -> Length:
    """What the gap may be off after one turn, either way.

    Raises:
        Refusal: the adjuster has no pitch to reckon with.
    """
    return Length(round(gap_per_turn(adjuster) * HAND / FULL_TURN))


def chance_between(halves: tuple[Length, ...], low: Length, high: Length) -> Fraction:
    """The chance that a sum of evenly spread errors lies from ``low`` to ``high``, exact.

    ``halves`` are the half widths; those of zero count for nothing.
    """
    widths = [h.nm for h in halves if h > ZERO]
    if not widths:
        return Fraction(low <= ZERO <= high)
    power = len(widths)

    def below(x: int) -> Fraction:
        total = 0
        for signs in product((1, -1), repeat=power):
            at = x + sum(s * w for s, w in zip(signs, widths, strict=True))
            sign = 1 if signs.count(-1) % 2 == 0 else -1
            total += sign * max(0, at) ** power
        scale = 2**power
        for k, width in enumerate(widths, 1):
            scale *= width * k
        return Fraction(total, scale)

    return below(high.nm) - below(low.nm)


def pays(reckoned: Bracket, band: Band, adjuster: Adjuster) -> bool:
    """Whether a blade before locking is worth its while.

    ``reckoned`` is where the gap stands, the hand's error included; its widened ends count here.
    ``band`` is the range less what the nut takes.
    """
    if reckoned.wide_high is None or reckoned.clash_beyond_error:
        return False
    hand = hand_error(adjuster)
    known = Length(max(0, (reckoned.wide_high - reckoned.wide_low).nm // 2 - hand.nm))
    middle = midpoint(reckoned.wide_low, reckoned.wide_high)
    stays = chance_between((known, hand, SCATTER), band.low - middle, band.high - middle)
    return 1 - stays > WORTH


def aim_feeler(blades: BladeSet, aim: Length) -> Feeler | None:
    """The leaf, or stack of two, that drags about where the gap is wanted; None where none is near.

    A single leaf is taken where it is as near; joints count with half of what they may add.
    """
    best: tuple[int, int, int] | None = None
    found: Feeler | None = None
    for count, joint in ((1, 0), (2, JOINT.nm // 2)):
        for feeler in blades.stacks(count):
            off = abs(feeler.nominal.nm + joint + DRAG_MIDDLE.nm - aim.nm)
            # A joint is less sure than a leaf by about its own half.
            rank = (off + joint // 2, count, feeler.nominal.nm)
            if off <= NEAR.nm and (best is None or rank < best):
                best, found = rank, feeler
    return found


def left_by(reckoned: Bracket, reading: Reading) -> Bracket:
    """What is left of a reckoned bracket once a blade was tried in it; it clashes if they differ."""
    size = reading.feeler.nominal
    size += Length(JOINT.nm // 2 * (len(reading.feeler.leaves) - 1))
    feeler = reading.feeler
    low, high = reckoned.low, reckoned.high
    wide_low, wide_high = reckoned.wide_low, reckoned.wide_high
    match reading.answer:
        case Answer.FREE:
            low, wide_low = max(low, size), max(wide_low, feeler.thinnest)
        case Answer.DRAG:
            low, wide_low = max(low, size - GIVE), max(wide_low, feeler.thinnest - GIVE)
            high = lesser(high, size + DRAG - GIVE)
            wide_high = lesser(wide_high, feeler.thickest + DRAG - GIVE)
        case Answer.REFUSES:
            high, wide_high = lesser(high, size), lesser(wide_high, feeler.thickest)
    return Bracket(low, high, wide_low, wide_high)
