"""Engines that go by another name, that are retired, and whose sheet is gone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.errors import Unable
from benchtui.store.engine_names import EngineNames, engine_names, rename, retire
from benchtui.store.paths import DataFolder
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.screens.sessions import SessionsScreen
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import keep, press, program, seen, settled

CHECK = """sheet {engine}
blades fine-metric
date {day}
odometer {km} km
metal 19 C
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.09 free
1E 0.12 refuses
note {note}
close
"""


def own(data: Path, key: str, name: str) -> Path:
    """An engine of the owner's, a copy of the quay's pump under another name."""
    library = Workshop(DataFolder(data), lambda: datetime.now(UTC)).engines._root.library
    text = library.sheet_path("quay-pump").read_text(encoding="utf-8")
    path = data / "sheets" / f"{key}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text.replace("Quay pump", name), encoding="utf-8")
    return path


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """Two checks of the bilge pump, and one of the harbour's."""
    data = tmp_path / "data"
    own(data, "bilge-pump", "Bilge pump")
    for day, km in (("2024-05-01", 1000), ("2025-05-01", 6000)):
        keep(data, CHECK.format(engine="bilge-pump", day=day, km=km, note="a dry winter"))
    keep(data, CHECK.format(engine="quay-pump", day="2025-12-01", km=5, note="all well"))
    return data


async def test_a_history_without_a_sheet_is_named_and_goes_with_the_new_name(data: Path) -> None:
    (data / "sheets" / "bilge-pump.toml").rename(data / "sheets" / "bow-pump.toml")
    async with program(data, size=(100, 30)) as (app, pilot):
        workshop = app.workshop
        gone = next(s for s in workshop.reviews.shown() if s.gone)
        assert (gone.gone, gone.last is not None) == ("Bilge pump", True)
        assert "sheet's file is gone" in seen(app)
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("bilge-pump")
        await press(app, pilot, "enter")
        assert "Which engine is it now?" in seen(app)
        offered = [s.key for s in workshop.reviews.may_be(gone)]
        assert "bow-pump" in offered
        assert "quay-pump" not in offered, "it has a history of its own"
        await press(app, pilot, str(offered.index("bow-pump") + 1))
        await settled(app, pilot)
        assert "sheet's file is gone" not in seen(app)
        sheet = workshop.engines.sheet("bow-pump")
        assert [r.odometer_km for r in workshop.past_sessions.records("bow-pump")] == [
            Fraction(1000),
            Fraction(6000),
        ]
        due = workshop.reviews.due(sheet)
        assert due is not None
        assert due.date == date(2025, 11, 1), "six months from the old name's last check"
        last = workshop.past_sessions.last_row("bow-pump")
        assert last is not None
        assert last.odometer_km == Fraction(6000)


async def test_one_of_ones_own_is_retired_and_brought_back_with_its_history(data: Path) -> None:
    async with program(data, size=(100, 30)) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("bilge-pump")
        await press(app, pilot, "m", *"retire", "enter", "1")
        await settled(app, pilot)
        assert "bilge-pump" not in [s.key for s in app.workshop.reviews.shown()]
        assert "Bilge pump" not in seen(app)
        assert len(app.workshop.past_sessions.records("bilge-pump")) == 2
        assert "Bilge pump" not in str(app.workshop.titles())
        await press(app, pilot, "m", *"retire", "enter", "2")
        await settled(app, pilot)
        assert "bilge-pump" in [s.key for s in app.workshop.reviews.shown()]


async def test_the_chosen_engine_comes_first_and_notes_are_found(data: Path) -> None:
    async with program(data, size=(100, 30)) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("bilge-pump")
        await press(app, pilot, "p")
        assert isinstance(app.screen, SessionsScreen)
        await settled(app, pilot)
        assert [row.engine for row in app.screen._matched] == ["bilge-pump"] * 2 + ["quay-pump"]
        await press(app, pilot, "slash", *"winter")
        await settled(app, pilot)
        assert [row.engine for row in app.screen._matched] == ["bilge-pump"] * 2


def test_a_second_renaming_carries_the_first_along_and_a_name_given_back_is_free(
    tmp_path: Path,
) -> None:
    data = DataFolder(tmp_path)
    rename(data, "a", "b")
    rename(data, "b", "c")
    retire(data, "old")
    assert engine_names(data).renamed == {"a": "c", "b": "c"}
    rename(data, "c", "a")
    assert engine_names(data).renamed == {"b": "a", "c": "a"}
    assert engine_names(data).retired == {"old"}


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        '{"format": 2, "renamed": {}, "retired": []}',
        '{"format": 1, "renamed": {"a": 1}, "retired": []}',
        '{"format": 1, "renamed": {}}',
    ],
)
def test_a_file_that_makes_no_sense_changes_nothing_and_is_not_overwritten(
    tmp_path: Path, text: str
) -> None:
    data = DataFolder(tmp_path)
    path = tmp_path / "engines.json"
    path.write_text(text, encoding="utf-8")
    assert engine_names(data) == EngineNames()
    with pytest.raises(Unable):
        rename(data, "x", "y")
    with pytest.raises(Unable):
        retire(data, "x")
    assert path.read_text(encoding="utf-8") == text
