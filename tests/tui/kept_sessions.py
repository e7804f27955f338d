"""Data folders filled by playing written-down sessions, as an owner's fill up over the years."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from functools import cache
from itertools import count
from pathlib import Path

from textual.pilot import Pilot

from benchtui.cli import main
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.home import HomeScreen
from benchtui.workshop import Workshop

SIZE = (80, 24)
NOW = datetime(2026, 1, 10, 9, 0, tzinfo=UTC)

_SCRIPT = """sheet quay-pump
blades fine-metric
date {day}
odometer {km} km
metal 19 C
who {who}
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
{exhaust}
torque rocker cover bolts
torque adjuster locknuts
close
"""

SET_TO_RANGE = """1E 0.08 refuses
1E 0.06 drag
1E 0.05 refuses
1E strike 0.05
1E 0.07 refuses
1E turn out 18
1E lock
1E 0.10 drag
1E 0.12 refuses
note the pad of 1E looks dished"""

# 1E closes up by 0.01 in 4 000 km, is set in November 2024, and goes on so.
_YEARS = (
    ("2023-05-02", 2000, "M.", "1E 0.10 free\n1E 0.12 refuses"),
    ("2023-11-04", 6000, "M.", "1E 0.09 drag\n1E 0.10 refuses"),
    ("2024-05-11", 10000, "Asta", "1E 0.08 drag\n1E 0.09 refuses"),
    ("2024-11-09", 14000, "M.", SET_TO_RANGE),
    ("2025-05-10", 18000, "M.", "1E 0.09 drag\n1E 0.10 refuses"),
    ("2025-11-08", 22000, "Asta", "1E 0.08 drag\n1E 0.09 refuses"),
)


def keep(folder: Path, text: str) -> None:
    """Play one written-down session and file it."""
    script = folder / "script.txt"
    folder.mkdir(parents=True, exist_ok=True)
    script.write_text(text, encoding="utf-8")
    assert main(["--data", str(folder), "replay", str(script), "--keep"]) == 0


def own_the_examples(folder: Path) -> Path:
    """A data folder in which the shipped engines are the owner's own."""
    (folder / "sheets").mkdir(parents=True, exist_ok=True)
    for path in shipped_specs().glob("*.toml"):
        shutil.copy(path, folder / "sheets")
    return folder


@cache
def _once(fill: Callable[[Path], None]) -> Path:
    """A folder filled once a process; each test has a copy of it, which takes a hundredth of the time."""
    kept = Path(tempfile.mkdtemp(prefix="benchtui-kept-"))
    atexit.register(shutil.rmtree, kept, ignore_errors=True)
    fill(kept / "data")
    return kept / "data"


def _fill_pump_years(folder: Path) -> None:
    for day, km, who, exhaust in _YEARS:
        keep(folder, _SCRIPT.format(day=day, km=km, who=who, exhaust=exhaust))


def pump_years(folder: Path) -> Path:
    """Six checks of the quay's pump."""
    return shutil.copytree(_once(_fill_pump_years), folder)


def _fill_pump_years_and_van_evening(folder: Path) -> None:
    _fill_pump_years(folder)
    keep(
        folder,
        "sheet harbour-van\nblades coarse-metric\ndate 2025-12-01\nodometer 70110 km\nmetal 9 C\n"
        "who J.\nposition 1 mark slack\n1E 0.25 refuses\n1E 0.20 free\nnote too dark\nclose\n",
    )


def pump_years_and_van_evening(folder: Path) -> Path:
    """The pump's six checks, and a partial session of the van: one valve, then it was too dark."""
    return shutil.copytree(_once(_fill_pump_years_and_van_evening), folder)


def session_of(folder: Path, day: str) -> str:
    """The id of the session of a day (20241109)."""
    return next(p.stem for p in (folder / "sessions").glob(f"{day}*"))


@asynccontextmanager
async def program(
    folder: Path, size: tuple[int, int] = SIZE
) -> AsyncIterator[tuple[BenchApp, Pilot[int]]]:
    """The program on a data folder, ready for keys."""
    seconds = count(step=10)  # no key of a test is a double press
    app = BenchApp(Workshop(DataFolder(folder), lambda: NOW), lambda: float(next(seconds)))
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        yield app, pilot


async def settled(app: BenchApp, pilot: Pilot[int]) -> None:
    """Wait until whatever is loaded beside the screen has arrived."""
    await pilot.pause()
    if isinstance(app.screen, HomeScreen):  # it begins to read a moment after its first picture
        while not app.screen._loaded:
            await pilot.pause(0.01)
    while any(not worker.is_finished for worker in app.workers):
        await app.workers.wait_for_complete()
        await pilot.pause()


async def press(app: BenchApp, pilot: Pilot[int], *keys: str) -> None:
    """Press keys, and let what they start come to its end."""
    for key in keys:
        await pilot.press(key)
    await settled(app, pilot)


def seen(app: BenchApp) -> str:
    """The screen as lines of text."""
    width, height = app.size
    lines = app.screen._compositor.render_strips()  # no public way to the characters
    return "\n".join("".join(s.text for s in line)[:width] for line in lines[:height])
