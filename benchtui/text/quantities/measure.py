"""Quantities as people write them, read strictly and exactly.

Only this module knows pint, and only from the first unit on that is not at hand (it costs a quarter
of a second to import). Left to itself pint reads ``0,15 mm`` as 0 mm, lets NaN and infinity pass and
takes a bare number as dimensionless, so the number is read here, to a grammar of our own, and pint is
asked for nothing but the exact factor between two units.

Long, because every unit and every way of writing it is read in one place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length
from benchtui.domain.typed import Typed
from benchtui.text.quantities.units import AT_HAND, DEFINITIONS

if TYPE_CHECKING:
    from pint import UnitRegistry

MOST_DIGITS = 15
"""A figure with more digits than this was not read off anything on a bench."""


class FaultyQuantity(BenchError):
    """A quantity that cannot be taken: what was ``found`` and what is ``wanted``, as plain text."""

    def __init__(self, found: str, wanted: str) -> None:
        super().__init__(f"found {found}; wanted {wanted}")
        self.found = found
        self.wanted = wanted


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of quantity: the unit it is kept in, its limits in that unit, and how to ask."""

    unit: str
    low: Fraction
    high: Fraction
    wanted: str
    signed: bool = False
    kept: str = ""
    """Another unit that a figure typed in it is shown in again."""
    large: bool = False
    """Whether a point before three digits may part thousands as well: nobody reads thousandths."""


_LENGTH = _Kind(
    "mm", Fraction(0), Fraction(1000), "a length with its unit, as in 0.08 mm or 3 thou"
)
_ANGLE = _Kind("deg", Fraction(0), Fraction(7200), "an angle in degrees, as in 22 or 22.5 deg")
_TEMPERATURE = _Kind(
    "degC",
    Fraction(-60),
    Fraction(400),
    "a temperature with its unit, as in 19 C or 66 F",
    signed=True,
    kept="F",
)
_HOURS = _Kind(
    "h", Fraction(0), Fraction(1_000_000), "hours with their unit, as in 4 h", large=True
)
_DISTANCE = _Kind(
    "km",
    Fraction(0),
    Fraction(10_000_000),
    "a distance with its unit, as in 5000 km or 3100 mi",
    kept="mi",
    large=True,
)
_TORQUE = _Kind(
    "N*m",
    Fraction(0),
    Fraction(5000),
    "a torque with its unit, as in 14 N m, 10 lbf*ft or 12 to 15 lbf*in",
)


def length(text: str, *, bare_mm: bool = False, zero: bool = False) -> Length:
    """The length in ``text``, to the nearest nanometre; a bare number only if ``bare_mm``.

    Inches may be fractions (``1/4 in``). Zero is taken only if ``zero``.

    Raises:
        FaultyQuantity: anything but a length above zero and up to a metre.
    """
    value = Length.mm(_read(text, _LENGTH, bare="mm" if bare_mm else None))
    if value.nm == 0 and not zero:
        raise FaultyQuantity(f"{quoted(text)}, which is no length at all", "a length above zero")
    return value


def angle(text: str) -> Fraction:
    """Degrees, zero or more; ``turn`` and ``flat`` (60 degrees) are known too, bare is degrees.

    Raises:
        FaultyQuantity: anything else, or more than twenty turns.
    """
    return _read(text, _ANGLE, bare="deg")


def temperature(text: str, *, bare: bool = False) -> Fraction:
    """Degrees Celsius, exactly: 66 F is 170/9. A sign is allowed; a unit is needed unless ``bare``.

    Raises:
        FaultyQuantity: anything else, or outside -60 to 400 degrees Celsius.
    """
    alone = bare and text.strip().lstrip("+-").replace(".", "", 1).isdecimal()
    return _read(f"{text} C" if alone else text, _TEMPERATURE)


def hours(text: str, *, bare: bool = False) -> Fraction:
    """Hours; ``min`` and ``days`` are known as well, a bare number only if ``bare``.

    Raises:
        FaultyQuantity: anything else, a sign, or more than a million hours.
    """
    return _read(text, _HOURS, bare="h" if bare else None)


def yes(text: str) -> bool:
    """``yes`` or ``no``, as people write them.

    Raises:
        FaultyQuantity: it is neither.
    """
    said = {"yes": True, "y": True, "no": False, "n": False}.get(text.strip().lower())
    if said is None:
        raise FaultyQuantity(quoted(text), "yes or no")
    return said


def distance_km(text: str, *, bare: bool = False) -> Fraction:
    """Kilometres; miles are known as well, a bare number only if ``bare``.

    Raises:
        FaultyQuantity: anything else, a sign, or more than ten million kilometres.
    """
    return _read(text, _DISTANCE, bare="km" if bare else None)


_TO = re.compile(r"\s+to\s+|\s*[\u2013\u2014]\s*|(?<=[0-9])\s*-\s*(?=[0-9.,])")


def torque_nm(text: str) -> tuple[Fraction, Fraction]:
    """Least and most newton metres: the same figure twice, unless ``text`` is a range.

    ``lb`` is taken as pounds force, as workshops print it.

    Raises:
        FaultyQuantity: anything else, zero, a range upside down, or more than 5000 N m.
    """
    first, *rest = _TO.split(text.strip(), maxsplit=1)
    high = _read(rest[0] if rest else first, _TORQUE)
    low = high
    if rest:
        # "12 to 15 lbf*in": the unit stands once, at the end.
        bare = _split(rest[0], _TORQUE).unit
        low = _read(first, _TORQUE, bare=bare)
    if low > high:
        raise FaultyQuantity(f"{quoted(text)}, upside down", "the smaller torque first")
    if low <= 0:
        raise FaultyQuantity(f"{quoted(text)}, which is no torque at all", "a torque above zero")
    return low, high


def converted(value: Fraction, unit: str, to: str) -> Fraction:
    """``value`` of one unit in another, exactly; both in this program's own spelling.

    Raises:
        FaultyQuantity: a unit that is not known, or two that do not measure the same thing.
    """
    scale, offset = _affine(unit, to)
    return value * scale + offset


def quoted(text: str, most: int = 40) -> str:
    """``text`` in double quotes, cut short where it is long."""
    return f'"{text}"' if len(text) <= most else f'"{text[:most]}..."'


@dataclass(frozen=True, slots=True)
class _Split:
    sign: str
    number: str
    unit: str


_SHAPE = re.compile(
    r"""(?P<sign>[+\u2212-]?)\s*
        (?P<number>
            (?:[0-9]+\s+)?[0-9]+/[0-9]+            # 1/4, 1 1/4
          | [0-9]{1,3}(?:[ \u00a0\u202f][0-9]{3})+(?:[.,][0-9]+)?(?![0-9])   # 12 400
          | [0-9.,'_]*[0-9][.,'_]?                 # everything else; looked at more closely below
        )
        \s*(?P<unit>.*)""",
    re.VERBOSE | re.DOTALL,
)
_PLAIN = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]")
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)\b", re.IGNORECASE)


def _split(text: str, kind: _Kind) -> _Split:
    found = _SHAPE.fullmatch(text.strip())
    if found is None:
        what = "not a finite number" if _NOT_FINITE.match(text.strip()) else "which has no number"
        raise FaultyQuantity(f"{quoted(text)}, {what}", kind.wanted)
    if _EXPONENT.match(found["unit"]):
        raise FaultyQuantity(f"{quoted(text)}, with an exponent", f"{kind.wanted}, in plain digits")
    return _Split(found["sign"], found["number"], _tidy(found["unit"]))


def _read(text: str, kind: _Kind, *, bare: str | None = None) -> Fraction:
    """The quantity in ``kind``'s unit; ``bare`` is the unit of a number that has none."""
    split = _split(text, kind)
    if split.sign and not kind.signed:
        raise FaultyQuantity(f"{quoted(text)}, with a sign", f"{kind.wanted}, without a sign")
    value = _number(split.number, text, kind)
    if split.sign in ("-", "\u2212"):
        value = -value
    unit = split.unit or bare
    if not unit:
        raise FaultyQuantity(f"{quoted(text)}, a number without a unit", kind.wanted)
    if "/" in split.number and unit not in _FRACTIONS_OF:
        raise FaultyQuantity(f"{quoted(text)}, a fraction", f"{kind.wanted}, as a decimal")
    try:
        result = converted(value, unit, kind.unit)
    except FaultyQuantity as e:
        raise FaultyQuantity(f"{quoted(text)}, {e.found}", kind.wanted) from None
    if not kind.low <= result <= kind.high:
        limits = f"between {kind.low} and {kind.high} {kind.unit}"
        raise FaultyQuantity(f"{quoted(text)}, beyond all reason", f"{kind.wanted}, {limits}")
    if kind.kept and _affine(unit, kind.kept) == (Fraction(1), Fraction(0)):
        return Typed(result, kind.kept)
    return result


_FRACTIONS_OF = frozenset({"in", "inch", "inches", "turn", "turns", "flat", "flats"})


def _number(number: str, text: str, kind: _Kind) -> Fraction:
    """The value of the digits: a point or a comma for the decimals, and no other riddles."""

    def refuse(why: str, wanted: str) -> FaultyQuantity:
        return FaultyQuantity(f"{quoted(text)}, {why}", wanted)

    if sum(c.isdigit() for c in number) > MOST_DIGITS:
        raise refuse(f"more than {MOST_DIGITS} digits", kind.wanted)
    if "/" in number:
        *whole, part = number.split()
        over, under = part.split("/")
        if int(under) == 0:
            raise refuse("divided by zero", kind.wanted)
        return Fraction(int(over), int(under)) + sum(int(w) for w in whole)
    digits = re.sub(r"\s", "", number)
    if "," in digits and "." in digits:
        raise refuse(
            "with both a comma and a point", "one decimal point and nothing between thousands"
        )
    whole_part, comma, decimals = digits.partition(",")
    if comma and len(decimals) == 3 and whole_part.strip("0"):  # noqa: PLR2004 - a group of thousands
        raise refuse(
            "where the comma may stand for decimals or for thousands",
            f"{whole_part}.{decimals} or {whole_part}{decimals}",
        )
    whole_part, point, decimals = digits.partition(".")
    if kind.large and point and len(decimals) == 3 and whole_part.strip("0"):  # noqa: PLR2004 - as above
        raise refuse(
            "where the point may stand for decimals or for thousands",
            f"{whole_part}{decimals}, or {whole_part}.{decimals.rstrip('0') or '0'}",
        )
    plain = digits.replace(",", ".")
    if not _PLAIN.fullmatch(plain):
        raise refuse("not a plain number", f"{kind.wanted}, with one decimal point at most")
    return Fraction(plain)


def _tidy(unit: str) -> str:
    """The unit in our spelling: micro and degree signs spelled out, factors joined by ``*``."""
    unit = unit.strip().replace("\u00b5", "u").replace("\u03bc", "u").replace("\u00b0", "deg")
    if unit == '"':
        return "in"
    unit = re.sub(r"^deg\s*([CF])$", r"deg\1", unit)
    return re.sub(r"\s*[*\u00b7\u22c5.\-]\s*|\s+", "*", unit)


_SPELLED = re.compile(r"[A-Za-z]{1,30}(\*[A-Za-z]{1,30})?")


@lru_cache(maxsize=256)
def _affine(unit: str, to: str) -> tuple[Fraction, Fraction]:
    """``(scale, offset)`` such that ``value * scale + offset`` is in ``to``; exact."""
    return AT_HAND.get((unit, to)) or from_registry(unit, to)


def from_registry(unit: str, to: str) -> tuple[Fraction, Fraction]:
    """The same from pint.

    Raises:
        FaultyQuantity: a unit that is not known, or two that do not measure the same thing.
    """
    if not _SPELLED.fullmatch(unit):
        raise FaultyQuantity("of an unknown unit", "a unit that is known")
    import pint

    quantity = _registry().Quantity
    try:
        # Added to zero, not scaled: degrees Celsius and Fahrenheit have an offset.
        zero = Fraction(quantity(Fraction(0), unit).to(to).magnitude)
        one = Fraction(quantity(Fraction(1), unit).to(to).magnitude)
    except pint.errors.DimensionalityError:
        raise FaultyQuantity("of another kind", f"something that {to} can measure") from None
    except (pint.errors.PintError, AttributeError):
        raise FaultyQuantity("of an unknown unit", "a unit that is known") from None
    return one - zero, zero


@lru_cache(maxsize=1)
def _registry() -> UnitRegistry[Fraction]:
    import pint

    # No on-disk cache: a truncated one would stop the program from starting.
    registry: UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry
