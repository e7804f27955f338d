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
        Refusal: there is no such folder, or it cannot be read.
    """
    workshop = Workshop(folder_to_read(data), wall_clock)
    if sys.stderr.isatty():
        workshop.watch_reading(_told_once())
    return workshop


def _told_once() -> Progress:
    began: float | None = None
    told = False

    def tell(count: int, of: int) -> None:
        nonlocal began, told
        now = time.monotonic()
        began = now if began is None else began
        if not told and count < of and now - began > PATIENCE:
            told = True
            print(f"benchtui: reading {of} stored sessions anew, once...", file=sys.stderr)

    return tell
