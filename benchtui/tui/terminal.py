"""The terminal that the program draws on may vanish under it: its window is closed."""

from __future__ import annotations

import os
import select
from contextlib import suppress
from typing import IO, Any

from textual.driver import Driver


class Vanishing:
    """A terminal's file whose writes go nowhere once the terminal is gone.

    The library writes in a thread of its own. An error there would end that thread unseen, its queue
    would fill, and the program would wait for it for ever: a session held, a folder left behind.
    """

    def __init__(self, file: IO[str]) -> None:
        self._file = file

    def write(self, text: str) -> int:
        """Write, or drop what nobody can see any more."""
        with suppress(OSError):
            return self._file.write(text)
        return len(text)

    def flush(self) -> None:
        """Flush what can be."""
        with suppress(OSError):
            self._file.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


def hung_up(fileno: int) -> bool:
    """Whether the terminal behind ``fileno`` is gone; never so where that cannot be told.

    The system says it by SIGHUP too, but whoever was begun under nohup has that signal ignored: reading
    such a terminal ends at once, again and again, and the program would spin for ever.
    """
    if not hasattr(select, "poll"):
        return False
    asked = select.poll()
    asked.register(fileno, 0)  # a hang-up is told unasked
    return any(told & select.POLLHUP for _, told in asked.poll(0))


def on_terminal(driver: Driver | None) -> int | None:
    """The file number that this driver reads, where that is a terminal."""
    fileno = getattr(driver, "fileno", None)
    return fileno if isinstance(fileno, int) and os.isatty(fileno) else None


def may_vanish(driver: type[Driver]) -> type[Driver]:
    """This driver, on a file that may vanish.

    It is set between the making of the driver and its start: the library has no other way in.
    """

    def begin(self: Any, *arguments: Any, **named: Any) -> None:
        driver.__init__(self, *arguments, **named)
        file = getattr(self, "_file", None)
        if file is not None:
            self._file = Vanishing(file)

    return type(driver.__name__, (driver,), {"__init__": begin})
