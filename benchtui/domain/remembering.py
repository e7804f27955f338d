"""What was worked out from a frozen value, worked out once and kept with it.

A frozen record that wants it has a field ``memo``: no argument of its making, no part of what makes two
alike, and empty in every changed copy.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace as _made_anew
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

T = TypeVar("T")


class Remembers(Protocol):
    """A frozen value with room for what was worked out from it."""

    @property
    def memo(self) -> dict[object, object]:
        """What was worked out, by question."""


def remembered(value: Remembers, key: object, make: Callable[[], T]) -> T:
    """What ``make`` works out from ``value``, worked out once and kept with it.

    ``key`` names the question and what it was asked of; each question has one type of answer.
    """
    try:
        return value.memo[key]  # type: ignore[return-value]  # one question, one type
    except KeyError:
        made = value.memo[key] = make()
        return made


if TYPE_CHECKING:
    from dataclasses import replace as replace  # noqa: PLC0414  # so that its arguments are checked
else:

    def replace(value: Any, /, **changes: Any) -> Any:
        """``dataclasses.replace``, ten times as fast for a record without slots.

        A session is some hundred changed copies of a state of forty fields, and they were a quarter of the
        time that reading it took. What a record checks when it is made is not checked again, so one
        that checks anything has slots.
        """
        try:
            fields = value.__dict__
        except AttributeError:
            return _made_anew(value, **changes)
        copy = object.__new__(type(value))
        copy.__dict__.update(fields)
        copy.__dict__.update(changes)
        if "memo" in fields:
            copy.__dict__["memo"] = {}
        return copy
