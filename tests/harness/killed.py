"""The program is killed while it writes; each answer that it confirmed must be there."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from benchtui.store.journal import read_session
from tests.harness import Outcome

WRITER = """
import sys
from pathlib import Path
from tests.harness.bench_of import begun, say
_, bench = begun(Path(sys.argv[1]))
print("0", flush=True)
for number in range(1, 10_000):
    say(bench, "n" * (number % 300))
    print(number, flush=True)
"""


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if not hasattr(signal, "SIGKILL"):
        return
    lost = silent = raised = 0
    tries = 1_000 if long else 3
    for number in range(tries):
        data = folder / str(number)
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(data)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            told = [writer.stdout.readline() for _ in range(draw.randint(0, 60))]
            writer.kill()  # with none told, it is killed at the opening or before
            told += writer.stdout.read().splitlines()
        raised += writer.returncode != -signal.SIGKILL  # it never ends by itself
        files = list((data / "sessions").glob("*.session"))
        whole = [t for t in told if t.strip().isdigit()]
        if whole:
            read = read_session(files[0])
            lost += max(0, int(whole[-1]) + 1 - len(read.events))
            silent += read.damage is not None
        else:
            silent += any(not read_session(f).events for f in files)
    yield Outcome("killed", tries, lost=lost, silent=silent, raised=raised)
