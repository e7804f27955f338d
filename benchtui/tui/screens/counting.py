"""Counting in and out: how many of what."""

from __future__ import annotations

from benchtui.domain.errors import Refusal
from benchtui.tui.ask import Ask


def counted_in() -> Ask:
    """The question what went in or lies open."""
    return Ask("How many of what went in or lie open?", hint="4 rags", check=_check)


def read_count(text: str) -> tuple[int, str] | None:
    """``4 rags`` as number and item; an item alone is one; nothing is None."""
    words = text.split()
    if not words:
        return None
    if words[0].isdigit() and len(words) > 1:
        return int(words[0]), " ".join(words[1:])
    return 1, " ".join(words)


def _check(text: str) -> object:
    found = read_count(text)
    if found is None or found[1].isdigit() or found[0] < 1:
        raise Refusal(f"Found {text.strip() or 'nothing'!r}; wanted how many of what: 4 rags.")
    return found
