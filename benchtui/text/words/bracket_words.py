"""A bracket in words, the same wherever one is told: what goes, and what refuses."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.text.quantities.show import figure, seen


def bracket_words(bracket: Bracket) -> str:
    """``0.06 goes, 0.10 refuses``, ``0.06 goes, nothing has refused``, and so on, without the unit.

    A measured one is ``0.11 measured, give or take 0.01``.
    """
    return bracket.told(figure)


def felt_words(felt: Bracket) -> str:
    """Where drag puts a gap, which no blade has shown: ``between 0.086 and 0.10``; millimetres."""
    if felt.high is None:
        return f"at least {felt.low.bare}"
    return (
        f"between {felt.low.bare} and {felt.high.bare}" if felt.low else f"at most {felt.high.bare}"
    )


def bracket_cell(bracket: Bracket, joint: str = "-", told: Callable[[Length], str] = seen) -> str:
    """The same in a column's width: ``0.06-0.10``, ``0.06 goes``, ``0.08 refuses``, ``0.11+-0.01``.

    For the eye: three decimals of a millimetre at most, or as ``told`` has it. ``joint`` stands
    between the two; a picture has room for `` to ``.
    """
    if bracket.measured is not None:
        return f"{told(bracket.measured.value)}+-{told(bracket.measured.error)}"
    low = told(bracket.low) if bracket.low else ""
    if bracket.high is None:
        return f"{low} goes" if low else "not measured"
    return f"{low}{joint}{told(bracket.high)}" if low else f"{told(bracket.high)} refuses"
