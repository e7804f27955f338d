"""The session's file is replaced, removed, written over or moved away while somebody is at the bench."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

from benchtui.domain.errors import NotKept
from benchtui.store.file_journal import FileJournal
from tests.harness import Outcome
from tests.harness.bench_of import begun, kept, say


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    for harm in (removed, replaced, written_over, written_on, moved):
        tries, lost, silent = 200 if long else 6, 0, 0
        for number in range(tries):
            data = folder / harm.__name__ / str(number)
            missing, unsaid = _once(data, draw, harm)
            lost, silent = lost + missing, silent + unsaid
        yield Outcome(harm.__name__.replace("_", " "), tries, lost=lost, silent=silent)


def _once(
    data: Path, draw: random.Random, harm: Callable[[FileJournal, random.Random], None]
) -> tuple[int, int]:
    journal, bench = begun(data)
    confirmed = set()
    when, count = draw.randint(1, 7), draw.randint(8, 12)
    said = 0
    for number in range(count):
        if number == when:
            harm(journal, draw)
        try:
            say(bench, f"note {number}")
        except NotKept:
            said += 1
            say(bench, f"note {number}")  # the next key tries again
        confirmed.add(f"note {number}")
    harm(journal, draw)  # and once more, with no key after it
    said += bool(journal.close())
    return len(confirmed - kept(data)), 2 - said


def removed(journal: FileJournal, _: random.Random) -> None:
    journal.path.unlink()


def _older(path: Path, draw: random.Random) -> bytes:
    lines = path.read_bytes().splitlines(keepends=True)
    return b"".join(lines[: draw.randrange(len(lines))])


def replaced(journal: FileJournal, draw: random.Random) -> None:
    other = journal.path.with_name(".coming-in")
    other.write_bytes(_older(journal.path, draw))
    other.replace(journal.path)


def written_over(journal: FileJournal, draw: random.Random) -> None:
    journal.path.write_bytes(_older(journal.path, draw))


def written_on(journal: FileJournal, draw: random.Random) -> None:
    with journal.path.open("ab") as file:
        file.write(draw.randbytes(draw.randint(1, 90)))


def moved(journal: FileJournal, draw: random.Random) -> None:
    folder = journal.path.parent
    folder.rename(folder.with_name(f"elsewhere-{draw.random()}"))
