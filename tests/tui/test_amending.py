"""One session put right by keys: a short question each, and what follows is in sight at once."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchtui.domain.session.facts.events import Particulars
from benchtui.text.reading.amend_file import command_of
from benchtui.tui.app import BenchApp
from benchtui.tui.present_rows import listed
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.session import SessionScreen
from benchtui.tui.screens.sessions import SessionsScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.tui.widgets.form_lines import ChoiceLine
from tests.tui.kept_sessions import (
    own_the_examples,
    press,
    program,
    pump_years,
    seen,
    session_of,
    settled,
)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years(tmp_path / "data")


async def typed(app: BenchApp, pilot: Pilot[int], text: str) -> None:
    names = {" ": "space", "-": "minus", ".": "full_stop"}
    await press(app, pilot, *(names.get(c, c) for c in text), "enter")


async def test_the_odometer_put_right_and_taken_back(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20241109")))
        await settled(app, pilot)
        await press(app, pilot, "enter", "2")
        await typed(app, pilot, "14100 km")
        await typed(app, pilot, "misread")
        assert "14 100 km" in seen(app), seen(app)
        await press(app, pilot, "pagedown", "pagedown")
        assert "odometer 14 100 km; struck: 14 000 km" in seen(app)
        await press(app, pilot, "enter", "9", "pageup", "pageup")
        assert "14 000 km" in seen(app)
        assert "14 100 km" not in seen(app)


async def test_a_slip_is_asked_back_with_the_last_reading_and_one_key_takes_it(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20251108")))
        await settled(app, pilot)
        await press(app, pilot, "enter", "2")
        await typed(app, pilot, "220000 km")
        shown = " ".join(seen(app).replace("│", " ").split())
        assert "220 000 km is far above the 18 000 km of 10 May 2025" in shown
        assert "Enter again: it is so." in shown
        await press(app, pilot, "enter")
        await typed(app, pilot, "so it reads")
        assert "220 000 km" in seen(app)


async def test_without_a_reason_nothing_is_written(data: Path) -> None:
    path = data / "sessions" / f"{session_of(data, '20251108')}.session"
    before = path.read_bytes()
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(path.stem))
        await settled(app, pilot)
        await press(app, pilot, "enter", "5")
        await typed(app, pilot, "J.")
        await press(app, pilot, "enter")
        assert "Say why" in seen(app)
        await press(app, pilot, "escape")
    assert path.read_bytes() == before


async def test_set_aside_is_shown_struck_there_and_in_the_list_and_moves_the_next_check(
    data: Path,
) -> None:
    async with program(data) as (app, pilot):
        workshop = app.workshop
        sheet = workshop.engines.sheet("quay-pump")
        due = workshop.reviews.due(sheet)
        await press(app, pilot, "x")
        app.push_screen(SessionsScreen())
        await settled(app, pilot)
        app.push_screen(SessionScreen(session_of(data, "20251108")))
        await settled(app, pilot)
        await press(app, pilot, "enter", "8")
        await typed(app, pilot, "wrong engine")
        assert "SET ASIDE, it counts for nothing: wrong engine" in seen(app)
        await press(app, pilot, "escape")
        assert "× set aside" in seen(app)  # noqa: RUF001  # the cross itself is meant
        assert workshop.reviews.due(sheet) != due


async def test_the_engines_offered_are_those_of_ones_own_whose_valves_fit(data: Path) -> None:
    async with program(data) as (app, _):
        assert app.workshop.open_sessions.fitting(session_of(data, "20251108")) == (), (
            "never an example"
        )
    own_the_examples(data)
    async with program(data) as (app, pilot):
        app.push_screen(SessionScreen(session_of(data, "20251108")))
        await settled(app, pilot)
        names = [s.key for s in app.workshop.open_sessions.fitting(session_of(data, "20251108"))]
        await press(app, pilot, "enter", "6")
        shown = seen(app)
        assert names, "an engine of one's own has the same valves"
        assert "ferry-tender" not in names
        assert app.workshop.engines.sheet(names[0]).name in shown
        await press(app, pilot, "1")
        await typed(app, pilot, "wrong line")
        assert (
            app.workshop.past_sessions.past(session_of(data, "20251108")).record.engine == names[0]
        )


async def test_another_engine_is_asked_back_by_what_that_one_read(data: Path) -> None:
    own_the_examples(data)
    moved, then = session_of(data, "20241109"), session_of(data, "20251108")
    async with program(data) as (app, pilot):
        past = app.workshop.past_sessions
        other = app.workshop.open_sessions.fitting(moved)[0]
        for command in (
            command_of("odometer", "90000 km", "so it read", app.workshop.engines.sheet),
            command_of("engine", other.key, "wrong line", app.workshop.engines.sheet),
        ):
            app.workshop.open_sessions.amend(moved, command)
        app.push_screen(SessionScreen(then))
        await settled(app, pilot)
        await press(app, pilot, "enter", "6", "1")
        await typed(app, pilot, "wrong line")
        shown = " ".join(seen(app).replace("│", " ").split())
        assert "is below the 90 000 km of 9 November 2024" in shown
        assert past.past(then).record.engine == "quay-pump", "nothing is written yet"
        await press(app, pilot, "enter")
        assert past.past(then).record.engine == other.key


async def test_the_form_shows_the_last_reading_and_asks_a_slip_back(data: Path) -> None:
    async with program(data, size=(100, 40)) as (app, pilot):
        app.push_screen(StartScreen(app.workshop.engines.sheet("quay-pump")))
        await settled(app, pilot)
        assert "last 22 000 km on 8 November 2025" in seen(app)
        app.screen.query_one("#metal", Input).value = "19 C"
        app.screen.query_one("#odometer", Input).value = "2200 km"
        await press(app, pilot, "enter")
        shown = " ".join(seen(app).split())
        assert "Odometer 2 200 km is below the 22 000 km of 8 November 2025" in shown
        assert "Enter again: it is so." in shown
        assert app.live is None
        app.screen.query_one("#odometer", Input).value = "22500 km"
        await press(app, pilot, "enter")
        assert app.live is not None, "a figure put right there is not asked about"
        app.let_go()


async def test_a_fault_in_the_workshops_file_and_a_set_that_makes_no_limit_hold_no_check_up(
    data: Path,
) -> None:
    (data / "workshop.toml").write_text("format = 1\nlines = [5]\n", encoding="utf-8")
    (data / "blades").mkdir(exist_ok=True)
    (data / "blades" / "thick.toml").write_text(
        'format = 1\nname = "Thick"\nleaves = ["0.60 mm"]\n', encoding="utf-8"
    )
    async with program(data) as (app, pilot):
        await settled(app, pilot)
        fault = "workshop.toml:2: lines[1]: found 5; wanted a text in quotes"
        assert "workshop.toml" in seen(app), "said on the engines' screen"
        app.push_screen(StartScreen(app.workshop.engines.sheet("quay-pump")))
        await settled(app, pilot)
        assert fault in " ".join(seen(app).split())
        start = app.screen
        assert isinstance(start, StartScreen)
        line = start.line("blades").line
        assert isinstance(line, ChoiceLine)
        line.take("thick")
        await press(app, pilot, "1", "9", "enter")
        shown = " ".join(seen(app).split())
        assert "← → changes the set. Enter again: it is so." in shown, shown
        await press(app, pilot, "enter")
        assert app.live is not None, "the check has begun"
        assert app.live.bench.state.opened.blades_key == "thick"


async def test_an_empty_check_is_dropped_by_one_question_and_shown_nowhere(data: Path) -> None:
    async with program(data, size=(100, 40)) as (app, pilot):
        opened = app.workshop.opening(
            app.workshop.engines.sheet("quay-pump"),
            "fine-metric",
            Particulars(odometer_km=Fraction(22_100)),
        )
        app.begin(app.workshop.open_sessions.open(opened))
        app.push_screen(BenchScreen())
        await settled(app, pilot)
        await press(app, pilot, "escape")
        assert "in which nothing was measured" in seen(app)
        await press(app, pilot, "2")
        assert app.live is None
        row = next(r for r in app.workshop.past_sessions.rows() if r.session == opened.session)
        assert (row.counts, row.unfinished) == (False, False)
        assert opened.session not in [r.session for r in listed(app.workshop.past_sessions.rows())]
