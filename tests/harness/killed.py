"""The program is killed while it writes; each answer that it confirmed must be there.

First a bench with no screen, then the program on a terminal, with somebody at its keys: what its screen
has said is noted is held against the file.
"""

from __future__ import annotations

import random
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from benchtui.domain.session.facts.events import ReadingTaken
from benchtui.domain.session.steps.fold import fold
from benchtui.store.journal import Recorded, read_session
from tests.harness import Outcome
from tests.harness.folders import SCRIPT

if TYPE_CHECKING:
    from tests.harness.terminal import Terminal

LONGEST = 60

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


NOTED = re.compile(r"Noted: (\S+) (\S+) (free|drags|refuses)\.")
"""How the bench says that an answer is stored. Told apart from other notes by the answer at its end."""

KEYS = (
    b"s",
    b"d",
    b"f",
    b"j",
    b"k",
    b"l",
    b"\x1b[A",
    b"\x1b[B",
    b"\x1b[C",
    b"\x1b[D",
    b" ",
    b"\x7f",
)
"""The six answers, the blade and the valve with the arrows, on, and undo."""

KILLS = 1_000

WEIGHTS = (3, 3, 3, 3, 3, 3, 4, 4, 2, 2, 2, 1)


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    if not hasattr(signal, "SIGKILL"):
        return
    yield _without_screen(folder / "plain", draw, long)
    yield _at_the_screen(folder / "screen", draw, long)


def _without_screen(folder: Path, draw: random.Random, long: bool) -> Outcome:
    lost = silent = raised = 0
    tries = KILLS if long else 3
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
    return Outcome("killed, no screen", tries, lost=lost, silent=silent, raised=raised)


def _at_the_screen(folder: Path, draw: random.Random, long: bool) -> Outcome:
    begun = left_at_the_bench(folder / "begun")
    lost = silent = raised = entries = 0
    tries = KILLS if long else 1
    for number in range(tries):
        data = folder / str(number)
        shutil.copytree(begun, data)
        terminal = bench(data, warm=long)
        noted = []
        wait = draw.uniform(0.1, 2.5)
        while wait > 0:
            terminal.keys(draw.choices(KEYS, WEIGHTS)[0])
            between = draw.uniform(0.015, 0.06)
            terminal.read(between)
            wait -= between
            noted += [found for row in terminal.rows() for found in NOTED.findall(row)]
        terminal.signal(signal.SIGKILL)
        raised += terminal.ended() != -signal.SIGKILL or b"Traceback" in terminal.out
        noted += [found for row in terminal.rows() for found in NOTED.findall(row)]
        terminal.close()
        files = [read_session(path) for path in (data / "sessions").glob("*.session")]
        recorded = max(
            files, key=lambda f: len(f.events)
        )  # a copied folder goes on in a file of its own
        kept = _answers(recorded)
        lost += len(set(noted) - kept)
        entries += len(set(noted))
        silent += any(f.damage for f in files) or not fold(recorded.events)
        shutil.rmtree(data)
    harm = f"killed at the screen ({entries} answers it had noted)"
    return Outcome(harm, tries, lost=lost, silent=silent, raised=raised)


def _answers(recorded: Recorded) -> set[tuple[str, str, str]]:
    facts = [e.fact for e in recorded.events if isinstance(e.fact, ReadingTaken)]
    told = {"free": "free", "drag": "drags", "refuses": "refuses"}
    return {(f.valve, f.feeler.bare, told[f.answer.value]) for f in facts}


def left_at_the_bench(data: Path) -> Path:
    """A data folder with a check that was left at the bench, its cautions read."""
    data.mkdir(parents=True)
    script = data / "script.txt"
    script.write_text(SCRIPT.partition("1I 0.10")[0])  # left after the first blade
    command = [
        sys.executable,
        "-m",
        "benchtui",
        "--data",
        str(data),
        "replay",
        str(script),
        "--keep",
    ]
    subprocess.run(command, check=True, capture_output=True)
    terminal = resumed(data)
    assert terminal.read(LONGEST, lambda: terminal.shows("4 to tick")), terminal.rows()
    for left in (3, 2, 1, 0):
        terminal.keys(b" ")
        word = f"{left} to tick" if left else "all ticked"
        terminal.read(5, lambda word=word: terminal.shows(word))  # type: ignore[misc]
    terminal.keys(b"\r")
    assert terminal.read(LONGEST, lambda: terminal.shows(" Bench ")), terminal.rows()
    terminal.signal(signal.SIGKILL)
    terminal.ended()
    terminal.close()
    return data


def resumed(data: Path, *, warm: bool = False) -> Terminal:
    """The program, going on with the check, the crank where it was."""
    from benchtui.cli import main
    from tests.harness.terminal import Terminal

    terminal = Terminal(["-m", "benchtui"], data, (lambda: main([])) if warm else None)
    assert terminal.read(LONGEST, lambda: terminal.shows("not closed")), terminal.rows()
    terminal.keys(b"\r")
    assert terminal.read(LONGEST, lambda: terminal.shows("Has the crank moved")), terminal.rows()
    terminal.keys(b"1")
    return terminal


def bench(data: Path, *, warm: bool = False) -> Terminal:
    """The same, at the bench."""
    terminal = resumed(data, warm=warm)
    assert terminal.read(LONGEST, lambda: terminal.shows(" Bench ")), terminal.rows()
    return terminal
