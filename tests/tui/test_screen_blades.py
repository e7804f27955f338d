"""The sets of blades: every leaf exact in both systems, faults at their line, the file kept safe."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from benchtui.domain.errors import Unable
from benchtui.tui.screens import blades as blades_screen
from benchtui.tui.screens.blades import BladesScreen
from benchtui.tui.screens.blades_form import BladesFormScreen
from tests.tui.kept_sessions import keep, own_the_examples, press, program, seen, settled

MIXED = """format = 1
name = "Shed drawer"
leaves = ["0.0015 in", "0.04 mm", "0.10 mm", "0.004 in"]
error = "0.005 mm"
[measured]
"0.10 mm" = "0.102 mm"
"""


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder = own_the_examples(tmp_path / "data")
    (folder / "blades").mkdir(parents=True)
    (folder / "blades" / "a-drawer.toml").write_text(MIXED, encoding="utf-8")
    return folder


async def test_leaves_are_exact_in_millimetres_and_thou(data: Path) -> None:
    """0.0015 in is 0.0381 mm, 0.004 in is 0.1016 mm: the inch is 25.4 mm exactly."""
    async with program(data) as (app, pilot):
        await press(app, pilot, "b")
        assert isinstance(app.screen, BladesScreen)
        lines = seen(app).splitlines()
        order = [x for x in lines if " 0.00" in x]
        first, second, third, fourth = order[:4]
        assert "0.0381 " in first
        assert " 1.5 " in first
        assert "0.04 " in second
        # The 0.004 in leaf is known by its stamp, the 0.10 mm leaf is thicker by the micrometer.
        assert "0.1016 " in third
        assert " 0.10 " in fourth
        assert " 0.102 " in fourth
        assert "0.002" in fourth, "a measured leaf's own error"
        assert "Shed drawer: 4 leaves, 0.0381 to 0.102 mm" in "\n".join(lines)


async def test_the_cursor_chooses_and_shipped_sets_say_so(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "b")
        assert "your own file" in seen(app)
        await press(app, pilot, "down")
        assert "came with the program" in seen(app)
        assert "Coarse metric set" in seen(app)


async def test_faults_are_shown_at_file_line_and_key(data: Path) -> None:
    path = data / "blades" / "a-drawer.toml"
    path.write_text(MIXED.replace('"0.04 mm"', '"0.04"'), encoding="utf-8")
    async with program(data, (120, 40)) as (app, pilot):
        await press(app, pilot, "b")
        shown = seen(app)
        assert "line 3, leaves[2]: found" in shown
        assert str(path) in str(app.screen.query_one("#listed", Static).content)
        path.write_text(MIXED, encoding="utf-8")
        await press(app, pilot, "m", *"once", "enter")
        assert "Shed drawer" in seen(app)


async def test_editing_a_shipped_set_makes_it_the_owners(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edited: list[Path] = []

    def edit(app: object, path: Path) -> None:
        del app
        edited.append(path)
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace("Fine metric set", "My fine set"), encoding="utf-8")

    monkeypatch.setattr(blades_screen, "edit_file", edit)
    async with program(data) as (app, pilot):
        await press(app, pilot, "b", "down", "down", "m", *"editor", "enter")
        assert edited == [data / "blades" / "fine-metric.toml"]
        assert "My fine set" in seen(app)
        assert "your own file" in seen(app)


async def test_a_set_is_added_in_a_form_that_says_what_it_decides(data: Path) -> None:
    async with program(data, (100, 40)) as (app, pilot):
        await press(app, pilot, "b", "a")
        assert isinstance(app.screen, BladesFormScreen)
        app.screen.query_one("#name", Input).value = "My fine set"
        app.screen.query_one("#leaves", Input).value = ".03 to .10 by .01, .12 .15 .20"
        app.screen.query_one("#measured", Input).value = ".10 is .102"
        await settled(app, pilot)
        words = seen(app)
        assert "11 leaves" in words
        assert "0.102" in words
        assert "Quay pump" in words
        app.screen.query_one("#measured", Input).value = ".11 is .112"
        await settled(app, pilot)
        assert "one of the leaves above" in seen(app)
        app.screen.query_one("#measured", Input).value = ""
        await press(app, pilot, "down", "down", "down", "enter")
        assert isinstance(app.screen, BladesScreen)
        assert "Kept: My fine set" in seen(app)
        assert "My fine set: 11 leaves, 0.03 to 0.20 mm" in seen(app)
    kept = (data / "blades" / "my-fine-set.toml").read_text(encoding="utf-8")
    assert '"0.03 mm"' in kept


async def test_ones_own_set_is_changed_in_the_form_and_keeps_its_comments(data: Path) -> None:
    own = data / "blades" / "a-drawer.toml"
    own.write_text("# Bought twice.\n" + MIXED, encoding="utf-8")
    async with program(data) as (app, pilot):
        await press(app, pilot, "b", "enter")
        assert isinstance(app.screen, BladesFormScreen)
        app.screen.query_one("#error", Input).value = "0.003"
        await settled(app, pilot)
        await press(app, pilot, "down", "down", "down", "enter")
    after = own.read_text(encoding="utf-8")
    assert after == ("# Bought twice.\n" + MIXED).replace("0.005 mm", "0.003 mm")


async def test_an_editor_that_cannot_run_is_told(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VISUAL", shlex.quote(sys.executable))
    async with program(data) as (app, pilot):
        await press(app, pilot, "b", "m", *"editor", "enter")
        assert "Edit the file in another window" in " ".join(seen(app).split())

    def fails(app: object, path: Path) -> None:
        raise Unable(f"The editor ended with error 3 on {path.name} in {app!r:.0}.")

    monkeypatch.setattr(blades_screen, "edit_file", fails)
    async with program(data) as (app, pilot):
        await press(app, pilot, "b", "m", *"editor", "enter")
        assert "ended with error 3" in seen(app)


async def test_leaves_to_doubt_and_blades_to_get(data: Path) -> None:
    """0.15 was struck in two sessions; 1E stayed open between 0.20 and 0.30 about a limit of 0.25
    that this set has not got."""
    path = data / "blades" / "a-drawer.toml"
    path.write_text(
        'format = 1\nname = "D"\nleaves = ["0.15 mm", "0.20 mm", "0.30 mm", "0.35 mm"]\n',
        encoding="utf-8",
    )
    for day in ("2025-11-01", "2025-12-01"):
        keep(
            data,
            f"sheet harbour-van\nblades a-drawer\ndate {day}\nmetal 9 C\nposition 1 mark slack\n"
            "1E 0.20 free\n1E 0.30 refuses\n1E 0.15 refuses\n1E strike 0.15\nclose\n",
        )
    async with program(data) as (app, pilot):
        await press(app, pilot, "b")
        await settled(app, pilot)
        shown = " ".join(seen(app).split())
        assert "Doubtful: 0.15 mm (2 sessions)" in shown
        assert "Blades to get: 0.25 mm (2 times)" in shown


async def test_many_leaves_scroll(data: Path) -> None:
    async with program(data) as (app, pilot):
        await press(app, pilot, "b", *["down"] * 8)
        assert "workshop-inch" in seen(app)
        assert "0.6096" not in seen(app)
        await press(app, pilot, "pagedown", "pagedown")
        assert "0.6096" in seen(app)
