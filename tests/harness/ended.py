"""The program on a terminal is told to end from outside: the terminal must be as it was found."""

from __future__ import annotations

import os
import random
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome, killed

LEFT = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?25h")
"""The other screen off, mouse reporting off, the cursor shown. Source: the control sequences of xterm."""


TRIES = 20
PLACES = ("home", "bench", "crank")


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if os.name == "nt":
        return
    begun = killed.left_at_the_bench(folder / "begun") if long else folder
    for place in PLACES if long else PLACES[:1]:
        for name in ("SIGTERM", "SIGHUP"):
            silent = raised = 0
            for number in range(TRIES if long else 1):
                data = folder / f"{place}-{name}-{number}"
                if long:
                    shutil.copytree(begun, data)
                wait = draw.uniform(0, 1.2) if number % 3 else 0  # while it is put up, and after
                restored, traceback = _once(data, place, signal.Signals[name], wait)
                silent, raised = silent + (not restored), raised + traceback
            tried = TRIES if long else 1
            yield Outcome(f"{name}, {place}", tried, silent=silent, raised=raised)


def _once(data: Path, place: str, number: signal.Signals, wait: float) -> tuple[bool, bool]:
    from tests.harness.terminal import LONGEST, Terminal

    if place == "home":
        terminal = Terminal(["-m", "benchtui"], data)
        terminal.read(LONGEST, lambda: b"\x1b[?1049h" in terminal.out)
    elif place == "bench":
        terminal = killed.resumed(data)
    else:
        terminal = killed.bench(data)
        terminal.keys(b"c")
    terminal.read(wait)
    terminal.signal(number)
    status = terminal.ended()
    restored = all(mark in terminal.out for mark in LEFT) and terminal.as_found()
    terminal.close()
    return restored and status == 128 + number, b"Traceback" in terminal.out
