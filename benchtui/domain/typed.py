"""Figures that know the unit they were typed in, so that they come out in it again.

Everything is reckoned in kilometres and degrees Celsius. A figure that was typed in miles or
Fahrenheit is the same number, and says so; what is reckoned from it forgets, unless ``like`` tells.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Self

_SCALES = {
    "mi": (Fraction(1_609_344, 1_000_000), Fraction(0)),
    "F": (Fraction(5, 9), Fraction(-160, 9)),
}
"""How many of our own units one of these is, and where its zero lies: exact by definition, the mile of
1959 and the Fahrenheit of ISO 80000-5."""


class Typed(Fraction):
    """A figure in our own unit that was typed in ``unit``, ``mi`` or ``F``."""

    __slots__ = ("unit",)
    unit: str

    def __new__(cls, value: Fraction, unit: str) -> Self:
        """The same number, with its unit.

        Raises:
            ValueError: the unit is none of those.
        """
        if unit not in _SCALES:
            raise ValueError(f"found the unit {unit!r}, wanted one of {', '.join(_SCALES)}")
        made = super().__new__(cls, value.numerator, value.denominator)
        made.unit = unit
        return made

    def __reduce__(self) -> tuple[type[Typed], tuple[Fraction, str]]:
        return Typed, (Fraction(self), self.unit)

    def __copy__(self) -> Typed:
        return self

    def __deepcopy__(self, memo: object) -> Typed:
        return self


def like(value: Fraction, other: Fraction | None) -> Fraction:
    """``value`` as though it had been typed in the unit of ``other``."""
    return Typed(value, other.unit) if isinstance(other, Typed) else value


def as_typed(value: Fraction, our: str) -> tuple[Fraction, str]:
    """The figure and the unit it was typed in; ``our`` own where it was typed in that."""
    if not isinstance(value, Typed):
        return value, our
    scale, zero = _SCALES[value.unit]
    return (value - zero) / scale, value.unit


def temperature_words(celsius: Fraction) -> str:
    """``19 C``, ``66 F``: with one decimal where it needs one."""
    value, unit = as_typed(celsius, "C")
    return f"{float(round(value, 1)):g} {unit}"
