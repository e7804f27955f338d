"""Eccentric adjusters: how far they move is learned, for no sheet prints it.

An eccentric lifts by a sine of its angle: quick half way, ever slower towards its turning point,
and back beyond it. So what two readings teach holds nearby only, and every turn is gauged again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Band

FARTHEST = Fraction(30)
"""Degrees to turn at the most before gauging again; a sine bends too much beyond (design value)."""

FIRST = Fraction(15)
"""Degrees to turn to learn the first rate (design value)."""


@dataclass(frozen=True, slots=True)
class Stand:
    """What was gauged with the eccentric at ``angle`` degrees, counted from any start, one way."""

    angle: Fraction
    bracket: Bracket


@dataclass(frozen=True, slots=True)
class Rate:
    """Nanometres the gap opens per degree, as an interval; minus closes.

    ``start`` to ``end`` is the arc, in degrees, over which it was learned.
    """

    start: Fraction
    end: Fraction
    low: Fraction
    high: Fraction

    @property
    def told(self) -> bool:
        """Whether the blades show which way it moves."""
        return self.low > 0 or self.high < 0

    @property
    def middle(self) -> Fraction:
        """The middle of the interval."""
        return (self.low + self.high) / 2


def rate(a: Stand, b: Stand) -> Rate | None:
    """What two stands teach; None from one angle, or while a bracket is open or contradicts itself.

    Intervals subtract crosswise. A bracket from zero counts as open: the valve may be held off its
    seat.
    """
    if a.angle == b.angle:
        return None
    first, then = (a, b) if a.angle < b.angle else (b, a)
    if any(s.bracket.clash or s.bracket.low <= ZERO for s in (a, b)):
        return None
    if first.bracket.high is None or then.bracket.high is None:
        return None
    arc = then.angle - first.angle
    low = (then.bracket.low.nm - first.bracket.high.nm) / arc
    high = (then.bracket.high.nm - first.bracket.low.nm) / arc
    return Rate(first.angle, then.angle, low, high)


def turning_point(stands: Sequence[Stand]) -> tuple[Fraction, Fraction] | None:
    """The arc that holds the turning point, where the blades prove that it was passed, or None."""
    sides = _sides(stands)
    return None if sides is None else (sides[0].start, sides[1].end)


def _sides(stands: Sequence[Stand]) -> tuple[Rate, Rate] | None:
    """What was learned on either side of the turning point; None while it is not seen to be passed."""
    ordered = sorted(stands, key=lambda s: s.angle)
    rates = [r for a, b in combinations(ordered, 2) if (r := rate(a, b)) is not None and r.told]
    found = [
        (one, two)
        for one, two in product(rates, rates)
        if one.end == two.start and (one.low > 0) is not (two.low > 0)
    ]
    return min(found, key=lambda pair: pair[1].end - pair[0].start, default=None)


def since_back(stands: Sequence[Stand]) -> tuple[list[Stand], list[Stand]]:
    """Those in hand, and those before them that lie on the same side of the turning point.

    Once it was passed, and the eccentric was turned back to the side where it began, those in hand
    begin anew: the angles before may be off by what the hand missed on the way there and back.
    """
    before: list[Stand] = []
    in_hand: list[Stand] = []
    for stand in stands:
        in_hand.append(stand)
        sides = _sides(in_hand)
        if sides is None:
            continue
        one, two = sides[0].end, sides[1].start
        # What was gauged at the very top lies on both sides; the first that does not tells.
        began = next(s.angle for s in in_hand if (s.angle <= one) is not (s.angle >= two))
        same = [s for s in in_hand if (s.angle <= one if began <= one else s.angle >= two)]
        if same[-1] is stand:
            before, in_hand = same[:-1], [stand]
    return before, in_hand


@dataclass(frozen=True, slots=True)
class EccentricTurn:
    """Turn by ``degrees``: plus goes the way in which the angles grow.

    ``degrees_low`` to ``degrees_high`` is what the brackets leave open. ``cut_short``: more is
    wanted, but it is to be gauged again on the way.
    """

    degrees: Fraction
    degrees_low: Fraction
    degrees_high: Fraction
    cut_short: bool


def eccentric_turn(stands: Sequence[Stand], band: Band) -> EccentricTurn:
    """How far to turn from the last stand towards the middle of the range; then gauge again.

    What comes out is advice, and not sure to land in range: the sine bends.

    Args:
        stands: in the order they were gauged; the last is where it stands now.
        band: the setting range.

    Raises:
        Refusal: too little is known, the bracket lies on both sides of the middle, it stands past
            the turning point or near it, or the blades do not show which way the gap moves.
    """
    if not stands or stands[-1].bracket.high is None or stands[-1].bracket.clash:
        raise Refusal(Why.ECCENTRIC_OPEN)
    check_side(stands[-1].bracket, band)
    before, in_hand = since_back(stands)
    passed = turning_point(in_hand)
    if passed is not None:
        raise Refusal(Why.ECCENTRIC_PASSED, start=round(passed[0]), end=round(passed[1]))
    now = stands[-1]
    learned = _nearest_rate(in_hand)
    if learned is None or not learned.told:
        learned = _nearest_rate([*before, *in_hand])
    if learned is None:
        raise Refusal(Why.ECCENTRIC_UNKNOWN, first=FIRST)
    if not learned.told:
        raise Refusal(Why.ECCENTRIC_UNTOLD)
    assert now.bracket.high is not None
    wanted = [band.middle.nm - end.nm for end in (now.bracket.low, now.bracket.high)]
    ends = [w / r for w in wanted for r in (learned.low, learned.high)]
    best = Fraction(sum(wanted), 2) / learned.middle
    degrees = max(-FARTHEST, min(FARTHEST, best))
    return EccentricTurn(degrees, min(ends), max(ends), cut_short=degrees != best)


def check_side(bracket: Bracket, band: Band) -> None:
    """Whether the blades show on which side of the middle of the range the clearance lies.

    Raises:
        Refusal: they do not, so no way to turn can be told.
    """
    aim = band.middle
    if bracket.high is not None and bracket.low < aim < bracket.high:
        raise Refusal(Why.EITHER_SIDE, aim=aim)


def _nearest_rate(stands: Sequence[Stand]) -> Rate | None:
    """Learned with where it stands now, from the nearest other angle that shows the way."""
    now = stands[-1]
    others = sorted(stands[:-1], key=lambda s: abs(s.angle - now.angle))
    rates = [r for s in others if (r := rate(s, now)) is not None]
    return next((r for r in rates if r.told), rates[0] if rates else None)
