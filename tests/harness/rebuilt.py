"""Ctrl-C, or a kill, while the register is made anew: what was read is kept, and the rest is read next."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path

from benchtui.domain.session.facts.events import Opened
from benchtui.store.codec import encoded
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register
from tests.harness import Outcome
from tests.harness.bench_of import RECORD

COMMAND = """
import sys
from benchtui.cli import main
from benchtui.commands import shop
from benchtui.store import many
many.MANY, many.AT_ONCE, shop.PATIENCE = 1, 3, -1
print("begun", flush=True)
sys.exit(main(["due"]))
"""
"""The command itself, a few files at a time and each told."""

TOLD = re.compile(rb"anew, once: (\d+) of (\d+)")
ENGINES = ("pump", "winch", "hauler")


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if os.name == "nt":
        return
    data = DataFolder(folder / "data")
    count = 300 if long else 24
    _sessions(data, count)
    Register(data).rows()
    wanted = _all_of(data)
    for harm, by in (("Ctrl-C in a rebuild", b"\x03"), ("killed in a rebuild", None)):
        tries, lost, silent, raised = 50 if long else 2, 0, 0, 0
        for _ in range(tries):
            shutil.rmtree(data.register)
            told, traceback = _stopped(data, draw.randrange(count), by)
            again: list[int] = []
            register = Register(data)
            register.progress = lambda _, of, again=again: again.append(of)
            register.rows()
            lost += _all_of(data) != wanted
            read_again = again[-1] if again else 0
            silent += by is not None and read_again > count - told
            raised += traceback
        yield Outcome(harm, tries, lost=lost, silent=silent, raised=raised)


def _stopped(data: DataFolder, after: int, by: bytes | None) -> tuple[int, bool]:
    """Stop the command once so many files were told; how many were, and whether there was a traceback."""
    from tests.harness.terminal import LONGEST, Terminal

    terminal = Terminal(["-c", COMMAND], data.root)
    terminal.read(LONGEST, lambda: b"begun" in terminal.out)
    terminal.read(LONGEST, lambda: _told(terminal.out) >= after)
    if by is None:
        terminal.signal(signal.SIGKILL)
    else:
        terminal.keys(by)
    terminal.ended()
    terminal.close()
    return _told(terminal.out), b"Traceback" in terminal.out


def _told(out: bytes) -> int:
    return max((int(found) for found, _ in TOLD.findall(out)), default=0)


def _all_of(data: DataFolder) -> object:
    """Every row and record, as a program that was just started has them."""
    register = Register(data)
    return [asdict(r) for r in register.rows()], [register.records(e) for e in ENGINES]


def _sessions(data: DataFolder, count: int) -> None:
    data.sessions.mkdir(parents=True)
    events = read_session(RECORD).events
    opened = events[0].fact
    assert isinstance(opened, Opened)
    for number in range(count):
        engine = ENGINES[number % len(ENGINES)]
        name = f"20260501-090000-{engine}-{number:010x}"
        sheet = replace(opened.sheet, key=engine)
        first = replace(events[0], fact=replace(opened, session=name, sheet=sheet))
        (data.sessions / f"{name}.session").write_bytes(encoded([first, *events[1:]]))
