"""Lengths as whole nanometres.

This program decides at limits, which is just where floating point compares wrongly: a blade of
0.0039 in against a limit of 0.09906 mm must come out equal. One thou is 25 400 nm exactly, so every
blade and limit that people print is a whole number of nanometres in either system.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

NM_PER_MM = 1_000_000
NM_PER_INCH = 25_400_000


@dataclass(frozen=True, slots=True)
class Length:
    """A signed length of ``nm`` whole nanometres.

    Compared by hand: a dataclass makes two tuples each time, and brackets compare little else.
    """

    nm: int

    def __post_init__(self) -> None:
        # bool is an int; a Length(True) is always a slip.
        if type(self.nm) is not int:
            raise TypeError(f"a length is a whole number of nanometres, not {self.nm!r}")

    @classmethod
    def mm(cls, value: str | int | Decimal | Fraction) -> Length:
        """The length of ``value`` millimetres, to the nearest nanometre (half to even).

        Floats are not taken: write ``Length.mm("0.08")``.
        """
        return cls(round(Fraction(value) * NM_PER_MM))

    @classmethod
    def inch(cls, value: str | int | Decimal | Fraction) -> Length:
        """The length of ``value`` inches, to the nearest nanometre (half to even)."""
        return cls(round(Fraction(value) * NM_PER_INCH))

    @classmethod
    def thou(cls, value: str | int | Decimal | Fraction) -> Length:
        """The length of ``value`` thousandths of an inch."""
        return cls.inch(Fraction(value) / 1000)

    @classmethod
    def um(cls, value: int) -> Length:
        """The length of ``value`` micrometres."""
        return cls(value * 1000)

    def __lt__(self, other: Length) -> bool:
        return self.nm < other.nm if other.__class__ is Length else NotImplemented

    def __le__(self, other: Length) -> bool:
        return self.nm <= other.nm if other.__class__ is Length else NotImplemented

    def __gt__(self, other: Length) -> bool:
        return self.nm > other.nm if other.__class__ is Length else NotImplemented

    def __ge__(self, other: Length) -> bool:
        return self.nm >= other.nm if other.__class__ is Length else NotImplemented

    def __hash__(self) -> int:
        return hash(self.nm)

    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __neg__(self) -> Length:
        return Length(-self.nm)

    def __abs__(self) -> Length:
        return Length(abs(self.nm))

    def __mul__(self, times: int) -> Length:
        return Length(self.nm * times)

    def __bool__(self) -> bool:
        return self.nm != 0

    def scaled(self, factor: Fraction) -> Length:
        """This length times ``factor``, to the nearest nanometre (half to even)."""
        return Length(round(self.nm * factor))

    @property
    def in_mm(self) -> float:
        """Millimetres, for output only; never compare with it."""
        return self.nm / NM_PER_MM

    def __str__(self) -> str:
        """Exact millimetres, at least two decimals: ``0.08 mm``, ``0.0254 mm``."""
        sign = "-" if self.nm < 0 else ""
        whole, part = divmod(abs(self.nm), NM_PER_MM)
        decimals = f"{part:06d}".rstrip("0").ljust(2, "0")
        return f"{sign}{whole}.{decimals} mm"

    @property
    def bare(self) -> str:
        """The same without its unit, for a sentence that gives the unit at its end."""
        return str(self).removesuffix(" mm")


ZERO = Length(0)


def lesser(a: Length | None, b: Length) -> Length:
    """The lesser of the two, where None is without bound."""
    return b if a is None else min(a, b)


def midpoint(low: Length, high: Length) -> Length:
    """Half way between, to the nearest nanometre (half to even)."""
    return Length(round(Fraction(low.nm + high.nm, 2)))
