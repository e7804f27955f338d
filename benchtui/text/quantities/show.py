"""How figures, dates and other people's texts are shown.

Our own words and our own rounding, half to even as ASTM E29 has it, from exact values only: a
library's text changes between its versions, and a float rounds a limit the wrong way.
"""

from __future__ import annotations

import datetime as dt
import unicodedata
from fractions import Fraction
from typing import Literal

from benchtui.domain.blades import Feeler
from benchtui.domain.length import NM_PER_INCH, NM_PER_MM, Length
from benchtui.domain.typed import as_typed
from benchtui.text.quantities import measure

LengthUnit = Literal["mm", "thou", "in"]
TorqueUnit = Literal["N m", "lbf ft", "lbf in"]

_NM_PER = {"mm": NM_PER_MM, "thou": NM_PER_INCH // 1000, "in": NM_PER_INCH}
_LEAST_PLACES = {"mm": 2, "thou": 0, "in": 3}
_ROUNDED_PLACES = {"mm": 6, "thou": 2, "in": 5}

SMALL_TORQUE = Fraction(10)
"""Newton metres; below it pound-inches are easier to set than pound-feet."""


def rounded(value: Fraction, places: int, *, signed: bool = False) -> str:
    """``value`` to ``places`` decimals, an exact five to the even neighbour; never ``-0.00``."""
    whole = round(value * 10**places)
    digits = f"{abs(whole):0{places + 1}d}"
    text = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    sign = "-" if whole < 0 else "+" if signed and whole > 0 else ""
    return sign + text


def exact(value: Fraction, least: int = 0, most: int = 12) -> str | None:
    """All the decimals of ``value``, at least ``least``; None where they do not end in time."""
    for places in range(least, most + 1):
        if (value * 10**places).denominator == 1:
            return rounded(value, places)
    return None


def number(value: Fraction, places: int = 3) -> str:
    """All the decimals where they end within ``places``, else rounded to so many."""
    return exact(value, most=places) or rounded(value, places)


def length(
    value: Length, unit: LengthUnit = "mm", places: int | None = None, *, signed: bool = False
) -> str:
    """A length with its unit: ``0.08 mm``, ``3.15 thou``, ``+0.045 mm``.

    Without ``places`` it is exact where the decimals end (always in mm), else rounded to 2 places
    of a thou or 5 of an inch.
    """
    return f"{figure(value, unit, places, signed=signed)} {unit}"


def figure(
    value: Length, unit: LengthUnit = "mm", places: int | None = None, *, signed: bool = False
) -> str:
    """The same as ``length``, without the unit."""
    in_unit = Fraction(value.nm, _NM_PER[unit])
    if places is None:
        text = exact(in_unit, _LEAST_PLACES[unit], 6)
        places = _ROUNDED_PLACES[unit] if text is None else len(text.partition(".")[2])
    return rounded(in_unit, places, signed=signed)


def bare(length: Length | None) -> str:
    """Exact millimetres without the unit, ``open`` for none."""
    return "open" if length is None else str(length).removesuffix(" mm")


def seen(value: Length) -> str:
    """Millimetres without the unit, three decimals at most: an inch blade's size is no round one."""
    exactly = figure(value)
    return exactly if len(exactly.partition(".")[2]) <= _EYE else figure(value, places=_EYE)


_EYE = 3


def stamps(feeler: Feeler) -> str:
    """A blade or stack by its stamps, in millimetres without the unit: ``0.20+0.05``."""
    return str(feeler).removesuffix(" mm")


def angle(degrees: Fraction, places: int = 0) -> str:
    """``22 degrees``, ``1 degree``."""
    text = rounded(degrees, places).removesuffix(".0")
    return f"{text} degree" if text in ("1", "-1") else f"{text} degrees"


def degrees(value: Fraction) -> str:
    """A turn of a screw that was made, to a tenth where it was told so: ``22``, ``21.6``."""
    return rounded(value, 1).removesuffix(".0")


def whole_degrees(value: Fraction) -> str:
    """A turn to be made: ``22``. No hand turns a screw to the tenth of a degree."""
    return str(round(value))


def clock_minutes(degrees: Fraction) -> str:
    """A turn on a clock's face, 6 degrees a minute, to half a minute: ``3.5 minutes on a clock``."""
    text = rounded(Fraction(round(degrees / 3), 2), 1).removesuffix(".0")
    return f"{text} minute on a clock" if text == "1" else f"{text} minutes on a clock"


_EIGHTHS = {
    1: "an eighth of a flat",
    2: "a quarter of a flat",
    3: "three eighths of a flat",
    4: "half a flat",
    6: "three quarters of a flat",
    8: "one flat",
}
_QUARTERS = {1: " and a quarter", 2: " and a half", 3: " and three quarters"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six")
_CLOSE_ENOUGH = Fraction(1, 40)
"""In flats: a degree and a half is nothing a hand can see."""


def flats(degrees: Fraction) -> str:
    """A turn in flats of a hexagon nut, 60 degrees each: ``a bit over half a flat``.

    Up to half a flat in eighths, then in quarters; over six flats in turns.
    """
    value = degrees / 60
    if value < Fraction(1, 16):
        return "no turn" if value <= 0 else "less than an eighth of a flat"
    step = Fraction(1, 8) if value < Fraction(1, 2) else Fraction(1, 4)
    near = round(value / step) * step
    words = _flats_in_words(near)
    if abs(value - near) <= _CLOSE_ENOUGH:
        return words
    return f"a bit over {words}" if value > near else f"a bit under {words}"


def _flats_in_words(value: Fraction) -> str:
    if value <= 1:
        return _EIGHTHS[int(value * 8)]
    whole, part = divmod(value, 1)
    words = _NUMBERS[whole] if whole < len(_NUMBERS) else str(whole)
    return f"{words}{_QUARTERS.get(int(part * 4), '')} flats"


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def date(day: dt.date) -> str:
    """``3 March 2026``: no two countries read it differently, whatever the machine's language."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def month(day: dt.date) -> str:
    """``Mar 2026``, for narrow places."""
    return f"{_MONTHS[day.month - 1][:3]} {day.year}"


def short_date(day: dt.date) -> str:
    """``3 Mar 2026``: the same for a column."""
    return f"{day.day} {_MONTHS[day.month - 1][:3]} {day.year}"


def distance(km: Fraction) -> str:
    """``12 400 km``, ``3 100 mi``, as it was typed: whole units, thousands apart by a space."""
    value, unit = as_typed(km, "km")
    return f"{_grouped(rounded(value, 0))} {unit}"


def hours(value: Fraction) -> str:
    """``310 h``, ``4.5 h``."""
    return f"{_grouped(rounded(value, 1).removesuffix('.0'))} h"


def _grouped(figures: str) -> str:
    whole, point, decimals = figures.partition(".")
    return f"{int(whole):,}".replace(",", " ") + point + decimals


def temperature(celsius: Fraction) -> str:
    """``19 C``, ``66 F``, as it was typed, with one decimal where it needs one."""
    value, unit = as_typed(celsius, "C")
    return f"{rounded(value, 1).removesuffix('.0')} {unit}"


WHOLE_TORQUE = 20
"""From so much on a torque is shown in whole figures: no wrench is set closer (design value)."""


def torque(low: Fraction, high: Fraction, unit: TorqueUnit = "N m") -> str:
    """``13.6 N m``, ``12 to 15 lbf in``; newton metres in, one decimal out below 20, then none."""
    scale = Fraction(1)
    if unit != "N m":
        scale = measure.converted(Fraction(1), "N*m", unit.replace(" ", "*"))
    places = 1 if high * scale < WHOLE_TORQUE else 0
    least, most = (rounded(v * scale, places).removesuffix(".0") for v in (low, high))
    return f"{least} {unit}" if low == high else f"{least} to {most} {unit}"


def torque_both(low: Fraction, high: Fraction) -> str:
    """In both systems: ``13.6 N m (10 lbf ft)``; pound-inches for small ones."""
    other: TorqueUnit = "lbf in" if high < SMALL_TORQUE else "lbf ft"
    return f"{torque(low, high)} ({torque(low, high, other)})"


_UNSHOWN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def inert(text: str, *, lines: bool = False) -> str:
    """``text`` from a file made harmless for a terminal.

    Control characters, escapes, direction overrides and whatever else has no shape of its own are
    replaced by visible stand-ins, so that nobody's sheet can move the cursor or turn a figure
    round. Line ends stay only if ``lines``.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(c if lines and c == "\n" else _stand_in(c) for c in text)


def _stand_in(char: str) -> str:
    code = ord(char)
    if code < 0x20:  # noqa: PLR2004 - the first printable character of ASCII
        return chr(0x2400 + code)  # the pictures of the control characters
    if code == 0x7F:  # noqa: PLR2004 - DEL
        return "\u2421"
    return f"<U+{code:04X}>" if unicodedata.category(char) in _UNSHOWN else char
