"""What a person types into a line of a form, made into what a sheet holds; units as typed.

Each reader gives back a plain value of TOML, or raises ``FaultyQuantity``. What the value is worth is
judged by whoever reads the sheet, and by nobody here.
"""

from __future__ import annotations

import re
from fractions import Fraction

from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity, quoted

_NUMBER = r"[0-9]*[.,]?[0-9]+"
_UNIT = r"[A-Za-z\"\u00b0][A-Za-z\"\u00b0]*"
_SPAN = re.compile(
    rf"(?P<low>{_NUMBER})\s*(?P<first>(?!to\b){_UNIT})?"
    rf"(?:\s*(?:\bto\b|-|\u2013|\u2014|\.\.)\s*|\s+)"
    rf"(?P<high>{_NUMBER})\s*(?P<unit>{_UNIT})?"
)
_ONE = re.compile(rf"(?P<low>{_NUMBER})\s*(?P<unit>{_UNIT})?")


def clean(number: str) -> str:
    """``.06`` and ``0,06`` as ``0.06``; what may stand for thousands is left for its reader to ask."""
    if re.fullmatch(r"0?,[0-9]+|[0-9]+,[0-9]{1,2}", number):
        number = number.replace(",", ".")
    return f"0{number}" if number.startswith(".") else number


def unit_of(text: str) -> str:
    """The unit that stands in a range or a figure; empty where there is none."""
    found = _SPAN.fullmatch(text.strip()) or _ONE.fullmatch(text.strip())
    return "" if found is None else found["unit"] or ""


def clearance(text: str, unit: str = "") -> str | list[str]:
    """``.06-.10 mm`` as two figures, ``0.08 mm`` as one; ``unit`` is that of a line above.

    Raises:
        FaultyQuantity: no figure, or one without a unit.
    """
    text = text.strip()
    found = _SPAN.fullmatch(text)
    if found is not None:
        own = found["unit"] or found["first"] or unit
        ends = [clean(found["low"]), clean(found["high"])]
        units = [found["first"] or own, own]
    else:
        one = _ONE.fullmatch(text)
        if one is None:
            wanted = "a range as the manual prints it, as in 0.06 to 0.10 mm, or one figure"
            raise FaultyQuantity(quoted(text), wanted)
        own, ends = one["unit"] or unit, [clean(one["low"])]
        units = [own]
    if not own:
        raise FaultyQuantity(f"{' to '.join(ends)} of what?", "its unit behind it: mm, thou or in")
    figures = [f"{end} {of}" for end, of in zip(ends, units, strict=True)]
    return figures if len(figures) > 1 else figures[0]


def with_unit(text: str, unit: str) -> str:
    """A bare number in the line's usual unit: ``35`` as ``35 C``."""
    text = text.strip()
    return f"{clean(text)} {unit}" if re.fullmatch(rf"-?{_NUMBER}", text) else text


def torque(text: str) -> str:
    """As printed; a bare number is asked about, since three units are usual."""
    text = text.strip()
    if re.fullmatch(rf"{_NUMBER}(\s*(to|-)\s*{_NUMBER})?", text):
        raise FaultyQuantity(f"{text} of what?", "N m, lbf ft or lbf in behind it")
    return text


def thread(text: str) -> tuple[str, str]:
    """The key and its value: a pitch is a length, everything else the name of a thread."""
    text = text.strip()
    try:
        measure.length(text)
    except FaultyQuantity:
        return "thread", text
    return "pitch", text


def number(text: str) -> float:
    """A plain number, as in 1.5."""
    text = clean(text.strip())
    if not re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,6})?", text):
        raise FaultyQuantity(quoted(text), "a plain number, as in 1.5")
    return float(text)


LONGEST = 5
"""Letters of a cylinder's name: more is the engine's own, typed a line too low."""


def cylinders(text: str) -> list[str]:
    """``4`` as the names 1 to 4; short names typed out stand as they are.

    Raises:
        FaultyQuantity: a name is longer than ``LONGEST``.
    """
    text = text.strip()
    if re.fullmatch(r"[0-9]{1,2}", text):
        return [str(n) for n in range(1, int(text) + 1)]
    names = re.split(r"[\s,]+", text)
    if any(len(name) > LONGEST for name in names):
        raise FaultyQuantity(quoted(text), "how many, as in 4, or their short names, as in F R")
    return names


def firing(text: str, names: list[str]) -> dict[str, int | float]:
    """``1-3-4-2``, evenly apart over two turns; or each with its degrees: ``F 0, R 412``.

    Raises:
        FaultyQuantity: not every cylinder once.
    """
    parts = [p for p in re.split(r"\s*[,;]\s*", text.strip()) if p]
    pairs = [p.split() for p in parts]
    if all(len(p) == 2 for p in pairs) and len(pairs) == len(names):  # noqa: PLR2004  name, angle
        told = {name: number(at) for name, at in pairs}
        _every(list(told), names, text)
        return {name: int(at) if at == int(at) else at for name, at in told.items()}
    order = [p for p in re.split(r"[\s,;-]+", text.strip()) if p]
    _every(order, names, text)
    step = Fraction(720, len(names))
    if step.denominator != 1:
        raise FaultyQuantity(quoted(text), "each with its degrees, as in 1 0, 2 240")
    return {name: int(step * at) for at, name in enumerate(order)}


def _every(order: list[str], names: list[str], text: str) -> None:
    if sorted(order) != sorted(names):
        wanted = f"every cylinder once, as in {'-'.join(names)}"
        raise FaultyQuantity(quoted(text), wanted)


_TIMES = re.compile(r"(?P<count>[0-9 ]+(?:[.,][0-9]+)?)\s*(?P<unit>[a-z]+)", re.IGNORECASE)


def interval(text: str) -> dict[str, int | float | str]:
    """``6 months, 100 h`` or ``2 years or 15 000 km``.

    Raises:
        FaultyQuantity: a part that is no time, no distance and no hours.
    """
    found: dict[str, int | float | str] = {}
    for part in re.split(r"[,;]\s+|\s+or\s+|\s+and\s+", text.strip()):
        one = _TIMES.fullmatch(part.strip())
        unit = "" if one is None else one["unit"].lower()
        count = "" if one is None else one["count"].replace(" ", "")
        if unit.startswith(("month", "mo")) or unit == "m":
            found["months"] = int(number(count))
        elif unit.startswith(("year", "yr")) or unit == "y":
            found["months"] = int(number(count)) * 12
        elif unit in ("h", "hr", "hrs", "hour", "hours"):
            hours = number(count)
            found["hours"] = int(hours) if hours == int(hours) else hours
        elif unit in ("km", "mi", "mile", "miles"):
            found["distance"] = f"{count} {unit}"
        else:
            wanted = "months, hours or a distance, as in 6 months, 100 h, 5000 km"
            raise FaultyQuantity(quoted(part), wanted)
    return found


def shims(text: str) -> list[str] | dict[str, str]:
    """``2.50 to 3.50 by 0.05`` as steps, ``2.50 2.60 2.65`` as sizes; mm unless it says otherwise."""
    found = re.fullmatch(
        rf"({_NUMBER})\s*(?:mm)?\s*(?:to|-)\s*({_NUMBER})\s*(?:mm)?\s*(?:by|step)\s*({_NUMBER})\s*(?:mm)?",
        text.strip(),
    )
    if found is not None:
        low, high, step = (f"{clean(n)} mm" for n in found.groups())
        return {"from": low, "to": high, "step": step}
    return [with_unit(p, "mm") for p in re.split(r"\s*[,;]\s*|\s+(?![a-z])", text.strip()) if p]
