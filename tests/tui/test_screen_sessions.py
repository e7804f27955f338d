"""The list of past sessions: newest first, filtered at each key, damage in plain sight, quick."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from textual.widgets import DataTable, Input

from benchtui.tui.present_rows import SHORT, listed, widths
from benchtui.tui.screens.compare import CompareScreen
from benchtui.tui.screens.session import SessionScreen
from benchtui.tui.screens.sessions import CHUNK, SessionsScreen
from benchtui.tui.screens.wear import WearScreen
from tests.tui.kept_sessions import (
    SIZE,
    press,
    program,
    pump_years_and_van_evening,
    seen,
    session_of,
    settled,
)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years_and_van_evening(tmp_path / "data")


def _days(screen: SessionsScreen) -> list[str]:
    table = screen.query_one(DataTable)
    told = [str(table.get_row_at(i)[0]) for i in range(table.row_count)]
    return [datetime.strptime(day, "%d %b %Y").date().isoformat() for day in told]  # noqa: DTZ007  # a day


async def test_the_newest_comes_first_with_found_left_who_and_end(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p")
        assert isinstance(app.screen, SessionsScreen)
        assert _days(app.screen) == sorted(_days(app.screen), reverse=True)
        lines = seen(app).splitlines()
        first = next(x for x in lines if "1 Dec 2025" in x)
        assert "Harbour van" in first
        assert "1 ▼" in first
        assert "J." in first
        assert "partial" in first
        changed = next(x for x in lines if "9 Nov 2024" in x)
        assert "1 √ 1 ▼ → 2 √" in changed
        assert "complete" in changed


async def test_it_filters_at_each_key_by_engine_date_verdict_and_who(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "slash", *"van")
        screen = app.screen
        assert isinstance(screen, SessionsScreen)
        assert _days(screen) == ["2025-12-01"]
        for words, days in (
            ("asta", ["2025-11-08", "2024-05-11"]),
            ("2023 pump", ["2023-11-04", "2023-05-02"]),
            ("tight pump", ["2024-11-09"]),
            ("november 2024", ["2024-11-09"]),
            ("partial", ["2025-12-01"]),
            ("nobody", []),
        ):
            screen.query_one(Input).value = words
            await settled(app, pilot)
            assert _days(screen) == days, words
        assert "0 of 7" in seen(app)
        await press(app, pilot, "enter")
        assert not isinstance(app.screen, SessionScreen), "there is nothing to open"


async def test_escape_leaves_the_line_and_then_the_screen(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "slash", "p", "escape")
        assert app.screen.query_one(DataTable).has_focus
        await press(app, pilot, "escape")
        assert not isinstance(app.screen, SessionsScreen)


async def test_enter_opens_compare_and_wear_follow_the_cursor(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "down", "enter")
        assert isinstance(app.screen, SessionScreen)
        assert "8 November 2025" in seen(app)
        await press(app, pilot, "escape", "x")
        assert isinstance(app.screen, CompareScreen)
        shown = seen(app)
        assert "10 May 2025" in shown
        assert "8 November 2025" in shown
        assert "1 of 5" in shown
        # 0.09..0.10 left, 0.08..0.09 found: between -0.02 and 0, so no move is proved.
        assert "since: no move shown (-0.02 to 0.00)" in shown
        await press(app, pilot, "left")
        # 0.10..0.12 left, 0.08..0.09 found.
        assert "9 November 2024" in seen(app)
        assert "closed up by 0.01 to 0.04" in seen(app)
        await press(app, pilot, "right", "right")
        assert "no other one that way" in seen(app)
        await press(app, pilot, "escape", "w")
        assert isinstance(app.screen, WearScreen)


async def test_the_first_session_of_an_engine_has_nothing_before_it(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "x")
        assert "no earlier session" in seen(app)


async def test_damaged_files_are_shown_as_damaged(data: Path) -> None:
    broken = data / "sessions" / f"{session_of(data, '20240511')}.session"
    lines = broken.read_bytes().splitlines(keepends=True)
    broken.write_bytes(b"".join([*lines[:4], lines[4][:-9] + b"\n", *lines[5:]]))
    (data / "sessions" / "20230101-090000-lost-0123456789.session").write_text("not a session\n")
    async with program(data) as (app, pilot):
        await press(app, pilot, "p")
        hurt = next(x for x in seen(app).splitlines() if "11 May 2024" in x)
        assert "!! DAMAGED" in hurt
        assert "Quay pump" in hurt
        await press(app, pilot, "slash", *"damaged")
        assert isinstance(app.screen, SessionsScreen)
        assert len(_days(app.screen)) == 2
        await press(app, pilot, *(["backspace"] * 7), *"lost", "enter", "enter")
        assert "Nothing of session" in seen(app)


async def test_the_card_is_written_beside_the_data(data: Path) -> None:
    pytest.importorskip("benchtui.text.pages.card")
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "r", "enter")
        cards = list((data / "cards").iterdir())
        assert len(cards) == 1
        assert "Harbour van" in cards[0].read_text(encoding="utf-8")
        assert "The card is written" in seen(app)


async def test_names_from_files_cannot_write_to_the_terminal(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p")
        screen = app.screen
        assert isinstance(screen, SessionsScreen)
        row = listed(app.workshop.past_sessions.rows())[0]
        screen._take((replace(row, name="[red]\x1b[2Jboat", who="\x9bm"),))
        await settled(app, pilot)
        assert "\x1b" not in seen(app)
        assert "\x9b" not in seen(app)
        assert "[red]" in seen(app)


async def test_ten_thousand_sessions_are_filtered_as_it_is_typed(data: Path) -> None:
    """How quickly is measured by tests/benchmarks/filtering.py."""
    async with program(data) as (app, pilot):
        await press(app, pilot, "p")
        screen = app.screen
        assert isinstance(screen, SessionsScreen)
        row = app.workshop.past_sessions.rows()[0]
        many = listed(
            replace(row, session=f"s{i}", who=("M.", "Asta", "J.")[i % 3]) for i in range(10_000)
        )
        screen._take(many)  # as the loading thread does
        await settled(app, pilot)
        assert screen.table().row_count <= 2 * CHUNK, "only what is needed is added"
        line = screen.query_one(Input)
        line.focus()
        for word in ("a", "as", "ast", "asta"):
            line.value = word
            await pilot.pause()
        assert "3333 of 10000" in seen(app)


async def test_more_rows_come_as_the_cursor_goes_down(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p")
        screen = app.screen
        assert isinstance(screen, SessionsScreen)
        row = app.workshop.past_sessions.rows()[0]
        screen._take(listed(replace(row, session=f"s{i}") for i in range(500)))
        await settled(app, pilot)
        await press(app, pilot, *(["pagedown"] * 30))
        assert screen.selected() == "s499"
        assert screen.table().row_count == 500


def test_the_columns_fit_the_screen() -> None:
    for width in (SIZE[0], 100, 120, 200):
        assert sum(widths(width)) + 2 * len(SHORT) <= width
        assert min(widths(width)) >= 9


async def test_an_empty_list_says_what_to_do(tmp_path: Path) -> None:
    """No engine, no session: each list names the key that fills it, and its keys are not silent."""
    async with program(tmp_path / "data") as (app, pilot):
        await press(app, pilot, "escape")
        assert "No engine of yours yet. A adds one" in seen(app)
        await press(app, pilot, "p")
        assert "No session yet. Esc, and Enter on an engine of yours begins" in seen(app)
        for key in ("r", "x", "w"):
            await press(app, pilot, key)
            assert "There is no session in this list." in seen(app)


async def test_a_word_that_no_session_holds_says_how_to_go_on(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "slash", *"zzz", "enter")
        assert "No session holds all of these words." in seen(app)
        assert "√ in range  ▼ tight  ▲ wide  ? undecided" in seen(app)
