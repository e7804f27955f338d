"""Start, key to repaint, and memory, as ratios to a bare program of the same library.

    python -m tests.benchmarks.start [--runs 15] [--data DIR]

Both are measured in the same run, turn and turn about, on a terminal of 120 x 40.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Evidence, Particulars
from benchtui.store.clock import wall_clock
from benchtui.store.library import text_of_file, write_text
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.workshop import Workshop
from tests.benchmarks.bare_app import ENGINES
from tests.benchmarks.terminal import PYTHON, Watched, environment, without_numpy

BARE = Path(__file__).with_name("bare_app.py")
START, KEY, MEMORY = 1.4, 2.0, 1.5
ENGINE = "harbour-van"
TITLE = "Harbour van"
KEYS = 20


def bare_complete(lines: Sequence[str]) -> bool:
    """Every engine and the footer."""
    text = "\n".join(lines)
    return all(name in text for name in ENGINES) and "Quit" in lines[-1]


def ours_complete(names: Sequence[str]) -> object:
    """Every engine by name and the footer's keys."""

    def complete(lines: Sequence[str]) -> bool:
        text = "\n".join(lines)
        return all(name in text for name in names) and "Help" in "".join(lines[-3:])

    return complete


def prepare(folder: Path) -> Workshop:
    """A session in progress, with its position confirmed."""
    data = DataFolder(folder)
    write_text(data.sheets / f"{ENGINE}.toml", text_of_file(shipped_specs() / f"{ENGINE}.toml"))
    shop = Workshop(data, wall_clock)
    opened = shop.opening(
        shop.engines.sheet(ENGINE), "fine-metric", Particulars(metal_c=Fraction(19))
    )
    live = shop.open_sessions.open(opened)
    live.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    live.release()
    return shop


def ours(folder: Path) -> list[str]:
    """Our program on this folder."""
    return [PYTHON, "-m", "benchtui", "--data", str(folder)]


def to_the_bench(program: Watched) -> None:
    """From the engines to the bench of the session in progress."""
    for _ in range(12):
        program.press("\x1b[A", 0.2)
    lines = program.screen.display
    rows = [k for k, line in enumerate(lines) if line.strip()]
    here = next(k for k in rows if TITLE in lines[k])
    heading = next(k for k in rows if "Last check" in lines[k])
    for _ in range(here - heading - 1):
        program.press("\x1b[B", 0.2)
    program.press("\r", 0.4)
    program.press("1", 0.5)
    for _ in range(8):  # by way of the page before the work, every caution ticked
        lines = program.screen.display
        if any("to tick" in line for line in lines[:3]):
            program.press(" ", 0.4)
        elif any("Go on" in line for line in lines[-3:]):
            program.press("\r", 0.4)
    if not any("■ refuses" in line for line in program.screen.display):
        raise RuntimeError("\n".join(program.screen.display))


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--runs", type=int, default=15)
    parser.add_argument("--data", type=Path, help="a data folder to open instead of a new one")
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = wanted.data or Path(made)
        shop = prepare(Path(made))
        env = environment(PYTHONPATH=without_numpy(Path(made) / "python"))
        names = [TITLE] if wanted.data is None else [name for _, name in shop.titles()][:7]
        starts: dict[str, list[float]] = {"bare": [], "ours": []}
        peaks: dict[str, list[int]] = {"bare": [], "ours": []}
        for _ in range(wanted.runs):
            for name, took in starts.items():
                argv = [PYTHON, str(BARE)] if name == "bare" else ours(folder)
                complete = bare_complete if name == "bare" else ours_complete(names)
                program = Watched(argv, env)
                try:
                    took.append(program.until(complete))  # type: ignore[arg-type]
                    peaks[name].append(program.peak_kb())
                finally:
                    program.end()
        keys: dict[str, list[float]] = {"bare": [], "ours": []}
        bench = Watched(ours(Path(made)), env)
        bare = Watched([PYTHON, str(BARE)], env)
        try:
            bench.until(ours_complete(names))  # type: ignore[arg-type]
            bare.until(bare_complete)
            to_the_bench(bench)
            for k in range(KEYS):
                keys["bare"].append(bare.press("f", 0.15))
                key = ("f", "\x7f", "s", "\x7f", "d", "\x7f")[k % 6]  # a reading, taken back, ...
                keys["ours"].append(bench.press(key, 0.25))
            bench_peak = bench.peak_kb()
        finally:
            bench.end()
            bare.end()
    show("exec to first full picture, ms", starts, 1000, START)
    show("key to the end of its repaint, ms (ours with its fsync)", keys, 1000, KEY)
    show("peak memory, MB", {k: [float(p) for p in v] for k, v in peaks.items()}, 1 / 1024, MEMORY)
    print(f"peak memory at the bench: {bench_peak / 1024:.1f} MB")


def show(what: str, both: dict[str, list[float]], scale: float, goal: float) -> None:
    """Medians and their ratio."""
    bare, mine = (statistics.median(both[k]) * scale for k in ("bare", "ours"))
    print(f"{what}: bare {bare:.1f}, ours {mine:.1f}, ratio {mine / bare:.2f} (goal {goal})")


if __name__ == "__main__":
    main()
