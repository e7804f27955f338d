"""From a figure to a cell: the one scale of every picture that is drawn to scale."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchtui.domain.length import ZERO, Length

LEAST_ROOM = 10_000
"""Nanometres left either side of lengths, so that an end is never taken for the picture's edge."""


class Scale:
    """``cells`` cells from ``low`` on, ``span`` wide; ``first`` is the number of the first cell."""

    def __init__(
        self, low: Fraction | int, span: Fraction | int, cells: int, first: int = 0
    ) -> None:
        self.low, self.span = low, max(span, 1)
        self.first, self.last = first, max(1, cells - 1)

    def part(self, at: Fraction | int) -> float:
        """How far along it lies: 0 at the first cell, 1 at the last."""
        return float(Fraction(at - self.low) / self.span)

    def place(self, at: Fraction | int) -> int:
        """The nearest cell, cut off at the edges."""
        whole = (2 * (at - self.low) * self.last + self.span) // (2 * self.span)
        return self.first + max(0, min(self.last, int(whole)))

    def cell(self, length: Length) -> int:
        """The nearest cell of a length, cut off at the edges."""
        return self.place(length.nm)


def of_lengths(at: Iterable[Length], cells: int, *, air: int, first: int = 0) -> Scale:
    """A scale that holds all these lengths, and the ``air``-th part of their spread either side."""
    found = sorted(at) or [ZERO]
    low, high = found[0].nm, found[-1].nm
    room = max(LEAST_ROOM, (high - low) // air)
    start = max(0, low - room)
    return Scale(start, high + room - start, cells, first)
