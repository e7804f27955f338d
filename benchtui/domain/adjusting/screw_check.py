"""What is said where the screws do not move the gap as the sheet says; nothing is corrected for it.

How it is found out is in ``screw_fit``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.length import NM_PER_INCH
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


class Misfit(Enum):
    """What a misfit looks like; the value is how it is said, as a possibility."""

    WRONG_WAY = "turned the wrong way, or the sheet has the wrong way to close"
    RATIO_FORGOTTEN = "a lever ratio is missing: the screw may sit at the pushrod end"
    RATIO_NOT_WANTED = "the lever ratio should not count: the screw may sit at the valve end"
    RATIO_UPSIDE_DOWN = "the lever ratio is upside down"
    TPI = "threads per inch and millimetres of pitch were mixed up"
    SLACK = "slack in the thread or backlash: finish every turn from the same side"
    STUCK = "nothing moved: the locknut was not slack, or the tool turned the nut"


@dataclass(frozen=True, slots=True)
class ScrewFinding:
    """What the turns say about the sheet's pitch times ratio.

    It is a misfit: ``expected`` is what the sheet says and ``seen`` what the turns allow, nanometres
    a turn. ``looks`` are possibilities, the more telling first; without any there is no usual
    explanation. ``turns`` and ``sessions`` are what it was pooled from, 0 where one turn tells it by
    itself.
    """

    expected: Fraction
    seen: Span
    looks: tuple[Misfit, ...]
    turns: int = 0
    sessions: int = 0

    def __str__(self) -> str:
        expected = f"{_mm(self.expected)} mm a turn"
        maybe = "; or ".join(look.value for look in self.looks) or "the thread is not the sheet's"
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


def looks_of(seen: Span, expected: Fraction, adjuster: Adjuster) -> tuple[Misfit, ...]:
    """What a misfit looks like, the more telling first."""
    return tuple(_looks(seen, expected, adjuster))


def _looks(seen: Span, expected: Fraction, adjuster: Adjuster) -> Iterable[Misfit]:
    pitch, lever = expected / adjuster.lever, adjuster.lever
    if seen.high is not None and seen.high < 0:
        yield Misfit.WRONG_WAY
        return
    if lever == 1 and seen.meets(pitch * USUAL_RATIO[0], pitch * USUAL_RATIO[1]):
        yield Misfit.RATIO_FORGOTTEN
    if lever != 1 and seen.holds(pitch):
        yield Misfit.RATIO_NOT_WANTED
    if lever != 1 and seen.holds(pitch / lever):
        yield Misfit.RATIO_UPSIDE_DOWN
    # n threads to the inch typed as n mm, and n mm typed as n to the inch, turn into one another.
    if seen.holds(Fraction(NM_PER_INCH) * 1_000_000 / pitch * lever):
        yield Misfit.TPI
    if seen.high is not None and seen.high < expected:
        yield Misfit.STUCK if seen.holds(Fraction(0)) else Misfit.SLACK


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
