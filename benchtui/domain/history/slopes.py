"""Lines through brackets: exactly which slopes pass them all, and where those lines lead.

x is a distance in kilometres or a running time in hours; slopes are nanometres per unit of x. All
sums are exact: the question "is zero excluded?" is asked at the very edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.felt import Felt
from benchtui.domain.length import ZERO, Length


@dataclass(frozen=True, slots=True)
class Seen:
    """A clearance seen at ``x``: ``low`` to ``high``; None is open.

    A low of zero says that no blade went. The clearance may then be gone altogether and the valve
    be held off its seat, which no blade can tell; so it is open as well. ``felt`` is what the blades
    said, where that was kept; the estimate goes by it.
    """

    x: Fraction
    low: Length | None
    high: Length | None
    felt: tuple[Felt, ...] = ()

    def __post_init__(self) -> None:
        if self.low is not None and self.low <= ZERO:
            object.__setattr__(self, "low", None)
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(f"a bracket runs upwards, not {self.low} to {self.high}")

    @classmethod
    def of(
        cls, x: Fraction, bracket: Bracket, *, widened: bool = False, felt: tuple[Felt, ...] = ()
    ) -> Seen:
        """What a bracket says at ``x``; ``widened`` takes the blades' errors against us."""
        if widened:
            return cls(x, bracket.wide_low, bracket.wide_high, felt)
        return cls(x, bracket.low, bracket.high, felt)


@dataclass(frozen=True, slots=True)
class Slope:
    """From ``low`` to ``high`` nanometres per unit; None is without bound."""

    low: Fraction | None
    high: Fraction | None

    @property
    def falls(self) -> bool:
        """Whether zero is excluded from below: it closes up."""
        return self.high is not None and self.high < 0

    @property
    def rises(self) -> bool:
        """Whether zero is excluded from above: it opens."""
        return self.low is not None and self.low > 0

    def overlaps(self, other: Slope) -> bool:
        """Whether one slope could belong to both."""
        return not (_above(self.low, other.high) or _above(other.low, self.high))


def _above(low: Fraction | None, high: Fraction | None) -> bool:
    return low is not None and high is not None and low > high


def slope_through(seen: Sequence[Seen]) -> Slope | None:
    """Every slope of a line that passes all the brackets, or None where no line does.

    A line of slope m passes iff no lower end lies above it while it lies under an upper end: for
    each pair of a lower end at xi and an upper end at xj, ``low_i + m (xj - xi) <= high_j``. That
    is the linear programme in (m, b) with b eliminated, so the range is exact.
    """
    lowest: Fraction | None = None
    highest: Fraction | None = None
    lows, highs = _lows(seen), _highs(seen)
    for xi, low in lows:
        for xj, high in highs:
            room, span = high - low, xj - xi
            if span > 0:
                highest = room / span if highest is None else min(highest, room / span)
            elif span < 0:
                lowest = room / span if lowest is None else max(lowest, room / span)
            elif room < 0:
                return None
    return None if _above(lowest, highest) else Slope(lowest, highest)


def _lows(seen: Sequence[Seen]) -> list[tuple[Fraction, int]]:
    """The lower ends that can stand in a line's way: those on their own hull from above.

    For any slope the end that a line meets first is a corner of the hull, so the rest says nothing.
    """
    return _over((s.x, s.low.nm) for s in seen if s.low is not None)


def _highs(seen: Sequence[Seen]) -> list[tuple[Fraction, int]]:
    """The upper ends that can stand in a line's way: those on their own hull from below."""
    return [(x, -y) for x, y in _over((s.x, -s.high.nm) for s in seen if s.high is not None)]


def _over(points: Iterable[tuple[Fraction, int]]) -> list[tuple[Fraction, int]]:
    """The hull of the points as seen from above, left to right."""
    hull: list[tuple[Fraction, int]] = []
    for x, y in sorted(points):
        if hull and hull[-1][0] == x:
            hull.pop()  # sorted: the newer one is at least as high
        while len(hull) > 1 and _not_above_chord(hull[-2], hull[-1], (x, y)):
            hull.pop()
        hull.append((x, y))
    return hull


def _not_above_chord(
    a: tuple[Fraction, int], b: tuple[Fraction, int], c: tuple[Fraction, int]
) -> bool:
    return (b[1] - a[1]) * (c[0] - a[0]) <= (c[1] - a[1]) * (b[0] - a[0])


@dataclass(frozen=True, slots=True)
class Line:
    """``slope`` nanometres per unit, ``at_zero`` nanometres at x = 0."""

    slope: Fraction
    at_zero: Fraction

    def at(self, x: Fraction) -> Fraction:
        """Its height in nanometres."""
        return self.slope * x + self.at_zero

    def meets(self, height: Length) -> Fraction | None:
        """Where it has this height, or None for a level line."""
        return None if self.slope == 0 else (height.nm - self.at_zero) / self.slope


@dataclass(frozen=True, slots=True)
class Wedge:
    """Where the clearance may go after the last bracket, at ``last``.

    Beyond ``last`` every line through all brackets lies between ``lower`` and ``upper``, and both
    are such lines; None is without bound.
    """

    last: Fraction
    lower: Line | None
    upper: Line | None


def wedge(seen: Sequence[Seen], slope: Slope | None) -> Wedge | None:
    """The forecast of all lines through all brackets, exact; None where no line passes.

    ``slope`` is what ``slope_through`` them is.

    Raises:
        ValueError: nothing was seen.
    """
    if not seen:
        raise ValueError("a forecast needs something seen")
    if slope is None:
        return None
    # With the least slope the line hangs on the lower ends, with the greatest under the upper ones.
    lower = upper = None
    if slope.low is not None:
        lower = Line(slope.low, max(y - slope.low * x for x, y in _lows(seen)))
    if slope.high is not None:
        upper = Line(slope.high, min(y - slope.high * x for x, y in _highs(seen)))
    return Wedge(max(s.x for s in seen), lower, upper)
