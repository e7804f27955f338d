"""Session files by the thousand, read by as many processes as there are cores."""

from __future__ import annotations

import gc
import os
import pickle
import re
import subprocess
import sys
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from itertools import cycle, groupby, islice
from pathlib import Path

import benchtui
from benchtui.store.files import Entry
from benchtui.store.rows import Read, read_each

MANY = 300
"""From so many files on, starting other processes costs less than it saves (measured)."""

AT_ONCE = 25
"""So many files are read between two looks at whether to stop."""

AHEAD = 2
"""So many batches lie ready for each process, so that none waits for the next."""

GARBAGE = 100_000
"""So many objects are made before anybody looks for circles among them: nothing read makes any, and
looking took a twentieth of the time (measured)."""

Batch = Sequence[Entry]

_ID = re.compile(r"[0-9]{8}-[0-9]{6}-(.+)-[0-9a-f]{10}")


def read_many(entries: Batch) -> Generator[list[Read]]:
    """Every one of these files, those of one engine together as far as their names tell.

    Some at a time, so that whoever asks may stop; closing the iterator ends the other processes.
    """
    ordered = sorted(entries, key=lambda e: (_engine(e), e.stem))
    batches = [b for _, mine in groupby(ordered, _engine) for b in _cut(list(mine))]
    done = 0
    if len(ordered) >= MANY and cores() > 1:
        try:
            for read in _by_several(batches):
                yield read
                done += 1
        except (OSError, EOFError, pickle.UnpicklingError):
            pass  # no processes to be had here, or one was killed: this one reads the rest
    for batch in batches[done:]:
        yield read_each(batch)


def cores() -> int:
    """How many processes may run at once."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _by_several(batches: Sequence[Batch]) -> Iterator[list[Read]]:
    """The batches in their order, each process taking its turn.

    Raises:
        OSError, EOFError, UnpicklingError: a process could not be started, or ended before its time.
    """
    readers: list[_Reader] = []
    try:
        for _ in range(cores()):
            readers.append(_Reader())  # noqa: PERF401  # the first is to be closed if the second fails
        given = zip(cycle(readers), batches, strict=False)
        under_way: deque[_Reader] = deque()
        for reader, batch in islice(given, AHEAD * len(readers)):
            reader.give(batch)
            under_way.append(reader)
        while under_way:
            read = under_way.popleft().taken()
            for reader, batch in islice(given, 1):
                reader.give(batch)
                under_way.append(reader)
            yield read
    finally:
        for reader in readers:
            reader.close()


class _Reader:
    """Another process that reads what it is given, and ends when nobody is left to give.

    Neither a copy of this one, for a copy of a program with threads may find a lock that nobody
    will open, nor reached by Ctrl-C at the terminal, which is for the one who asked.
    """

    def __init__(self) -> None:
        here = str(Path(benchtui.__file__).parent.parent)
        # -P: nothing that lies in the folder one happens to be in is ever run.
        command = [sys.executable, "-P", "-c", f"from {__name__} import serve; serve()"]
        path = os.pathsep.join([here, *filter(None, [os.environ.get("PYTHONPATH")])])
        self._process = subprocess.Popen(  # noqa: S603  # our own program
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path},
            start_new_session=True,
        )

    def give(self, batch: Batch) -> None:
        """Have these files read; ``taken`` gives what came of them."""
        assert self._process.stdin is not None
        pickle.dump(batch, self._process.stdin)
        self._process.stdin.flush()

    def taken(self) -> list[Read]:
        """What came of the earliest batch that was not taken yet."""
        assert self._process.stdout is not None
        read: list[Read] = pickle.load(self._process.stdout)  # noqa: S301  # our own process
        return read

    def close(self) -> None:
        """End it, whatever it is at."""
        self._process.kill()
        self._process.communicate()


def serve() -> None:
    """What the other process does."""
    gc.set_threshold(GARBAGE)
    while True:
        try:
            batch = pickle.load(sys.stdin.buffer)  # noqa: S301  # our own process
        except EOFError:  # the one who asked is gone
            return
        pickle.dump(read_each(batch), sys.stdout.buffer)
        sys.stdout.buffer.flush()


def _cut(entries: Batch) -> Iterator[Batch]:
    for start in range(0, len(entries), AT_ONCE):
        yield entries[start : start + AT_ONCE]


def _engine(entry: Entry) -> str:
    """The engine as the id tells it; "" where a file is named otherwise. Only an order comes of it."""
    found = _ID.fullmatch(entry.stem)
    return found[1] if found else ""
