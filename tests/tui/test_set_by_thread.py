"""A valve over a dished pad, by keys: Enter at BACK notes so many degrees and the lock, no less."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from benchtui.domain.session.facts.events import Locked, WoundBack
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.setting import SettingScreen
from tests.tui.kept_sessions import keep, own_the_examples, press, program, seen

FOUND = (
    "sheet quay-pump\nblades fine-metric\ndate 2026-01-10\nmetal 19 C\nposition 1 mark slack\n"
    "1E 0.08 refuses\n1E 0.06 free\n1E 0.08 refuses\n"
    "1E pad 72\n1E 0.08 free\n1E 0.10 refuses\n"
)


async def test_enter_at_back_notes_the_degrees_and_the_lock(tmp_path: Path) -> None:
    keep(own_the_examples(tmp_path), FOUND)
    async with program(tmp_path) as (app, pilot):
        app.screen.select("quay-pump")  # type: ignore[attr-defined]  # the engines
        await press(app, pilot, "enter", "1")
        while not isinstance(app.screen, BenchScreen):
            await press(app, pilot, "space", "space", "space", "space", "enter")
        assert "Wind to nothing, back 48, lock." in " ".join(seen(app).split())
        await press(app, pilot, "enter")
        assert isinstance(app.screen, SettingScreen)
        await press(app, pilot, "enter")
        assert app.live is not None
        wound, locked = (event.fact for event in app.live.bench.events[-2:])
        assert wound == WoundBack("1E", Fraction(48))
        assert isinstance(locked, Locked)
        text = " ".join(seen(app).split())
        assert "by thread" in text
        assert "measure it again" not in text
