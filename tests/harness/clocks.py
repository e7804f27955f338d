"""The clock jumps at any moment: the order of what was told stays, and no file gets older."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from benchtui.domain.session.steps.fold import fold
from benchtui.store.journal import read_session
from tests.harness import Outcome
from tests.harness.bench_of import AT, begun, say


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    tries = 500 if long else 10
    lost = silent = 0
    for number in range(tries):
        now = [AT]
        journal, bench = begun(folder / str(number), lambda now=now: now[0])  # type: ignore[misc]
        times = [journal.path.stat().st_mtime_ns]
        for step in range(8):
            now[0] += timedelta(seconds=draw.choice((1, -7_200, 86_400 * 365 * 40, -86_400 * 3)))
            jump = times[-1] + draw.choice((0, 3_600 * 10**9))
            os.utime(journal.path, ns=(jump, jump))  # as it is where the clock has been ahead
            journal._changed_ns = jump
            say(bench, f"note {step}")
            silent += journal.path.stat().st_mtime_ns <= times[-1]
            times.append(journal.path.stat().st_mtime_ns)
        journal.close()
        notes = [n.text for n in fold(read_session(journal.path).events).notes]
        lost += notes != [f"note {step}" for step in range(8)]
    yield Outcome("jumps of the clock", tries * 8, lost=lost, silent=silent)
