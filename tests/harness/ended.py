"""The program on a terminal is told to end from outside: the terminal must be as it was found."""

from __future__ import annotations

import os
import random
import select
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome

LEFT = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?25h")
"""The other screen off, mouse reporting off, the cursor shown. Source: the control sequences of xterm."""

LONGEST = 60
"""Seconds until a start counts as none; a busy machine takes twenty, a quiet one less than one."""


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if os.name == "nt":
        return
    for name in ("SIGTERM", "SIGHUP"):
        tries = 25 if long else 1
        silent = raised = 0
        for number in range(tries):
            wait = draw.uniform(0, 1.5) if long else 0
            restored, traceback = _once(folder / name / str(number), signal.Signals[name], wait)
            silent, raised = silent + (not restored), raised + traceback
        yield Outcome(name, tries, silent=silent, raised=raised)


def _once(data: Path, number: signal.Signals, wait: float) -> tuple[bool, bool]:
    import pty
    import termios

    terminal, program = pty.openpty()
    before = termios.tcgetattr(program)
    pid = os.fork()
    if pid == 0:
        os.login_tty(program) if hasattr(os, "login_tty") else _take(program)
        env = {**os.environ, "TERM": "xterm-256color", "BENCHTUI_DATA": str(data)}
        os.execve(sys.executable, [sys.executable, "-m", "benchtui"], env)  # noqa: S606  # our own
    out = _read(terminal, LONGEST, b"\x1b[?1049h")
    out += _read(terminal, wait)
    os.kill(pid, number)
    out += _read(terminal, LONGEST, LEFT[-1])
    _, status = os.waitpid(pid, 0)
    restored = all(mark in out for mark in LEFT) and termios.tcgetattr(program) == before
    os.close(program)
    os.close(terminal)
    return restored and os.waitstatus_to_exitcode(status) == 128 + number, b"Traceback" in out


def _take(program: int) -> None:
    import fcntl
    import termios

    os.setsid()
    fcntl.ioctl(program, termios.TIOCSCTTY, 0)
    for handle in range(3):
        os.dup2(program, handle)


def _read(terminal: int, longest: float, until: bytes = b"") -> bytes:
    out, end = b"", time.monotonic() + longest
    while (left := end - time.monotonic()) > 0 and not (until and until in out):
        if select.select([terminal], [], [], left)[0]:
            out += os.read(terminal, 65536)
    return out
