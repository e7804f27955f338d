"""A warm engine is begun all the same, at the second Enter: readings are kept and do not count."""

from __future__ import annotations

from pathlib import Path

from benchtui.tui.screens.before import BeforeScreen
from tests.tui.kept_sessions import keep, own_the_examples, press, program, seen

WARM = (
    "sheet quay-pump\nblades fine-metric\ndate 2026-01-10\nmetal 62 C\n"
    "position 1 mark slack\n1E 0.08 free\n"
)


async def test_the_second_enter_goes_on_and_the_first_says_what_it_means(tmp_path: Path) -> None:
    keep(own_the_examples(tmp_path), WARM)
    async with program(tmp_path) as (app, pilot):
        app.screen.select("quay-pump")  # type: ignore[attr-defined]  # the engines
        await press(app, pilot, "enter", "1")
        assert isinstance(app.screen, BeforeScreen)
        app.screen.select(app.screen._cold_row)
        await press(app, pilot, "space")
        assert "Not by what is recorded" in seen(app)
        await press(app, pilot, "down", "space", "space", "space", "enter")
        assert "No reading will count. Enter again goes on." in " ".join(seen(app).split())
        await press(app, pilot, "enter")
        assert not isinstance(app.screen, BeforeScreen)
