"""How a valve stands: one word and one sign for each state, the same on screen, map, card and replay.

By itself, for the pictures have the signs before any rule is loaded.
"""

from __future__ import annotations

from enum import Enum


class Standing(Enum):
    """Word and sign; a sign is never alone, its word stands beside it or in the picture's key."""

    TO_DO = ("to do", "□", "not measured yet")
    UNDECIDED = ("undecided", "?", "one more blade is wanted")
    IN_RANGE = ("in range", "√", "nothing to set")
    AT_LIMIT = ("at limit", "≤", "in range; it may be set better")
    ON_FIGURE = ("on figure", "=", "set as the handbook says")
    BY_THREAD = ("by thread", "≡", "pad dished: set by the thread, no blade tells")
    TIGHT = ("tight", "▼", "under its range")
    WIDE = ("wide", "▲", "over its range")
    NO_CLEARANCE = ("no clearance", "▬", "nothing goes in: look before it is set")
    CLASH = ("clash", "≠", "readings contradict each other")
    NUT_SLACK = ("nut slack", "!", "lock it before the crank moves")
    AGAIN = ("again", "»", "set and locked: measure it now")
    NO_VERDICT = ("no verdict", "–", "too warm, no band named, or crank not sure")  # noqa: RUF001  the dash itself is meant

    @property
    def word(self) -> str:
        """In small letters, never shortened."""
        return self.value[0]

    @property
    def sign(self) -> str:
        """One character."""
        return self.value[1]

    @property
    def meaning(self) -> str:
        """What it says, in a few words."""
        return self.value[2]
