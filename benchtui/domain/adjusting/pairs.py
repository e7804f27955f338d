"""Valves with two gaps, an opener's and a closer's, and bridges that serve two valves at once."""

from __future__ import annotations

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length

BRIDGED = (
    "One adjuster works two valves through a bridge: set the bridge level on both stems first, as "
    "the manual says, then gauge between rocker and bridge. Should one stem touch before the "
    "other, no clearance set here is right for both."
)


def together(opener: Bracket, closer: Bracket) -> Bracket:
    """The valve's whole free play: both gaps added, low to low and high to high."""
    return Bracket(
        opener.low + closer.low,
        _sum(opener.high, closer.high),
        opener.wide_low + closer.wide_low,
        _sum(opener.wide_high, closer.wide_high),
    )


def other_gap(whole: Bracket, gap: Bracket) -> Bracket:
    """The gap that was not gauged: the whole free play less the one that was.

    Intervals subtract crosswise: the least is the whole's bottom less the gap's top. Where the two
    contradict each other, so does what comes out: its high is below nothing, and its low is not.
    """
    return Bracket(
        _from_nothing(_rest(whole.low, gap.high)),
        _rest(whole.high, gap.low),
        _from_nothing(_rest(whole.wide_low, gap.wide_high)),
        _rest(whole.wide_high, gap.wide_low),
    )


def agree(whole: Bracket, opener: Bracket, closer: Bracket) -> bool:
    """Whether a whole free play gauged by itself may be the sum of the two gaps, blade errors in.

    Where it may not, a blade bridged something or one of the gaps was gauged off the base circle.
    """
    added = together(opener, closer)
    over = added.wide_high is not None and whole.wide_low > added.wide_high
    under = whole.wide_high is not None and whole.wide_high < added.wide_low
    return not (over or under)


def _from_nothing(low: Length | None) -> Length:
    return ZERO if low is None else max(ZERO, low)


def _sum(a: Length | None, b: Length | None) -> Length | None:
    return None if a is None or b is None else a + b


def _rest(whole: Length | None, part: Length | None) -> Length | None:
    return None if whole is None or part is None else whole - part
