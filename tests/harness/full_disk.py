"""The file may grow no further: by the system's own limit on a file's size, at each byte of a line."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from benchtui.domain.errors import NotKept
from benchtui.store.journal import read_session
from tests.harness import Outcome
from tests.harness.bench_of import begun, kept, say

try:
    import resource
except ImportError:  # no such limits on this platform
    resource = None  # type: ignore[assignment]


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if resource is None:
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    lost = silent = 0
    rooms = range(150) if long else draw.sample(range(150), 12)
    for room in rooms:
        data = folder / str(room)
        journal, bench = begun(data)
        say(bench, "before")
        size = journal.path.stat().st_size
        resource.setrlimit(resource.RLIMIT_FSIZE, (size + room, hard))
        try:
            for _ in range(3):
                try:
                    say(bench, "x" * 200)
                    silent += 1
                except NotKept as error:
                    silent += error.tall != "DISK FULL"
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        silent += len(read_session(journal.path).events) != 2
        say(bench, "room again")
        journal.close()
        lost += len({"before", "room again"} - kept(data))
        silent += read_session(journal.path).damage is not None
    yield Outcome("no room, then room again", len(rooms), lost=lost, silent=silent)
