"""What a set of blades lacks where it cannot decide, and which size would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from benchtui.domain.blades import MARKED_ERROR, MEASURED_ERROR
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length, midpoint
from benchtui.domain.sheet import Band

HALF_THOU = Length.inch("0.0005")

BOTH_LIMITS = "both limits"
"""The side of a lack of two sizes that, tried both, settle it whichever way they answer."""


@dataclass(frozen=True, slots=True)
class CannotDecide:
    """No leaf or stack of this set settles it.

    ``side`` names what stays open. A blade ``between`` these two would help; ``best``, where there
    is one, would settle that limit whichever way it answers. ``inch_size`` is a size in whole or
    half thou that lies between, the nearest to the best. ``wanted`` are the sizes to get, one a limit.
    """

    side: str
    between: tuple[Length, Length]
    sentence: str
    best: Length | None = None
    inch_size: Length | None = None
    wanted: tuple[Length, ...] = ()


def blades_to_get(past: Iterable[CannotDecide]) -> tuple[tuple[Length, int], ...]:
    """The sizes that valves left open would have needed, with how often, the most wanted first."""
    count = Counter(size for lack in past for size in lack.wanted)
    return tuple(sorted(count.items(), key=lambda item: (-item[1], item[0])))


def lacking(bracket: Bracket, setting: Band, *, proof: bool) -> CannotDecide:
    """What would settle this bracket, which is not settled.

    ``proof`` tells that it lies in the range and only lacks the proof.
    """
    if bracket.high is not None and bracket.clash:
        clash = (bracket.high, bracket.low)
        return CannotDecide(
            "both",
            clash,
            f"The blades disagree between {_span(clash)}: clean them and the gap, try both again.",
        )
    if proof:
        return _proof(bracket, setting)
    low, high = bracket.low, bracket.high
    lower_open = low < setting.low
    upper_open = low < setting.high and (high is None or high > setting.high)
    if lower_open and upper_open:
        between = (low, setting.high if high is None else high)
        sizes = f"{setting.low.bare} and {setting.high}"
        return CannotDecide(
            BOTH_LIMITS,
            between,
            f"This set cannot decide, stacks included: blades of {sizes} would.",
            wanted=(setting.low, setting.high),
        )
    if lower_open:
        between = (low, setting.high if high is None else high)
        return _one_limit("lower limit", between, setting.low)
    return _one_limit("upper limit", (low, setting.high if high is None else high), setting.high)


def _one_limit(side: str, between: tuple[Length, Length], best: Length) -> CannotDecide:
    inch = _inch_between(between, best)
    also = "" if inch is None else f" ({inches(inch)} lies there too)"
    sentence = (
        f"This set cannot decide the {side}, stacks included: a borrowed blade between "
        f"{_span(between)} may{also}, one of {best} would."
    )
    return CannotDecide(side, between, sentence, best, inch, (best,))


def _proof(bracket: Bracket, setting: Band) -> CannotDecide:
    """In the range, but some blade's error reaches over a limit."""
    assert bracket.high is not None
    low_lacks = bracket.wide_low < setting.low
    high_lacks = bracket.wide_high is None or bracket.wide_high > setting.high
    side = (
        "both limits" if low_lacks and high_lacks else "lower limit" if low_lacks else "upper limit"
    )
    for error, measured in ((MARKED_ERROR, ""), (MEASURED_ERROR, "measured ")):
        least = max(bracket.low, setting.low + error) if low_lacks else bracket.low
        most = min(bracket.high, setting.high - error) if high_lacks else bracket.high
        if least < most:
            what = f"two {measured}blades" if low_lacks and high_lacks else f"a {measured}blade"
            between = (least, most)
            sentence = (
                f"In range, but this set cannot prove the {side}: "
                f"{what} between {_span(between)} may."
            )
            inch = _inch_between(between, midpoint(least, most))
            # The size nearest the limit proves the most clearances.
            wanted = ((least,) if low_lacks else ()) + ((most,) if high_lacks else ())
            return CannotDecide(f"proof of the {side}", between, sentence, None, inch, wanted)
    sentence = (
        f"In range, but this close to the {side} no blade of ours can prove it: "
        "set it nearer the middle if you want it proved."
    )
    return CannotDecide(f"proof of the {side}", (bracket.low, bracket.high), sentence)


def _inch_between(between: tuple[Length, Length], best: Length) -> Length | None:
    """The whole or half thou strictly between that is nearest the best; the thinner of two."""
    low, high = between
    first = low.nm // HALF_THOU.nm + 1
    last = -(-high.nm // HALF_THOU.nm) - 1
    sizes = [HALF_THOU * k for k in range(first, last + 1)]
    return min(sizes, key=lambda size: (abs(size - best), size), default=None)


def inches(size: Length) -> str:
    """A size in whole or half thou as an inch set stamps it: ``0.009 in``, ``0.0085 in``."""
    halves = size.nm // HALF_THOU.nm
    return f"{Decimal(halves * 5) / 10_000:.{3 + halves % 2}f} in"


def _span(between: tuple[Length, Length]) -> str:
    return f"{between[0].bare} and {between[1]}"
