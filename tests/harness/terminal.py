"""A program of ours on a terminal of its own: what it shows, the keys it gets, how it ends."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pyte

COLUMNS, ROWS = 80, 24

LONGEST = 60
"""Seconds until a start counts as none; a busy machine takes twenty, a quiet one less than one."""


class Terminal:
    """One run of ``python ARGUMENTS`` on a new terminal; its screen as the person sees it.

    ``forked`` runs in a copy of this process instead, which saves loading the program each time.
    """

    def __init__(
        self, arguments: Sequence[str], data: Path, forked: Callable[[], int] | None = None
    ) -> None:
        self._terminal, self._program = pty.openpty()
        fcntl.ioctl(self._terminal, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self._found = termios.tcgetattr(self._program)
        self.out = b""
        self._screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self._screen)
        self.pid = os.fork()
        if self.pid == 0:
            os.setsid()
            fcntl.ioctl(self._program, termios.TIOCSCTTY, 0)
            for handle in range(3):
                os.dup2(self._program, handle)
            os.environ |= {"TERM": "xterm-256color", "BENCHTUI_DATA": str(data)}
            if forked is not None:
                sys.stdin = sys.__stdin__ = open(0, closefd=False)  # type: ignore[misc]  # noqa: SIM115
                sys.stdout = sys.__stdout__ = open(1, "w", closefd=False)  # type: ignore[misc]  # noqa: SIM115
                sys.stderr = sys.__stderr__ = open(2, "w", closefd=False)  # type: ignore[misc]  # noqa: SIM115
                os._exit(forked())
            os.execv(sys.executable, [sys.executable, *arguments])  # noqa: S606  # our own

    def read(self, longest: float, until: Callable[[], bool] = lambda: False) -> bool:
        """Take what comes until that is so, for at most so many seconds; whether it is."""
        end = time.monotonic() + longest
        while not (met := until()) and (left := end - time.monotonic()) > 0:
            self._took(left)
        return met or until()

    def _took(self, longest: float) -> bool:
        """Take what comes next, within so many seconds; whether anything came."""
        if not select.select([self._terminal], [], [], longest)[0]:
            return False
        came = os.read(self._terminal, 65536)
        self.out += came
        self._stream.feed(came)
        return True

    def rows(self) -> list[str]:
        """The screen as it stands."""
        return list(self._screen.display)

    def shows(self, text: str) -> bool:
        """Whether a row of the screen holds this."""
        return any(text in row for row in self._screen.display)

    def keys(self, typed: bytes) -> None:
        """What somebody types."""
        os.write(self._terminal, typed)

    def signal(self, number: signal.Signals) -> None:
        """What comes from outside."""
        os.kill(self.pid, number)

    def ended(self) -> int:
        """Take the rest; the exit status, minus a signal's number where one ended it."""
        end = time.monotonic() + LONGEST
        done, status = 0, 0
        while not done and time.monotonic() < end:
            self.read(0.05)
            done, status = os.waitpid(self.pid, os.WNOHANG)
        if not done:
            os.kill(self.pid, signal.SIGKILL)
            _, status = os.waitpid(self.pid, 0)
        while self._took(0.1):  # what it wrote last is still under way
            pass
        return os.waitstatus_to_exitcode(status)

    def as_found(self) -> bool:
        """Whether the terminal's own settings are those that the program found."""
        return termios.tcgetattr(self._program) == self._found

    def close(self) -> None:
        """Give the terminal back."""
        os.close(self._program)
        os.close(self._terminal)
