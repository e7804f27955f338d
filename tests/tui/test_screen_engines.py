"""The first screen: what is read is told, open checks stay within reach."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchtui.domain.session.facts.events import Closed, Paused
from benchtui.store import many
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.engine_form import EngineFormScreen
from benchtui.tui.screens.filed import FiledScreen
from benchtui.tui.screens.home import EXAMPLE, EXAMPLES, HomeScreen
from benchtui.tui.screens.session import SessionScreen
from benchtui.tui.screens.sessions import SessionsScreen
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import NOW, keep, press, program, pump_years, seen


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years(tmp_path / "data")


async def test_how_far_the_reading_is_stands_there_until_all_is_shown(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(data / "register")
    monkeypatch.setattr(many, "AT_ONCE", 2)
    said: list[str] = []
    plain_say = HomeScreen.say

    def say(self: HomeScreen, text: str, *, alarm: bool = False) -> None:
        said.append(text)
        plain_say(self, text, alarm=alarm)

    monkeypatch.setattr(HomeScreen, "say", say)
    async with program(data) as (app, _):
        assert any(s.endswith(" of 6. Q ends the program, nothing is harmed.") for s in said), said
        assert said[-1] == ""
        assert "Reading" not in seen(app)


OPEN = """sheet {sheet}
blades fine-metric
date 2026-01-05
metal 19 C
position 1 mark slack
1I 0.06 free
"""


def left_open(data: Path, sheet: str = "quay-pump") -> str:
    """A check begun and left: no line closes it."""
    keep(data, OPEN.format(sheet=sheet))
    return max(p.stem for p in (data / "sessions").glob("20260105*"))


def own_engine(data: Path) -> Path:
    """A sheet in the owner's folder."""
    (data / "sheets").mkdir()
    text = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    own = data / "sheets" / "old-winch.toml"
    own.write_text(text.replace('name = "', 'name = "Old winch ', 1), encoding="utf-8")
    return own


def closed(data: Path, session: str) -> Closed | None:
    recorded = read_session(data / "sessions" / f"{session}.session")
    assert recorded.damage is None
    fact = recorded.events[-1].fact
    return fact if isinstance(fact, Closed) else None


async def test_a_check_left_open_is_gone_on_with_from_past_sessions(data: Path) -> None:
    session = left_open(data)
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "enter")
        assert "go on with it" in seen(app)
        await press(app, pilot, "1", "1")
        assert app.live is not None
        assert app.live.session == session
        assert app.session_state.place is not None, "the crank has not moved"
        app.let_go()


async def test_a_check_left_open_is_filed_as_partial_once_what_is_missing_was_read(
    data: Path,
) -> None:
    session = left_open(data)
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "enter", "2")
        assert "1E: not measured" in seen(app)
        await press(app, pilot, "escape")
        assert closed(data, session) is None
        await press(app, pilot, "enter", "2", "1")
        assert isinstance(app.screen, FiledScreen)
        assert "1E: not measured" in " ".join(seen(app).split())
        assert "does not count as a check" in seen(app)
        await press(app, pilot, "enter", "p")
        assert isinstance(app.screen, SessionsScreen)
        assert str(app.screen.table().get_row_at(0)[4]) == "partial"
    filed = closed(data, session)
    assert filed is not None
    assert not filed.complete


async def test_one_left_paused_is_asked_about_the_crank_before_it_is_filed(data: Path) -> None:
    session = left_open(data)
    live = Workshop(DataFolder(data), lambda: NOW).open_sessions.resume(session)
    live.bench.do(Paused())
    live.release()
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "enter", "2", "1")
        assert "Has the crank moved" in seen(app)
        await press(app, pilot, "2")
        assert isinstance(app.screen, FiledScreen)
    filed = closed(data, session)
    assert filed is not None
    # The reading of 1I counts as before: it lacks only its other side.
    assert [m.partition(",")[0] for m in filed.missing] == ["1I: undecided", "1E: not measured"]


async def test_a_check_left_open_can_only_be_looked_at_too(data: Path) -> None:
    session = left_open(data)
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "enter", "3")
        assert isinstance(app.screen, SessionScreen)
    assert closed(data, session) is None


async def test_a_check_that_another_program_has_open_is_not_filed(data: Path) -> None:
    session = left_open(data)
    other = Workshop(DataFolder(data), lambda: NOW).open_sessions.resume(session)
    async with program(data) as (app, pilot):
        await press(app, pilot, "p", "enter", "2", "1")
        assert "open in another program" in seen(app)
    other.release()
    assert closed(data, session) is None


async def test_an_open_check_whose_sheet_is_gone_stays_within_reach(data: Path) -> None:
    own = own_engine(data)
    session = left_open(data, "old-winch")
    own.unlink()
    async with program(data) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        assert app.screen.selected() == "old-winch"
        assert "sheet's file is gone" in seen(app)
        await press(app, pilot, "s", "e", "w")
        assert isinstance(app.screen, HomeScreen)
        await press(app, pilot, "enter")
        assert "start a new check" not in seen(app)
        await press(app, pilot, "1")
        assert app.live is not None
        assert app.live.session == session
        app.let_go()


def _listed(app: BenchApp) -> list[str]:
    assert isinstance(app.screen, HomeScreen)
    return [str(row.key.value) for row in app.screen.table().ordered_rows]


async def test_an_example_stands_apart_and_is_never_due(data: Path) -> None:
    """Not even where checks of it were kept long ago does an example press."""
    own_engine(data)
    async with program(data) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        assert EXAMPLES in _listed(app)
        assert not any(key.startswith(EXAMPLE) for key in _listed(app))
        app.screen.select(EXAMPLES)
        await press(app, pilot, "right")
        keys = _listed(app)
        first = next(n for n, key in enumerate(keys) if key.startswith(EXAMPLE))
        assert all(key.startswith(EXAMPLE) for key in keys[first:])
        for key in keys[first:]:
            row = [str(one) for one in app.screen.table().get_row(key)]
            assert "EXAMPLE, invented, never due" in row


async def test_an_example_is_copied_and_never_checked(data: Path) -> None:
    kept = sorted((data / "sessions").iterdir())
    async with program(data) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.show_examples()
        await pilot.pause()
        app.screen.select(f"{EXAMPLE}mole-crane")
        await press(app, pilot, "enter")
        assert "is an invented example" in seen(app)
        assert "add an engine of your own of this kind" in seen(app)
        await press(app, pilot, "1")
        assert isinstance(app.screen, EngineFormScreen)
        assert app.live is None
    assert sorted((data / "sessions").iterdir()) == kept


async def test_shipped_engines_never_checked_stand_below_the_owners(data: Path) -> None:
    own_engine(data)
    async with program(data) as (app, _):
        assert set(_listed(app)[:2]) == {"old-winch", "quay-pump"}


async def test_an_engine_with_an_open_check_is_not_retired(data: Path) -> None:
    left_open(data)
    async with program(data) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("quay-pump")
        await press(app, pilot, "m", *"retire", "enter")
        assert "Only an engine of yours without an open check is retired." in seen(app)
