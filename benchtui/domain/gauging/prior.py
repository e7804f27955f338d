"""What a clearance may be before the first blade is tried."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

LEAST_TAIL = Length.um(20)
"""No tail is shorter: however sure the past is, locks slip and blades differ (own choice)."""

INSIDE = Fraction(3, 4)
"""The share taken to lie where it is looked for; one valve in four is a surprise (own choice)."""

GRAIN = 10**6
"""A prior is cut into this many parts, so that plans are worked out in whole numbers."""


@dataclass(frozen=True, slots=True)
class Prior:
    """A plateau with two heavy tails, exact in fractions.

    The share ``inside`` is spread evenly over ``low`` to ``high``. Half of the rest lies on each
    side, so that the share further than d outside is (1 - inside) / 2 / (1 + d / tail)^2: it falls
    with the square, like Student's t with two degrees of freedom, and no clearance is ever ruled
    out. What would lie below zero lies at zero: no gap at all.
    """

    low: Length
    high: Length
    inside: Fraction = INSIDE
    tail: Length = LEAST_TAIL

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError(f"a prior runs upwards, not {self.low} to {self.high}")
        if not 0 < self.inside < 1 or self.tail <= ZERO:
            raise ValueError("a prior leaves room for surprise on both sides")

    def below(self, thickness: Length) -> Fraction:
        """The share of clearances under ``thickness``; none is under zero."""
        return self.share(thickness.nm) if thickness > ZERO else Fraction(0)

    def share(self, nm: int) -> Fraction:
        """The same before what lies below zero is put at zero, in nanometres."""
        outside = (1 - self.inside) / 2
        if nm < self.low.nm:
            return outside * self._beyond(self.low.nm - nm)
        if nm >= self.high.nm:
            return 1 - outside * self._beyond(nm - self.high.nm)
        return outside + self.inside * Fraction(nm - self.low.nm, self.high.nm - self.low.nm)

    def _beyond(self, nm: int) -> Fraction:
        return Fraction(self.tail.nm, self.tail.nm + nm) ** 2

    def weight(self, low: Length, high: Length | None) -> Fraction:
        """The share from ``low`` up to ``high``; a high of None has no end.

        From zero up, the share that has no gap at all is part of it.
        """
        top = Fraction(1) if high is None else self.below(high)
        return max(Fraction(0), top - self.below(low))


def from_setting(setting: Band) -> Prior:
    """Nothing is known: about the setting range, with tails as long as the range is wide."""
    return Prior(setting.low, setting.high, INSIDE, max(setting.width, LEAST_TAIL))


def from_left(
    low: Length, high: Length, drift_low: Length = ZERO, drift_high: Length = ZERO
) -> Prior:
    """From the bracket left last time, moved by the drift that is expected since then.

    The drift, from the least to the most (below zero where the valve closes up), is what the wear
    rate makes of the distance or the hours since. Negative clearances are cut off at zero.
    """
    if drift_low > drift_high:
        raise ValueError(f"a drift runs upwards, not {drift_low} to {drift_high}")
    bottom, top = max(ZERO, low + drift_low), max(ZERO, high + drift_high)
    half = (top - bottom).scaled(Fraction(1, 2))
    return Prior(bottom, top, INSIDE, max(half, LEAST_TAIL))
