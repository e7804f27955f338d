"""A screen that is taken away in the moment that it is put up shows no traceback."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from textual.screen import Screen

from benchtui.domain.session.facts.events import Particulars
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.screens.help import HelpScreen
from benchtui.tui.screens.more import MoreScreen
from benchtui.tui.screens.sessions import SessionsScreen
from benchtui.tui.screens.start import StartScreen
from tests.tui.kept_sessions import program, pump_years


@pytest.mark.parametrize("which", range(6))
async def test_put_up_and_taken_away_at_once(tmp_path: Path, which: int) -> None:
    async with program(pump_years(tmp_path / "data")) as (app, pilot):
        made = (
            lambda: MoreScreen("home", []),
            lambda: Ask("?"),
            lambda: Choose("?", {"1": "so"}),
            lambda: HelpScreen("home"),
            SessionsScreen,
            lambda: StartScreen(app.workshop.engines.sheet("quay-pump")),
        )[which]
        before = len(app.screen_stack)
        for _ in range(3):
            screen: Screen[object] = made()  # type: ignore[assignment]
            app.push_screen(screen)
            app.pop_screen()
            await pilot.pause()
        assert len(app.screen_stack) == before


async def test_keys_that_come_after_a_check_was_let_go_do_nothing(tmp_path: Path) -> None:
    async with program(pump_years(tmp_path / "data")) as (app, pilot):
        shop = app.workshop
        opened = shop.opening(
            shop.engines.sheet("quay-pump"), "fine-metric", Particulars(metal_c=Fraction(19))
        )
        app.begin(shop.open_sessions.open(opened))
        await pilot.pause()
        assert app.screen.check_action("undo", ())
        app.let_go()
        assert not app.screen.check_action("undo", ())
        await pilot.press("left", "right", "s", "1", "enter", "space", "backspace")
        await pilot.pause()
        assert app.is_running
        app.to_home()
