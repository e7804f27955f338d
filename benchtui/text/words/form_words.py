"""What every part of a blank form is written with: blanks, comments, stamps."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from benchtui.domain.length import Length
from benchtui.text.quantities import show
from benchtui.text.quantities.show import bare, inert
from benchtui.text.quantities.wrapping import wrap

WIDTH = 78


class Room(Enum):
    """How many lines there are for setting valves: each its own, or unnamed ones at every stop.

    Unnamed ones are for half of a stop's valves, or for one.
    """

    ALL = "all"
    HALF = "half"
    LEAST = "least"


NAME, BLADE, ANSWER = "." * 8, "." * 8, "." * 8
"""Dots for a valve's name, for the stamp of a blade or shim, and for what the blade answered: 20 mm each,
at ten to an inch, is room for a pen."""

THOU_NM = 25_400
UM10 = 10_000
"""In nanometres: metric leaves are stamped in hundredths of a millimetre."""


def stamp(marked: Length) -> str:
    """A leaf as its owner reads it off: millimetres bare, or thou where those are the round ones."""
    thou = Fraction(marked.nm, THOU_NM)
    if marked.nm % UM10 and (thou * 10).denominator == 1:
        return f"{show.number(thou)} thou"
    return bare(marked)


def said(text: str, hang: str = "") -> list[str]:
    """Comment lines; a text from a file can start no line of its own."""
    return wrap(inert(text), WIDTH, initial_indent="# ", subsequent_indent=f"# {hang}")
