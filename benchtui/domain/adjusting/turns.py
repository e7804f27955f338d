"""How far to turn an adjuster: N = gap to move / (pitch x lever ratio)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Adjuster, Band, Rotation

FULL_TURN = Fraction(360)
FLAT = Fraction(60)
"""Degrees from one flat of a hexagon nut to the next."""


CLOCK_MINUTE = Fraction(6)
"""Degrees of one minute on a clock's face."""

SMALL = Fraction(8)
"""Below this many degrees a hand does not turn a screw reliably (design value)."""

HAND = Fraction(5)
"""A hand turns a screw to within so many degrees, either way (design value)."""


NONE_AT_ALL = Fraction(1)
"""Below one degree there is no turn to make (own choice)."""


class Way(Enum):
    """The screw's way along its thread: in is deeper, out is backed off."""

    IN = "in"
    OUT = "out"

    @property
    def other(self) -> Way:
        """The opposite way."""
        return Way.OUT if self is Way.IN else Way.IN


def closing_way(adjuster: Adjuster) -> Way:
    """The way that makes the gap smaller.

    A right-hand thread goes in clockwise. The sheet says which rotation closes; on nearly every
    engine that is screwing in, but not on all.
    """
    goes_in = Rotation.ANTICLOCKWISE if adjuster.left_hand else Rotation.CLOCKWISE
    return Way.IN if adjuster.closes is goes_in else Way.OUT


def rotation_of(way: Way, adjuster: Adjuster) -> Rotation:
    """The rotation, seen from the tool, that moves the screw this way."""
    closes = adjuster.closes
    return closes if way is closing_way(adjuster) else closes.other


@dataclass(frozen=True, slots=True)
class Turn:
    """A turn to make. ``degrees`` lies from ``degrees_low`` to ``degrees_high``, all >= 0.

    The two ends belong to the two ends of the bracket. ``aim`` is the clearance aimed for, which
    is off the middle of the range by what the locknut is known to take.
    """

    way: Way
    rotation: Rotation
    closes: bool
    degrees: Fraction
    degrees_low: Fraction
    degrees_high: Fraction
    aim: Length

    @property
    def turns(self) -> Fraction:
        """In whole turns."""
        return self.degrees / FULL_TURN

    @property
    def small(self) -> bool:
        """Whether it is less than a hand can turn reliably."""
        return self.degrees < SMALL


def gap_per_turn(adjuster: Adjuster) -> Fraction:
    """How many nanometres the gap moves in one full turn, exact.

    Raises:
        Refusal: the adjuster is not a thread, or its pitch is not on the sheet.
    """
    why = adjuster.set_by.no_turn
    if why is not None:
        raise Refusal(why)
    if adjuster.pitch is None:
        raise Refusal(Why.NO_PITCH)
    return adjuster.pitch.nm * adjuster.lever


def gap_for(way: Way, degrees: Fraction, adjuster: Adjuster) -> Length:
    """How the gap changes (plus opens) when the screw is turned this way so far."""
    moved = Length(round(gap_per_turn(adjuster) * degrees / FULL_TURN))
    return -moved if way is closing_way(adjuster) else moved


def turn_for(
    bracket: Bracket,
    aim: Length,
    band: Band,
    adjuster: Adjuster,
    *,
    surely_out: bool = False,
    centre: Length | None = None,
) -> Turn:
    """The turn that brings ``centre`` to ``aim``, from a bracket that is no wider than one turn allows.

    ``centre`` is where the clearance most likely lies within the bracket (an estimate, see
    ``gauging.likely_gap``), its middle where None: then every clearance in the bracket lands in ``band``.

    ``band`` is the setting range, moved by what the locknut is known to take where that is aimed
    off; ``aim`` lies in it. A bracket from zero is taken to begin there, although the valve may be
    held off its seat: whoever shows the turn has to say so.

    ``surely_out`` says that the valve has to be set, whatever it is within the bracket. Then the aim
    may lie inside it, as it can once it is moved off by what the nut takes: the worst case lands in
    range all the same. Else a bracket on both sides of the aim is too wide for telling a turn.

    Raises:
        Refusal: the adjuster cannot be turned, the bracket is open, it lies on both sides of the
            aim, the worst case would land out of range, more than one full turn would be needed,
            or it is surely out and wants none, because the nut alone takes it there.
    """
    degrees_per_nm = FULL_TURN / gap_per_turn(adjuster)
    if bracket.clash:
        raise Refusal(Why.TURN_CLASH)
    if bracket.high is None:
        raise Refusal(Why.TURN_OPEN)
    if bracket.low < aim < bracket.high and not surely_out:
        raise Refusal(Why.EITHER_SIDE, aim=aim)
    middle = Fraction(bracket.low.nm + bracket.high.nm, 2)  # exact, half nanometres too
    delta = aim.nm - middle
    if bracket.low.nm + delta < band.low.nm or bracket.high.nm + delta > band.high.nm:
        raise Refusal(Why.TOO_WIDE, width=bracket.high - bracket.low)
    delta = aim.nm - (middle if centre is None else Fraction(centre.nm))
    degrees = abs(delta) * degrees_per_nm
    if surely_out and degrees < NONE_AT_ALL:
        raise Refusal(Why.STANDS_AT_AIM, aim=aim)
    if degrees > FULL_TURN:
        raise Refusal(Why.TOO_FAR, turns=round(degrees / FULL_TURN, 1))
    closes = delta < 0
    way = closing_way(adjuster) if closes else closing_way(adjuster).other
    # The far end of the bracket may want no turn this way at all.
    ends = sorted(
        max(0, (end - aim.nm) if closes else (aim.nm - end)) * degrees_per_nm
        for end in (bracket.low.nm, bracket.high.nm)
    )
    return Turn(way, rotation_of(way, adjuster), closes, degrees, ends[0], ends[1], aim)
