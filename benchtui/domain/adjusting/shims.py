"""Which shim to fit: new = fitted + measured - wanted, from both ends of the bracket."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Band

UNDER_BUCKET = (
    "These shims lie under the buckets and come out with the cams only: gauge every valve and plan "
    "every shim before anything is taken apart, and gauge all of them again with the cams back in."
)


@dataclass(frozen=True, slots=True)
class Shim:
    """A shim: its stamp, what a micrometer said if anyone asked it, and the error of either.

    Shims wear, and stamps rub off, so the measured thickness counts where there is one. The error
    is zero unless somebody gives one: no tolerance is invented.
    """

    marked: Length
    measured: Length | None = None
    error: Length = ZERO

    def __post_init__(self) -> None:
        if self.thickness <= ZERO:
            raise ValueError(f"a shim has a thickness above zero, not {self.thickness}")
        if self.error < ZERO:
            raise ValueError(f"an error is zero or above, not {self.error}")

    @property
    def thickness(self) -> Length:
        """The best known thickness: measured if it was, else marked."""
        return self.marked if self.measured is None else self.measured

    def __str__(self) -> str:
        if self.measured is None or self.measured == self.marked:
            return str(self.marked)
        return f"{self.marked} (measures {self.measured})"


@dataclass(frozen=True, slots=True)
class ShimFit:
    """What may be fitted in one place.

    Every size from ``low`` to ``high`` lands in ``band`` whatever the true clearance in the plain
    bracket and whatever the shims' errors; none does where ``low`` is above ``high``. Those between
    the ``sure_ends`` do so in the widened bracket too, with the blades' errors against us (None:
    no size does). ``ideal`` brings the middle of the bracket to the middle of the band. ``slack`` is
    what the two shims' errors take off the range at each end.
    """

    bracket: Bracket
    band: Band
    fitted: Shim
    ratio: Fraction
    low: Length
    high: Length
    ideal: Length
    slack: Length
    sure_ends: tuple[Length, Length] | None = None

    @property
    def possible(self) -> bool:
        """Whether any size at all lands in range, by the plain bracket."""
        return self.low <= self.high

    def holds(self, size: Length) -> bool:
        """Whether this size lands in range, by the plain bracket."""
        return self.low <= size <= self.high

    def sure(self, size: Length) -> bool:
        """Whether it is sure to, with the blades' errors against us."""
        return self.sure_ends is not None and self.sure_ends[0] <= size <= self.sure_ends[1]

    def bracket_needed(self, step: Length = ZERO) -> Length:
        """How narrow the plain bracket must be so that some size lands in range.

        With sizes a ``step`` apart, so narrow that one of them is. Zero or less: no bracket is.
        """
        return Length(floor(self.band.width.nm - self.ratio * (step.nm + 2 * self.slack.nm)))

    def lands(self, size: Length) -> tuple[Length, Length]:
        """The least and the greatest clearance that this size may leave (rounded outwards).

        By the plain bracket.
        """
        assert self.bracket.high is not None
        moved = (self.fitted.thickness - size).nm * self.ratio
        spread = self.slack.nm * self.ratio
        low = self.bracket.low.nm + moved - spread
        return Length(floor(low)), Length(ceil(self.bracket.high.nm + moved + spread))


def shim_fit(
    bracket: Bracket,
    band: Band,
    fitted: Shim,
    ratio: Fraction = Fraction(1),
    new_error: Length = ZERO,
) -> ShimFit:
    """The sizes that land in range, and those among them that are sure to.

    Args:
        bracket: the clearance with ``fitted`` in place.
        band: the setting range.
        fitted: the shim in place now.
        ratio: gap moved over shim moved, for a shim under a finger follower; else 1.
        new_error: how far the new shim may be off its size.

    Raises:
        Refusal: the bracket is open or in contradiction, or no blade goes at all.
        ValueError: the ratio is not above zero.
    """
    if ratio <= 0:
        raise ValueError(f"a lever ratio is above zero, not {ratio}")
    if bracket.high is None:
        raise Refusal(Why.SHIM_OPEN)
    if bracket.clash:
        raise Refusal(Why.SHIM_CLASH)
    if bracket.low <= ZERO:
        # The valve may be held off its seat, and then the formula has nothing to start from.
        raise Refusal(Why.SHIM_NO_BLADE_GOES)
    slack = fitted.error + new_error
    size = fitted.thickness.nm

    def ends(gauged_low: Length, gauged_high: Length) -> tuple[Length, Length]:
        at_least = size + slack.nm + (gauged_high.nm - band.high.nm) / ratio
        at_most = size - slack.nm + (gauged_low.nm - band.low.nm) / ratio
        return Length(ceil(at_least)), Length(floor(at_most))

    off = Fraction(bracket.low.nm + bracket.high.nm - band.low.nm - band.high.nm, 2)
    ideal = Length(round(size + off / ratio))
    low, high = ends(bracket.low, bracket.high)
    surely = None if bracket.wide_high is None else ends(bracket.wide_low, bracket.wide_high)
    if surely is not None and surely[0] > surely[1]:
        surely = None
    return ShimFit(bracket, band, fitted, ratio, low, high, ideal, slack, surely)


def pick(fit: ShimFit, offered: Iterable[Length]) -> Length | None:
    """Of the sizes offered that land in range the one nearest the ideal, a sure one first, or None.

    Of two as near, the thinner: a valve with a little too much clearance is noisy, one with too
    little burns (common practice).
    """
    good = (size for size in offered if fit.holds(size))
    return min(
        good, key=lambda size: (not fit.sure(size), abs(size - fit.ideal), size), default=None
    )


def why_none(fit: ShimFit, step: Length = ZERO) -> str:
    """What to do where no size offered will do; ``step`` is how far apart the sizes are."""
    width = (fit.bracket.high or fit.bracket.low) - fit.bracket.low
    needed = fit.bracket_needed(step)
    if needed <= ZERO:
        return "The sizes offered are too coarse for this range: look for steps between them."
    if width > needed:
        return (
            f"Measure finer: the bracket is {width} wide, and {needed} or less would leave a size "
            f"that should land in range."
        )
    return f"None of the sizes offered lies between {fit.low} and {fit.high}: get one that does."
