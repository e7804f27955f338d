"""Every key of every working screen, on engines of each kind, both units: no crash, and none is dead."""

from __future__ import annotations

from fractions import Fraction
from itertools import count
from pathlib import Path

import pytest
from textual.pilot import Pilot

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Particulars, ReadingTaken
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.tui import keys
from benchtui.tui.app import BenchApp
from benchtui.tui.routes import NAMES
from benchtui.workshop import LiveSession, Workshop
from tests.tui.kept_sessions import own_the_examples, seen

LOOKS = {"o"}
"""Changes the colours alone."""

ENGINES = (
    ("quay-pump", "fine-metric"),
    ("harbour-van", "coarse-metric"),
    ("ferry-tender", "hundredths"),
    ("mole-crane", "hundredths"),
    ("dredge-lift", "workshop-inch"),
    ("slip-winch", "workshop-inch"),
)
READ = ((), (("0.50", Answer.FREE), ("0.50", Answer.FREE)), (("0.03", Answer.REFUSES),))


def begun(
    shop: Workshop, engine: str, blades: str, read: tuple[tuple[str, Answer], ...]
) -> LiveSession:
    """A session at its first stop, its first valve read so far."""
    told = Particulars(metal_c=Fraction(19), hours=Fraction(100))
    live = shop.open_sessions.open(shop.opening(shop.engines.sheet(engine), blades, told))
    step = next_step(live.bench.state)
    assert isinstance(step, k.ConfirmCrank)
    live.bench.do(ConfirmPosition(step.stop.cylinder, step.signs[:2], step.stop.angle))
    valve = next_step(live.bench.state).valve
    assert valve is not None
    for size, answer in read:
        feeler = live.bench.state.opened.blades.feeler(Length.mm(size))
        live.bench.do(ReadingTaken(valve, feeler, answer))
    return live


async def settle(app: BenchApp, pilot: Pilot[int]) -> None:
    await pilot.pause()
    while any(not worker.is_finished for worker in app.workers):
        await app.workers.wait_for_complete()
        await pilot.pause()


@pytest.mark.long
@pytest.mark.parametrize("read", READ, ids=["unread", "far out", "nothing goes"])
@pytest.mark.parametrize(("engine", "blades"), ENGINES)
async def test_each_key_of_a_working_screen_does_something_or_says_why_not(
    tmp_path: Path, engine: str, blades: str, read: tuple[tuple[str, Answer], ...]
) -> None:
    """Pressed one after the other on one session, so that each finds what the others have left."""
    shop = Workshop(DataFolder(own_the_examples(tmp_path / "data")), wall_clock)
    seconds = count(step=10)
    app = BenchApp(shop, clock=lambda: float(next(seconds)))
    silent = []
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        live = begun(shop, engine, blades, read)
        app.begin(live)
        await settle(app, pilot)
        pressed = [(name, c.keys[0]) for name in NAMES for c in keys.commands_for(name) if c.keys]
        for name, key in pressed:
            if app.live is None:  # it was left, or filed, by the key before
                break
            app.open(name, next(iter(live.bench.state.valves)))
            await settle(app, pilot)
            here, before, steps = app.screen, seen(app), len(live.bench.events)
            await pilot.press(key)
            await settle(app, pilot)
            same = app.screen is here and seen(app) == before and len(live.bench.events) == steps
            if same and key not in LOOKS:
                silent.append((name, key))
            while app.screen is not here and len(app.screen_stack) > 1:  # home
                app.pop_screen()
                await settle(app, pilot)
    assert not silent


@pytest.mark.parametrize("rows", [19, 20, 24])
async def test_no_caution_at_the_crank_gives_way_to_a_low_terminal(
    tmp_path: Path, rows: int
) -> None:
    """Down to 20 rows each stands whole; below, the screen says only that it is too small."""
    shop = Workshop(DataFolder(own_the_examples(tmp_path / "data")), wall_clock)
    app = BenchApp(shop)
    async with app.run_test(size=(80, rows)) as pilot:
        await settle(app, pilot)
        app.begin(begun(shop, "harbour-van", "coarse-metric", ()))
        app.open("crank", "1I")
        await settle(app, pilot)
        shown = " ".join(seen(app).split())
    cautions = ("by hand and forward only", "Do not turn back", "rocks there: leave it alone")
    assert ("too small" in shown) is (rows < 20)  # as above
    assert all(caution in shown for caution in cautions) is (rows >= 20)  # as above
