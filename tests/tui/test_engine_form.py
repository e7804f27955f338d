"""An engine is added and changed in a form, by keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from benchtui.cli import main
from benchtui.store.paths import DataFolder
from benchtui.tui.screens.engine_form import EngineFormScreen
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.screens.sheet import SheetScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import (
    NOW,
    own_the_examples,
    press,
    program,
    pump_years,
    seen,
    session_of,
)

SPELT = {" ": "space", ".": "full_stop", "-": "minus", ",": "comma", "'": "apostrophe"}


def typed(text: str) -> list[str]:
    return [SPELT.get(c, c) for c in text]


ADDED = [
    *("enter", *typed("Net hauler"), "enter", "1"),
    *("pagedown", *typed("Hauler book"), "enter", *typed("12"), "enter", "enter"),
    *(*typed(".06-.10 mm"), "enter", *typed(".08-.12"), "enter", "enter", *typed("35")),
    *("pagedown", "right", "enter", "enter", *typed("M6x0.75")),
    *("pagedown", "pagedown", *typed("6 months, 100 h")),
    *("pagedown", "space", "space", "space", "space", "space", "enter"),
]


async def test_a_new_engine_by_keys_alone_is_at_hand_for_its_first_check(tmp_path: Path) -> None:
    async with program(tmp_path) as (app, pilot):
        await press(app, pilot, *ADDED)
        assert isinstance(app.screen, HomeScreen)
        assert "Kept: Net hauler. Read twice." in seen(app)
        assert app.screen.selected() == "net-hauler"
        await press(app, pilot, "enter")
        assert isinstance(app.screen, StartScreen)
    sheet = Workshop(DataFolder(tmp_path), lambda: NOW).engines.sheet("net-hauler")
    assert sheet.source.checked
    assert sheet.source.page == "12"
    assert [str(band) for _, _, band in sheet.clearances.printed] == [
        "0.06 to 0.10 mm",
        "0.08 to 0.12 mm",
    ]


async def test_a_missing_must_takes_the_cursor_there_and_writes_nothing(tmp_path: Path) -> None:
    async with program(tmp_path) as (app, pilot):
        await press(app, pilot, "enter", *typed("Net hauler"), *["pagedown"] * 5, "enter")
        assert isinstance(app.screen, EngineFormScreen)
        assert app.screen.focused is app.screen.query_one("#cylinders")
        assert "wanted before the sheet can be kept" in seen(app)
    assert not (tmp_path / "sheets").exists()


async def test_leaving_keeps_what_was_typed_and_a_copy_brings_no_figure(tmp_path: Path) -> None:
    async with program(tmp_path) as (app, pilot):
        await press(app, pilot, "enter", *typed("Net hauler"), "escape")
        assert isinstance(app.screen, HomeScreen)
        await press(app, pilot, "a", "1")
        assert app.screen.query_one("#name", Input).value == "Net hauler"
        await press(app, pilot, "escape", "right", "down", "down", "enter", "1")
        assert isinstance(app.screen, EngineFormScreen)
        assert app.screen.query_one("#firing", Input).value == "1-3-4-2", "the van's kind"
        assert app.screen.query_one("#inlet", Input).value == ""
        assert app.screen.query_one("#book", Input).value == ""


async def test_ones_own_sheet_is_changed_in_the_form_and_keeps_its_comments(tmp_path: Path) -> None:
    own = own_the_examples(tmp_path) / "sheets" / "harbour-van.toml"
    before = own.read_text(encoding="utf-8")
    async with program(tmp_path) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("harbour-van")
        await press(app, pilot, "e", "enter", "pagedown")
        app.screen.query_one("#exhaust", Input).value = "0.30 to 0.40 mm"
        await press(app, pilot, "pagedown", "pagedown", "pagedown", "pagedown", "enter")
        assert "Enter again keeps it read once." in seen(app)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, SheetScreen)
        assert "0.30 to 0.40 mm" in seen(app)
    after = own.read_text(encoding="utf-8")
    wanted = before.replace('exhaust = ["0.25 mm", "0.35 mm"]', 'exhaust = ["0.30 mm", "0.40 mm"]')
    assert after == wanted.replace("checked = true", "checked = false"), "read once again only"


async def test_the_card_of_the_screen_has_the_same_lines_as_the_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = pump_years(tmp_path / "data")
    session = session_of(data, "20241109")
    path = Workshop(DataFolder(data), lambda: NOW).reviews.write_card(session)
    capsys.readouterr()
    assert main(["--data", str(data), "card", session]) == 0
    assert path.read_text(encoding="utf-8") == capsys.readouterr().out


async def test_ctrl_c_says_how_to_leave_in_our_own_words(tmp_path: Path) -> None:
    async with program(tmp_path) as (app, pilot):
        await pilot.press("ctrl+c")
        await pilot.pause()
        assert "Q ends the program" in seen(app)
        assert app.is_running
