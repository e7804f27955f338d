"""The workshop for a command that only reads what is stored."""

from __future__ import annotations

import sys
import time

from benchtui.commands.folder import folder_to_read
from benchtui.store.clock import wall_clock
from benchtui.store.register import Progress
from benchtui.workshop import Workshop

PATIENCE = 1
"""So many seconds of reading go by without a word."""


def shop_to_read(data: str | None) -> Workshop:
    """The workshop of the data folder chosen, which must be there.

    Where many session files have to be read anew and somebody waits at a terminal, he is told.

    Raises:
        Unable: there is no such folder, or it cannot be read.
    """
    workshop = Workshop(folder_to_read(data), wall_clock)
    if sys.stderr.isatty():
        workshop.past_sessions.watch_reading(_progress())
    return workshop


def _progress() -> Progress:
    """One line that counts; Ctrl-C stops the reading, and the next command goes on from there."""
    began = time.monotonic()

    def tell(count: int, of: int) -> None:
        if time.monotonic() - began > PATIENCE:
            text = f"\rbenchtui: reading the stored sessions anew, once: {count} of {of}"
            print(text, end="" if count < of else "\n", file=sys.stderr, flush=True)

    return tell
