"""Readers of single raw values: each returns what is wanted or raises ``FaultyQuantity``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import TypeVar

from benchtui.text.quantities.measure import FaultyQuantity, quoted
from benchtui.text.reading.toml_lines import OddNumber

T = TypeVar("T")
E = TypeVar("E", bound=Enum)

LONGEST_TEXT = 500
"""Characters in one text of a sheet; more than this is not a name, a mark or a title."""


def described(value: object) -> str:
    """What a raw value is, in words short enough for one line."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return quoted(value)
        case int() | Decimal():
            return _cut(str(value))
        case OddNumber(text):
            return _cut(text)
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "a table"
        case dt.date() | dt.time():
            return "a date or time without quotes"
        case _:
            return type(value).__name__


def _cut(text: str, most: int = 40) -> str:
    return text if len(text) <= most else f"{text[:most]}..."


def as_text(value: object) -> str:
    """A text in quotes, not empty, without spaces around it."""
    if isinstance(value, str) and not value.strip():
        raise FaultyQuantity("nothing between the quotes", "a text in quotes")
    if not isinstance(value, str):
        raise FaultyQuantity(described(value), "a text in quotes")
    if len(value) > LONGEST_TEXT:
        raise FaultyQuantity(f"{len(value)} characters", f"at most {LONGEST_TEXT}")
    return value.strip()


def as_label(value: object) -> str:
    """A text, or a whole number taken as one (``page = 12``)."""
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**9:
        return str(value)
    return as_text(value)


def as_flag(value: object) -> bool:
    """``true`` or ``false``."""
    if not isinstance(value, bool):
        raise FaultyQuantity(described(value), "true or false, without quotes")
    return value


def as_number(low: Fraction, high: Fraction, wanted: str) -> Callable[[object], Fraction]:
    """A reader of plain numbers without quotes from ``low`` to ``high``, both belonging to it."""

    def read(value: object) -> Fraction:
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            number = Fraction(value)
            if low <= number <= high:
                return number
        raise FaultyQuantity(described(value), wanted)

    return read


def as_whole(low: int, high: int, wanted: str) -> Callable[[object], int]:
    """A reader of whole numbers from ``low`` to ``high``, both belonging to it."""

    def read(value: object) -> int:
        if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
            raise FaultyQuantity(described(value), wanted)
        return value

    return read


def as_one_of(kinds: type[E]) -> Callable[[object], E]:
    """A reader of the values of an enum."""

    def read(value: object) -> E:
        found = next((kind for kind in kinds if kind.value == value), None)
        if found is None:
            wanted = " or ".join(f'"{kind.value}"' for kind in kinds)
            raise FaultyQuantity(described(value), wanted)
        return found

    return read


def as_quantity(read: Callable[[str], T], example: str) -> Callable[[object], T]:
    """A reader of a quantity with its unit, in quotes; ``example`` is one."""

    def reader(value: object) -> T:
        if isinstance(value, str):
            return read(value)
        number = isinstance(value, int | Decimal) and not isinstance(value, bool)
        found = f"{described(value)}, a number without a unit" if number else described(value)
        raise FaultyQuantity(found, f'a quantity with its unit, in quotes, as in "{example}"')

    return reader


def as_checked(
    read: Callable[[object], T], right: Callable[[T], bool], wanted: str
) -> Callable[[object], T]:
    """The same reader, for values that are ``right`` only."""

    def reader(value: object) -> T:
        found = read(value)
        if not right(found):
            raise FaultyQuantity(described(value), wanted)
        return found

    return reader
