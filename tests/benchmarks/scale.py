"""A workshop with ten thousand stored sessions on forty engines, made by the simulated bench.

python -m tests.benchmarks.scale [--sessions 10000] [--runs 7]
"""

from __future__ import annotations

import argparse
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random

from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.session.facts.events import Event, Opened, Particulars
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.metal import FURTHEST, Metal, drawn
from benchtui.store.clock import wall_clock
from benchtui.store.codec import encoded
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.workshop import Workshop
from tests.benchmarks.start import ours, ours_complete
from tests.benchmarks.terminal import Watched, environment, without_numpy
from tests.simulation.player import play

KINDS = ("quay-pump", "mole-crane", "dredge-lift")
ENGINES = 40
PLAYED = 5
"""So many different sessions an engine are played; the rest are the same on other days."""


def write_sheets(folder: Path) -> list[str]:
    """Forty engines of three kinds."""
    names = []
    (folder / "sheets").mkdir(parents=True)
    for k in range(ENGINES):
        kind = KINDS[k % len(KINDS)]
        text = (shipped_specs() / f"{kind}.toml").read_text(encoding="utf-8")
        name = f"a{k:02}-{kind}"
        text = "\n".join(
            f'name = "A{k:02} {kind}"' if line.startswith("name =") else line
            for line in text.splitlines()
        )
        (folder / "sheets" / f"{name}.toml").write_text(text, encoding="utf-8")
        names.append(name)
    return names


def write_sessions(shop: Workshop, names: list[str], count: int) -> None:
    """Play some sessions an engine and file them on as many days as are wanted."""
    random = Random(1)
    shop.data.sessions.mkdir(parents=True)
    each = count // len(names)
    for name in names:
        sheet = shop.engines.sheet(name)
        blades = shop.engines.blades("fine-metric")
        bands = {v.name: sheet.clearances.of(v) for v in sheet.layout.valves}
        plays: list[tuple[Event, ...]] = []
        for _ in range(PLAYED):
            gaps = {v: min(FURTHEST, drawn(from_setting(b), random)) for v, b in bands.items()}
            metal = Metal(sheet, blades, STORY_HAND, random, gaps=gaps)
            opened = Opened(
                "x", sheet, "fine-metric", blades, Particulars(metal_c=Fraction(19), who="M.")
            )
            plays.append(play(opened, metal).bench.events)
        for k in range(each):
            began = datetime(2010, 1, 1, 9, tzinfo=UTC) + timedelta(days=20 * k)
            session = f"{began:%Y%m%d-%H%M%S}-{name}-{k:010x}"
            events = []
            for event in plays[k % PLAYED]:
                at, fact = began + timedelta(seconds=10 * event.number), event.fact
                if isinstance(fact, Opened):
                    taken = replace(
                        fact.particulars, odometer_km=Fraction(300 * k), hours=Fraction(10 * k)
                    )
                    fact = replace(fact, session=session, particulars=taken)
                events.append(Event(event.number, at, fact))
            (shop.data.sessions / f"{session}.session").write_bytes(encoded(events))


def timed(what: str, goal: str, do: Callable[[], object], runs: int = 1) -> None:
    """Print the median time of something, and what all its processes worked for it together."""
    took, worked = [], []
    for _ in range(runs):
        began, at_work = time.perf_counter(), _worked()
        do()
        took.append(time.perf_counter() - began)
        worked.append(_worked() - at_work)
    wall, cpu = (statistics.median(each) * 1000 for each in (took, worked))
    print(f"{what}: {wall:.1f} ms (goal {goal}), {cpu:.1f} ms of work", flush=True)


def _worked() -> float:
    """Seconds of processor time, those of processes that have ended among them."""
    return sum(os.times()[:4])


def main() -> None:
    """Make the workshop, measure, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--sessions", type=int, default=10_000)
    parser.add_argument("--runs", type=int, default=7)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        full, empty = Path(made) / "full", Path(made) / "empty"
        for folder in (full, empty):
            names = write_sheets(folder)
        shop = Workshop(DataFolder(full), wall_clock)
        began = time.perf_counter()
        write_sessions(shop, names, wanted.sessions)
        print(f"{wanted.sessions} sessions made in {time.perf_counter() - began:.0f} s", flush=True)

        def fresh() -> Workshop:
            return Workshop(DataFolder(full), wall_clock)

        def rebuilt() -> object:
            return fresh().past_sessions.rows()

        def due_list() -> object:
            return fresh().reviews.shown()

        timed("register rebuilt from the session files", "10 s on two idle cores", rebuilt)
        timed("due list, register on disk", "500 ms", due_list, wanted.runs)
        shop = fresh()
        rows = shop.past_sessions.rows()
        timed("due list again", "500 ms", shop.reviews.shown, wanted.runs)
        middle = rows[len(rows) // 2].session
        timed(
            "a past session opened", "100 ms", lambda: shop.past_sessions.past(middle), wanted.runs
        )
        timed(
            "the full records of one engine",
            "none given",
            lambda: shop.past_sessions.records(names[0]),
            3,
        )

        def store_again() -> None:
            (full / "sessions" / f"{middle}.session").touch()
            shop.past_sessions.store(middle)

        timed("a session stored, its file touched", "100 ms", store_again, wanted.runs)
        timed(
            "rows filtered by a word",
            "50 ms",
            lambda: [r for r in rows if "crane" in f"{r.engine_name} {r.started} {r.who}".lower()],
            wanted.runs,
        )
        env = environment(PYTHONPATH=without_numpy(Path(made) / "python"))
        titles = [name for _, name in shop.titles()][:7]
        starts: dict[str, list[float]] = {"empty": [], "full": []}
        peaks: dict[str, list[int]] = {"empty": [], "full": []}
        for _ in range(wanted.runs):
            for name, folder in (("empty", empty), ("full", full)):
                program = Watched(ours(folder), env)
                try:
                    starts[name].append(program.until(ours_complete(titles)))  # type: ignore[arg-type]
                    time.sleep(2)
                    peaks[name].append(program.peak_kb())
                finally:
                    program.end()
        for what, both, goal in (("first picture", starts, 1.25), ("peak memory", peaks, 2)):
            less, more = (statistics.median(both[k]) for k in ("empty", "full"))
            print(f"{what}: ratio {more / less:.2f} of {less:.4g} (goal {goal})")


if __name__ == "__main__":
    main()
