"""The program on a terminal is told to end from outside: the terminal must be as it was found."""

from __future__ import annotations

import os
import random
import signal
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome

LEFT = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?25h")
"""The other screen off, mouse reporting off, the cursor shown. Source: the control sequences of xterm."""


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
    from tests.harness.terminal import LONGEST, Terminal

    terminal = Terminal(["-m", "benchtui"], data)
    terminal.read(LONGEST, lambda: b"\x1b[?1049h" in terminal.out)
    terminal.read(wait)
    terminal.signal(number)
    status = terminal.ended()
    restored = all(mark in terminal.out for mark in LEFT) and terminal.as_found()
    terminal.close()
    return restored and status == 128 + number, b"Traceback" in terminal.out
