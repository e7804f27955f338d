"""What a turn and a blade tried with the nut slack leave of where a gap stands."""

from __future__ import annotations

from benchtui.domain.adjusting.turns import FULL_TURN, HAND, gap_per_turn
from benchtui.domain.blades import JOINT
from benchtui.domain.gauging.bracket import Answer, Bracket, Reading
from benchtui.domain.length import Length, lesser
from benchtui.domain.sheet import Adjuster

DRAG = Length.um(14)
"""A blade drags over this much of clearance, of a hand that has not practised (design value)."""

GIVE = Length.um(4)
"""A blade may be drawn, dragging, through a gap so much narrower than itself (design value)."""


def hand_error(adjuster: Adjuster) -> Length:
    """What the gap may be off after one turn, either way.

    Raises:
        Refusal: the adjuster has no pitch to reckon with.
    """
    return Length(round(gap_per_turn(adjuster) * HAND / FULL_TURN))


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
