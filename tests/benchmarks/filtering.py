"""A key in the filter of the stored sessions to its repaint: ten thousand in the list against ten.

python -m tests.benchmarks.filtering [--runs 5]
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import tempfile
import time
from contextlib import redirect_stdout
from dataclasses import replace
from io import StringIO
from pathlib import Path

from textual.widgets import Input

from benchtui.tui.present_rows import listed
from benchtui.tui.screens.sessions import SessionsScreen
from tests.tui.kept_sessions import press, program, pump_years, settled

FEW, MANY = 10, 10_000
GOAL = 5
"""An added aim of our own: five times a short list still answers within a key press."""


async def keys(folder: Path, count: int, runs: int) -> float:
    """The median time of a key in the filter over so many sessions, in milliseconds."""
    async with program(folder) as (app, pilot):
        await press(app, pilot, "p")
        screen = app.screen
        assert isinstance(screen, SessionsScreen)
        row = app.workshop.past_sessions.rows()[0]
        screen._take(
            listed(
                replace(row, session=f"s{i}", who=("M.", "Asta", "J.")[i % 3]) for i in range(count)
            )
        )
        await settled(app, pilot)
        line = screen.query_one(Input)
        line.focus()
        took = []
        for word in ("a", "as", "ast", "asta", "") * runs:
            began = time.perf_counter()
            line.value = word
            await pilot.pause()
            took.append(time.perf_counter() - began)
        return statistics.median(took) * 1000


def main() -> None:
    """Measure both, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--runs", type=int, default=5)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as made:
        with redirect_stdout(StringIO()):  # what the stored sessions have to say as they are played
            folder = pump_years(Path(made) / "data")
        few, many = (asyncio.run(keys(folder, count, runs)) for count in (FEW, MANY))
    print(f"a key in the filter: {many:.1f} ms over {MANY} sessions, {few:.1f} ms over {FEW}")
    print(f"ratio {many / few:.2f} (goal {GOAL})")


if __name__ == "__main__":
    main()
