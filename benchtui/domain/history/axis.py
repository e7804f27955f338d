"""Where places are drawn along an axis: in proportion, but no single way takes the whole of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median_low

LONG = 4
"""A way from one check to the next is drawn at most so many times as long as the middle one (design
value): a mistyped counter, or years in a barn, else squeeze all the rest."""


@dataclass(frozen=True, slots=True)
class Axis:
    """``places`` as they were and as they are drawn, both rising; ``breaks`` as drawn."""

    places: tuple[Fraction, ...]
    drawn: tuple[Fraction, ...]
    breaks: tuple[Fraction, ...]

    @classmethod
    def of(cls, places: Iterable[Fraction]) -> Axis:
        """An axis for these places, in any order."""
        ordered = sorted(set(places))
        ways = [b - a for a, b in pairwise(ordered)]
        if not ways:
            return cls(tuple(ordered), tuple(ordered), ())
        most = LONG * median_low(ways)
        drawn, breaks = [ordered[0]], []
        for way in ways:
            kept = min(way, most)
            if kept < way:
                breaks.append(drawn[-1] + kept / 2)
            drawn.append(drawn[-1] + kept)
        return cls(tuple(ordered), tuple(drawn), tuple(breaks))

    def at(self, place: Fraction) -> Fraction:
        """Where a place is drawn: between its neighbours in proportion, beyond the last as it is."""
        for (a, b), (p, q) in zip(pairwise(self.places), pairwise(self.drawn), strict=True):
            if a <= place <= b:
                return p + (place - a) * (q - p) / (b - a)
        if not self.places:
            return place
        end = -1 if place > self.places[-1] else 0
        return self.drawn[end] + place - self.places[end]
