"""Whether the screw moves the gap as the sheet says: the bench checks the sheet.

Every turn with a closed bracket before and after it tells, as an interval, how far the gap moves in
a full turn. What is found is said; nothing is corrected for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.adjusting.turns import FULL_TURN, HAND, gap_per_turn
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import NM_PER_INCH, ZERO, Length
from benchtui.domain.sheet import Adjuster

USUAL_RATIO = (Fraction(11, 10), Fraction(9, 5))
"""Lever ratios that rockers have (common practice)."""


@dataclass(frozen=True, slots=True)
class Span:
    """From ``low`` to ``high``; None is without bound."""

    low: Fraction | None
    high: Fraction | None

    def holds(self, value: Fraction) -> bool:
        """Whether ``value`` lies in it, ends included."""
        return self.meets(value, value)

    def meets(self, low: Fraction, high: Fraction) -> bool:
        """Whether it has anything in common with ``low`` to ``high``."""
        return (self.low is None or self.low <= high) and (self.high is None or low <= self.high)


@dataclass(frozen=True, slots=True)
class Turned:
    """A turn that was made, gauged before it and after it.

    Where the locknut was worked in between, ``nut`` is how much it may have moved the gap by itself,
    either way. ``times`` is how many turns of a hand the ``degrees`` are made of.
    """

    closes: bool
    degrees: Fraction
    before: Bracket
    after: Bracket
    nut: Length = ZERO
    times: int = 1


def per_turn(turned: Turned, hand: Fraction = HAND) -> Span | None:
    """Nanometres that the gap moves in a full turn, plus where it moved the way it was meant to.

    None where the turn is no bigger than a hand's error, or where a bracket contradicts itself. A
    bracket from zero is open below: the valve may be held off its seat.
    """
    hand *= turned.times
    if turned.degrees <= hand or turned.before.clash or turned.after.clash:
        return None
    start, end = turned.before, turned.after
    if not turned.closes:
        start, end = end, start
    shortest, longest = ((turned.degrees + e) / FULL_TURN for e in (-hand, hand))
    low = _less(_bottom(start), end.high, -turned.nut)
    high = _less(start.high, _bottom(end), turned.nut)
    return Span(
        None if low is None else low / (shortest if low < 0 else longest),
        None if high is None else high / (longest if high < 0 else shortest),
    )


def _bottom(bracket: Bracket) -> Length | None:
    return bracket.low if bracket.low > ZERO else None


def _less(a: Length | None, b: Length | None, give: Length) -> int | None:
    return None if a is None or b is None else (a - b + give).nm


def common(spans: Iterable[Span]) -> Span | None:
    """What all of them have in common, or None where they exclude one another."""
    low: Fraction | None = None
    high: Fraction | None = None
    for span in spans:
        if span.low is not None:
            low = span.low if low is None else max(low, span.low)
        if span.high is not None:
            high = span.high if high is None else min(high, span.high)
    return None if low is not None and high is not None and low > high else Span(low, high)


class Look(Enum):
    """What a misfit looks like; the value is how it is said, as a possibility."""

    WRONG_WAY = "turned the wrong way, or the sheet has the wrong way to close"
    RATIO_FORGOTTEN = "a lever ratio is missing: the screw may sit at the pushrod end"
    RATIO_NOT_WANTED = "the lever ratio should not count: the screw may sit at the valve end"
    RATIO_UPSIDE_DOWN = "the lever ratio is upside down"
    TPI = "threads per inch and millimetres of pitch were mixed up"
    SLACK = "slack in the thread or backlash: finish every turn from the same side"
    STUCK = "nothing moved: the locknut was not slack, or the tool turned the nut"
    UNEVEN = "the turns do not agree with one another: slack, or something moved in between"


@dataclass(frozen=True, slots=True)
class ScrewFinding:
    """What the turns say about the sheet's pitch times ratio.

    ``expected`` and ``seen`` are nanometres a turn; ``seen`` is None where the turns exclude one
    another. ``fits`` tells whether the sheet may be right. ``looks`` are possibilities, the more
    telling first; a misfit without any has no usual explanation. ``turns`` and ``sessions`` are what
    it was pooled from, 0 where it is of the turns of one session, each by itself.
    """

    expected: Fraction
    seen: Span | None
    fits: bool
    looks: tuple[Look, ...]
    turns: int = 0
    sessions: int = 0

    def __str__(self) -> str:
        expected = f"{_mm(self.expected)} mm a turn"
        if self.fits:
            return f"The turns fit the sheet: {expected}."
        maybe = "; or ".join(look.value for look in self.looks) or "the thread is not the sheet's"
        if self.seen is None:
            return (
                f"The turns do not fit the sheet, which says {expected}. Possibly {maybe}. "
                f"Nothing is corrected for it."
            )
        return (
            f"The turns do not fit the sheet, which says {expected}; {self._who} saw "
            f"{_told(self.seen)}. Possibly {maybe}. Nothing is corrected for it."
        )

    @property
    def _who(self) -> str:
        if not self.turns:
            return "the blades"
        over = "this session" if self.sessions == 1 else f"{self.sessions} sessions"
        return f"{self.turns} turns in {over}"


def check_screw(
    turns: Sequence[Turned], adjuster: Adjuster, hand: Fraction = HAND
) -> ScrewFinding | None:
    """Hold the turns made on one engine against its sheet; None while nothing can be told.

    Raises:
        Refusal: the adjuster is not a thread, or its pitch is not on the sheet.
    """
    expected = gap_per_turn(adjuster)
    spans = [s for t in turns if (s := per_turn(t, hand)) is not None]
    spans = [s for s in spans if s != Span(None, None)]
    if not spans:
        return None
    seen = common(spans)
    if seen is None:
        return ScrewFinding(expected, None, fits=False, looks=(Look.UNEVEN,))
    if seen.holds(expected):
        return ScrewFinding(expected, seen, fits=True, looks=())
    return ScrewFinding(expected, seen, fits=False, looks=looks_of(seen, expected, adjuster))


def looks_of(seen: Span, expected: Fraction, adjuster: Adjuster) -> tuple[Look, ...]:
    """What a misfit looks like, the more telling first."""
    return tuple(_looks(seen, expected, adjuster))


def _looks(seen: Span, expected: Fraction, adjuster: Adjuster) -> Iterable[Look]:
    pitch, lever = expected / adjuster.lever, adjuster.lever
    if seen.high is not None and seen.high < 0:
        yield Look.WRONG_WAY
        return
    if lever == 1 and seen.meets(pitch * USUAL_RATIO[0], pitch * USUAL_RATIO[1]):
        yield Look.RATIO_FORGOTTEN
    if lever != 1 and seen.holds(pitch):
        yield Look.RATIO_NOT_WANTED
    if lever != 1 and seen.holds(pitch / lever):
        yield Look.RATIO_UPSIDE_DOWN
    # n threads to the inch typed as n mm, and n mm typed as n to the inch, turn into one another.
    if seen.holds(Fraction(NM_PER_INCH) * 1_000_000 / pitch * lever):
        yield Look.TPI
    if seen.high is not None and seen.high < expected:
        yield Look.STUCK if seen.holds(Fraction(0)) else Look.SLACK


def _mm(nm: Fraction) -> str:
    return f"{float(nm / 1_000_000):.2f}"


def _told(span: Span) -> str:
    if span.low is None:
        return "any number of mm" if span.high is None else f"{_mm(span.high)} mm or less"
    return (
        f"{_mm(span.low)} mm or more"
        if span.high is None
        else (f"{_mm(span.low)} to {_mm(span.high)} mm")
    )
