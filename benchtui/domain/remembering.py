"""What was worked out from a frozen value, worked out once and kept with it.

A frozen record that wants it has a field ``memo``: no argument of its making, no part of what makes two
alike, and empty in every changed copy.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

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
