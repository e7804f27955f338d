"""Counting in and out: how many of what."""

from __future__ import annotations

from benchtui.domain.errors import Unable
from benchtui.text.reading.counts import read_counts
from benchtui.tui.ask import Ask


def counted_in() -> Ask:
    """The question what went in or lies open."""
    return Ask("How many of what went in or lie open?", hint="4 rags", check=_check)


_MOST = 999


def _check(text: str) -> object:
    found = read_counts(text)
    if not found or any(item.isdigit() or not 1 <= count <= _MOST for count, item in found):
        raise Unable(
            f"Found {text.strip() or 'nothing'!r}; wanted how many of what: 4 rags, 2 sockets."
        )
    return found
