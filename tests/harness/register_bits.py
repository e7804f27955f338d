"""Each bit of the register's files is flipped: what it says stays what the session files say."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

from benchtui.store.paths import DataFolder
from benchtui.store.register import Register
from benchtui.store.storage import AtomicStorage, StoreDamaged
from tests.harness import Outcome
from tests.harness.bench_of import RECORD

SHORT = 400
WHOLE = 97
"""Every so many bits the register is asked as well, which then makes the file anew."""


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    data = DataFolder(folder / "data")
    data.sessions.mkdir(parents=True)
    shutil.copy(RECORD, data.sessions / "one.session")
    (engine,) = {row.engine for row in Register(data).rows()}
    wanted = _told(data, engine)
    for path in sorted(data.register.rglob("*.json")):
        sound = path.read_bytes()
        every = range(8 * len(sound))
        bits = every if long else draw.sample(every, SHORT)
        silent = raised = 0
        for number, bit in enumerate(bits):
            flipped = bytearray(sound)
            flipped[bit // 8] ^= 1 << bit % 8
            path.write_bytes(flipped)
            try:
                AtomicStorage(path).read()
                silent += 1
            except StoreDamaged:
                pass
            except Exception:  # noqa: BLE001  # whatever it is, it is counted
                raised += 1
            if number % WHOLE == 0:
                silent += _told(data, engine) != wanted or path.read_bytes() != sound
        path.write_bytes(sound)
        which = "the list" if path.parent.name == "lists" else "an engine's records"
        yield Outcome(f"a bit flipped in {which}", len(bits), silent=silent, raised=raised)


def _told(data: DataFolder, engine: str) -> object:
    register = Register(data)
    rows = register.rows()
    return [asdict(row) for row in rows], register.records(engine), register.worn(engine)
