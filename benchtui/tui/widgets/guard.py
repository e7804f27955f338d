"""What keeps a wiping hand, a held key or a trembling glove from giving answers."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

QUIET_SECONDS = 0.150
"""The same key again within this time is the same press."""

FIRST_REPEAT_SECONDS = 1.1
"""The longest that keyboards wait before a held key starts to repeat (common practice)."""

_SURELY_HELD = 3
"""So many quick repeats on end are no trembling finger."""

UNLOCK_WORD = "open"
"""Typed letter by letter, with nothing between, to unlock the keys."""


class Press(Enum):
    """What to make of a key that came in."""

    COUNTS = "counts"
    DROPPED = "dropped"
    HELD = "held"
    """Dropped; and the press that counted last was this held key's first repeat: take it back."""


class KeyGuard:
    """Lets the first press of a key through and drops what follows too soon.

    Each dropped press starts the quiet time anew, so that a repeating key stays dropped. Another
    key is never held up.

    A keyboard waits longer than the quiet time before a held key's first repeat, which therefore
    counts: by its time alone it might be a second press. The quick repeats after it give it away,
    and :attr:`Press.HELD` says so, once.

    ``clock`` gives seconds that only grow (``time.monotonic``).
    """

    def __init__(self, clock: Callable[[], float], quiet: float = QUIET_SECONDS) -> None:
        self._clock = clock
        self._quiet = quiet
        self._key = ""
        self._time = 0.0
        self._repeats = 0
        self._follows_itself = False

    def press(self, key: str) -> Press:
        """Take a key and say what to make of it."""
        now = self._clock()
        # Caps lock does not make another key of it.
        same = key.lower() == self._key
        gap = now - self._time
        self._key, self._time = key.lower(), now
        if not same or gap >= self._quiet:
            self._repeats = 0
            self._follows_itself = same and gap < FIRST_REPEAT_SECONDS
            return Press.COUNTS
        self._repeats += 1
        if self._repeats >= _SURELY_HELD and self._follows_itself:
            self._follows_itself = False
            return Press.HELD
        return Press.DROPPED


class KeyLock:
    """While locked, nothing but the unlocking word typed in order gets through."""

    def __init__(self, word: str = UNLOCK_WORD) -> None:
        self._word = word
        self._typed = 0
        self.locked = False

    @property
    def typed(self) -> str:
        """How much of the word has been typed."""
        return self._word[: self._typed]

    def lock(self) -> None:
        """Lock the keys."""
        self.locked = True
        self._typed = 0

    def press(self, key: str) -> bool:
        """Take a key while locked; whether it was swallowed (always so while locked).

        The word's last letter unlocks, and is swallowed itself.
        """
        if not self.locked:
            return False
        letter = key.lower()
        if letter == self._word[self._typed]:
            self._typed += 1
        else:
            self._typed = 1 if letter == self._word[0] else 0
        if self._typed == len(self._word):
            self.locked = False
            self._typed = 0
        return True
