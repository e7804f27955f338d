"""Is the pad dished, or the thread slack? Wind to zero, back off a known angle, and gauge.

A flat blade bridges a hollow worn into a rocker's pad and then says less than the true clearance.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor

from benchtui.domain.adjusting.turns import CLOCK_MINUTE, FULL_TURN, HAND, gap_per_turn
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length, midpoint
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Adjuster

MOST_EXCESS = Length.um(30)
"""More than so much clearance that the blades don't see is worth a word (design value)."""


WIND_TO_ZERO = (
    "Wind the screw in by finger and thumb until the gap just closes, the valve still on its seat; "
    "then back it off one way, without stopping to turn back."
)


PAD_GAP = Length.um(150)
"""A gap to test a pad at: well inside every set of blades (design value)."""


class PadVerdict(Enum):
    """What the test says."""

    CLEAR = "no hollow to speak of"
    DOUBT = "dished pad or thread slack"
    MORE = "more clearance than the thread can make"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class PadFinding:
    """The clearance that the thread made, and how much of it the blades do not see.

    ``excess_low`` is None where no blade has refused.
    """

    expected_low: Length
    expected_high: Length
    excess_low: Length | None
    verdict: PadVerdict

    @property
    def blades_lie(self) -> str:
        """Why nothing is said by blades over a pad where some of the clearance was missed."""
        return (
            f"pad dished, blades lie: they miss at least {_um(self.excess_low)} mm of it; set it by "
            f"the thread, or measure it with a dial at the valve"
        )

    @property
    def expected(self) -> Length:
        """The middle of what the thread made."""
        return midpoint(self.expected_low, self.expected_high)

    @property
    def made(self) -> str:
        """The gap that the thread made: ``0.089 to 0.111``; millimetres."""
        return f"{_um(self.expected_low)} to {_um(self.expected_high, up=True)}"

    def __str__(self) -> str:
        made = f"The thread made {self.made} mm"
        match self.verdict:
            case PadVerdict.CLEAR:
                return f"{made} and the blades find it: {self.verdict.value}."
            case PadVerdict.DOUBT:
                return (
                    f"{made}; the blades miss at least {_um(self.excess_low)} mm of it: "
                    f"{self.verdict.value}. Over a dished pad, blades set a valve too wide."
                )
            case PadVerdict.MORE:
                return (
                    f"{made}; the blades find more: zero was not reached, or the pitch or lever "
                    f"ratio on the sheet is wrong. Wind to zero and try again."
                )
            case PadVerdict.UNDECIDED:
                return f"{made}; one more blade inside the bracket would tell."


def pad_check(
    adjuster: Adjuster, backed_off: Fraction, bracket: Bracket, hand: Fraction = HAND
) -> PadFinding:
    """Compare what the blades say with what the thread made.

    Args:
        adjuster: the sheet's; its pitch and lever ratio.
        backed_off: degrees backed off from zero clearance; zero is felt lightly, with the valve
            still on its seat, and backing off goes one way without stopping to turn back.
        bracket: gauged there; its plain ends are used.
        hand: degrees that the angle may be off.

    Raises:
        Refusal: the adjuster is not a thread or its pitch is not known, the angle is not bigger
            than the hand's error or more than one turn, or the bracket contradicts itself.
    """
    if bracket.clash:
        raise Refusal(Why.CONTRADICTORY)
    if not hand < backed_off <= FULL_TURN:
        raise Refusal(Why.BACK_OFF, degrees=back_off_for(adjuster, PAD_GAP), gap=PAD_GAP)
    a_degree = gap_per_turn(adjuster) / FULL_TURN
    low = Length(floor(a_degree * (backed_off - hand)))
    high = Length(ceil(a_degree * (backed_off + hand)))
    excess_low = None if bracket.high is None else low - bracket.high
    return PadFinding(low, high, excess_low, _verdict(excess_low, high - bracket.low))


def _verdict(low: Length | None, high: Length) -> PadVerdict:
    if low is not None and low > MOST_EXCESS:
        return PadVerdict.DOUBT
    if high < -MOST_EXCESS:
        return PadVerdict.MORE
    return PadVerdict.CLEAR if high <= MOST_EXCESS else PadVerdict.UNDECIDED


def back_off_for(adjuster: Adjuster, gap: Length) -> Fraction:
    """Degrees that make about this gap, to a whole minute on a clock's face.

    Raises:
        Refusal: the adjuster is not a thread, or its pitch is not on the sheet.
    """
    degrees = gap.nm / gap_per_turn(adjuster) * FULL_TURN
    return round(degrees / CLOCK_MINUTE) * CLOCK_MINUTE


def _um(length: Length | None, *, up: bool = False) -> str:
    """Three decimals, rounded outwards: no more is claimed than the figures bear."""
    if length is None:
        return "?"
    um = -(-length.nm // 1000) if up else length.nm // 1000
    return f"{Length.um(um).in_mm:.3f}"
