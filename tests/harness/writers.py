"""Several programs want to write one session: one does, the others are told, nothing is mixed."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome
from tests.harness.bench_of import begun, kept

WRITER = """
import sys
import time
from pathlib import Path
from benchtui.bench import Bench
from benchtui.store.journal import SessionBusy
from benchtui.store.file_journal import FileJournal
from tests.harness.bench_of import AT, say
folder, name, wanted = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
done = 0
while done < wanted:
    try:
        journal, recorded = FileJournal.resume(folder / "sessions" / "one.session")
    except SessionBusy:
        time.sleep(0.01)
        continue
    bench = Bench(journal, lambda: AT, recorded.events)
    for _ in range(min(10, wanted - done)):
        say(bench, f"{name} {done}")
        done += 1
    journal.close()
"""


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    del draw
    for count in (2, 4):
        data = folder / str(count)
        begun(data)[0].close()
        each = (5_000 if long else 24) // count
        running = [
            subprocess.Popen([sys.executable, "-c", WRITER, str(data), str(n), str(each)])
            for n in range(count)
        ]
        raised = sum(writer.wait() != 0 for writer in running)
        told = {f"{n} {k}" for n in range(count) for k in range(each)}
        yield Outcome(f"{count} writers", count * each, len(told - kept(data)), raised=raised)
