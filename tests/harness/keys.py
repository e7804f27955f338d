"""Anybody at the keys, on every kind of engine: no traceback, and the state is what the file says.

The keys are drawn from those that the screen in front binds, now and then a few at once, as after a
stalled line, and now and then whatever a hand falls on.
"""

from __future__ import annotations

import asyncio
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from textual import events

from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.session.steps.fold import fold
from benchtui.store.clock import wall_clock
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.tui.app import BenchApp
from benchtui.workshop import Workshop
from tests.harness import Outcome

_TYPED = {"space": " ", "enter": "\r", "escape": "\x1b", "tab": "\t", "backspace": "\x7f"}

PRESSES = 15_000
SHORT = 40
LEAVES = frozenset({"ctrl+q", "q"})
"""They end the program, or may; what is tried here is what goes on."""

ANY = [
    *"0123456789abcdefghijklmnopqrstuvwxyz.,/?-",
    "enter",
    "escape",
    "backspace",
    "tab",
    "up",
    "f1",
]


@dataclass(slots=True)
class Walk:
    """How many presses, how often the state was another than the file's, how many tracebacks."""

    pressed: int = 0
    silent: int = 0
    raised: int = 0
    latest: list[str] = field(default_factory=list)


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    engines = sorted(path.stem for path in shipped_specs().glob("*.toml"))
    for engine in engines if long else ("quay-pump",):
        walk, most = Walk(), PRESSES if long else SHORT
        while walk.pressed < most and walk.raised < 5:
            data = DataFolder(folder / f"{engine}-{walk.pressed}")
            try:
                asyncio.run(_walk(data, engine, draw, walk, min(300, most - walk.pressed)))
            except Exception as error:  # noqa: BLE001  # that is what is looked for
                walk.raised += 1
                told = f"{type(error).__name__} {error}"
                print(f"{engine}: {told} after {walk.latest[-40:]}", file=sys.stderr)
        yield Outcome(
            f"random keys: {engine}", walk.pressed, silent=walk.silent, raised=walk.raised
        )


async def _walk(data: DataFolder, engine: str, draw: random.Random, walk: Walk, most: int) -> None:
    """So many presses, beginning at the bench, wherever they lead."""
    shop = Workshop(data, wall_clock)
    sheet = shop.engines.sheet(engine)
    ticks = count(step=0.5)
    app = BenchApp(shop, clock=lambda: float(next(ticks)))  # nobody's glove strikes twice
    walk.latest.clear()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        if sheet.adjuster.set_by.measured:
            blades = shop.reviews.usual_blades(sheet) or "fine-metric"
            app.begin(shop.open_sessions.open(shop.opening(sheet, blades, Particulars())))
        for _ in range(most):
            await pilot.pause()
            if not app.is_running:
                break
            keys = draw.choices(_offered(app, draw), k=draw.choice((1, 1, 1, 1, 2, 3)))
            walk.latest += keys
            walk.pressed += len(keys)
            for key in keys:
                app.post_message(events.Key(key, _TYPED.get(key, key if len(key) == 1 else None)))
            await pilot.pause()
            live = app.live
            if live is not None and not live.read_only and not live.mark:
                kept = read_session(data.sessions / f"{live.session}.session")
                walk.silent += fold(kept.events) != live.bench.state
        app.let_go()


def _offered(app: BenchApp, draw: random.Random) -> list[str]:
    if draw.random() < 0.15:
        return [key for key in ANY if key not in LEAVES]
    return [key for key in app.screen.active_bindings if key not in LEAVES] or ["escape"]
