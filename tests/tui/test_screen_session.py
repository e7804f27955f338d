"""One session: everything that was done is in sight, and it can be gone through step by step."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchtui.tui.screens.session import SessionScreen
from benchtui.tui.screens.wear import WearScreen
from tests.tui.kept_sessions import (
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


async def test_found_left_turned_locked_struck_note_and_next_due(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        lines = seen(app).splitlines()
        left = next(x for x in lines if x.startswith(" 1E"))
        assert "0.10 to 0.12 √ in range" in left
        assert "found 0.06 to 0.07, tight" in lines[lines.index(left) + 1]
        shown = "\n".join(lines)
        assert "9 November 2024, M., 14 000 km, metal 19 C: complete" in shown
        assert "turned 18 degrees in all, opening, locked, measured again" in shown
        assert "× struck out: 0.05 refuses" in shown  # noqa: RUF001  # the cross itself is meant
        assert "Note: the pad of 1E looks dished" in shown
        assert "Next check, as known then: Due 9 May 2025" in shown


async def test_the_bars_stand_against_the_range(data: Path) -> None:
    """1E, tight: all that was found is left of the range's first bracket; what was left is inside."""
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        row = next(x for x in seen(app).splitlines() if x.startswith(" 1E"))
        assert row.index("░") < row.rindex("░") < row.index("[") < row.index("]")
        assert row.index("[") < row.index("━") <= row.rindex("━") < row.index("]")


async def test_a_partial_session_says_what_is_missing(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20251201")))
        await settled(app, pilot)
        await press(app, pilot, "pagedown", "pagedown")
        assert "Missing: 1I: not measured; " in seen(app)
        assert "Note: too dark" in seen(app)


async def test_stepping_shows_the_state_after_each_event(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        await press(app, pilot, "home")
        shown = seen(app)
        assert "after step 1 of 17" in shown
        assert "►   1" in shown and "Session opened: Quay pump" in shown  # noqa: PT018  # one line
        assert shown.count("not measured") == 2
        assert "complete" not in shown, "at step 1 nobody knows how it will end"
        await press(app, pilot, *(["right"] * 4))
        shown = seen(app)
        assert "►   5" in shown and "1E: 0.08 mm refuses" in shown  # noqa: PT018  # one line
        assert "0.08 refuses" in next(x for x in shown.splitlines() if x.startswith(" 1E"))
        assert "struck out" not in shown
        await press(app, pilot, *(["right"] * 3))
        assert "Struck out: 1E: 0.05 mm refuses" in seen(app)
        await press(app, pilot, "right", "right")
        assert "1E: locknut slack, screw turned out 18 degrees" in seen(app)
        assert "NOT LOCKED, NOT MEASURED AGAIN" in seen(app)
        await press(app, pilot, "end")
        assert "the whole session" in seen(app)
        await press(app, pilot, "left")
        assert "after step 17 of 17" in seen(app)
        assert "Closed, complete" in seen(app)


async def test_the_ruler_shows_the_valve_in_hand_only_while_stepping(data: Path) -> None:
    async with program(data, (120, 40)) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        assert "setting range" not in seen(app).replace("setting range, mm", "")
        await press(app, pilot, "home", *(["right"] * 7))
        shown = seen(app)
        assert "0.08 setting range 0.12" in shown or "0.06 drag" in shown
        assert "0.05 struck" in shown


async def test_every_step_can_be_shown_in_both_sizes(data: Path) -> None:
    for size in ((80, 24), (120, 40)):
        async with program(data, size) as (app, pilot):
            app.push_screen(SessionScreen(session_of(data, "20241109")))
            await settled(app, pilot)
            await press(app, pilot, "home")
            for step in range(1, 18):
                assert f"after step {step} of 17" in seen(app)
                assert f"►{step:>4}" in seen(app)
                await press(app, pilot, "right")


async def test_a_damaged_one_shows_what_could_be_read(data: Path) -> None:
    path = data / "sessions" / f"{session_of(data, '20241109')}.session"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:6], b"?" + lines[6], *lines[7:]]))
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(path.stem))
        await settled(app, pilot)
        assert "DAMAGED at line 7" in seen(app)
        assert "does not count as a check" in " ".join(seen(app).split())
        assert any(x.startswith(" 1E") for x in seen(app).splitlines())


async def test_one_that_is_not_there_says_so_and_every_key_is_safe(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen("no-such"))
        await settled(app, pilot)
        await press(app, pilot, "left", "right", "home", "end", "down", "up", "w")
        assert "There is no session 'no-such'" in seen(app) or "no-such" in seen(app)
        await press(app, pilot, "r", "enter")
        assert "There is no session 'no-such'" in seen(app)


async def test_wear_opens_from_a_session(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        await press(app, pilot, "w")
        assert isinstance(app.screen, WearScreen)


async def test_in_24_rows_the_ruler_names_the_valve_and_the_blades(data: Path) -> None:
    """The eye sees 1E on the ruler's line, and over each mark its blade: 0.06 drag, 0.08 refuses."""
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        await press(app, pilot, "home", *(["right"] * 8))
        lines = seen(app).splitlines()
        at = next(n for n, row in enumerate(lines) if row.startswith("─1E, mm─"))
        words, marks = lines[at + 1], lines[at + 2]
        for word in ("0.05", "0.06 drag", "0.07 refuses", "0.08 refuses"):
            assert word in words
        # A label keeps over its mark, moved aside by half its length at most.
        start = words.index("0.06 drag")
        assert start <= marks.index("≈") < start + len("0.06 drag")


async def test_right_begins_the_steps_from_the_whole_session(data: Path) -> None:
    """The footer's first key does what it says there too, and Left is at the last step."""
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        assert "17 steps on record: Right begins at the first, Left at the last." in seen(app)
        await press(app, pilot, "right")
        assert "after step 1 of 17" in seen(app)
        await press(app, pilot, "end", "left")
        assert "after step 17 of 17" in seen(app)
        await press(app, pilot, "right")
        assert "the whole session" in seen(app)
