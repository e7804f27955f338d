"""With the cams out no key leads to the crank, and whoever comes back is told so first."""

from __future__ import annotations

from pathlib import Path

from benchtui.tui.screens.bench import BenchScreen
from tests.tui.kept_sessions import keep, own_the_examples, press, program, seen

OUT = (
    "sheet ferry-tender\nblades fine-metric\ndate 2026-01-10\nmetal 20 C\n"
    "position 1 mark lobes\n1I-left 0.28 free\n1I-left 0.30 refuses\n1I-left 0.28 free\ncams out\n"
)


async def test_c_is_refused_and_the_engines_say_it_in_capitals(tmp_path: Path) -> None:
    keep(own_the_examples(tmp_path), OUT)
    async with program(tmp_path) as (app, pilot):
        text = seen(app)
        assert "CAMS OUT" in text
        assert "turn no crank" in " ".join(text.split())
        app.screen.select("ferry-tender")  # type: ignore[attr-defined]  # the engines
        await press(app, pilot, "enter", "1")
        while not isinstance(app.screen, BenchScreen):
            await press(app, pilot, "space", "space", "space", "enter")
        await press(app, pilot, "c")
        assert isinstance(app.screen, BenchScreen)
        told = " ".join(seen(app).split())
        assert "The cams are out: the crank is not turned." in told
        assert "First: timing marks" in told
