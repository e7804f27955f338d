"""Names that look like markup, what was not told at the start, and a trembling Enter."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from benchtui.domain.session.facts.events import Locked
from benchtui.text.reading.counts import read_counts
from benchtui.tui.screens.before import BeforeScreen
from tests.tui.shed import Shed, teller

HOSTILE = """\
format = 1
name = "Pump [/x] [bold]y\\u001b[31m"
[layout]
cylinders = ["1"]
firing = { 1 = 0 }
valves = { 1 = ["1I", "1E"] }
[clearance]
inlet = "0.10 mm"
exhaust = "0.15 mm"
condition = "cold"
metal_below = "35 degC"
[adjuster]
kind = "screw"
pitch = "0.75 mm"
[[torque]]
what = "adjuster [/b] nuts"
value = "10 N*m"
"""


def test_markup_in_names_is_shown_and_what_is_lacking_can_be_told(tmp_path: Path) -> None:
    """A sheet full of brackets opens everywhere; temperature and band are asked for and taken."""

    async def part(shed: Shed) -> None:
        await shed.settle()
        assert "Pump [/x] [bold]y" in shed.screen()
        assert "\x1b" not in shed.screen()
        shed.app.screen.select("aa-hostile")  # type: ignore[attr-defined]  # the list of engines
        await shed.keys("enter")
        shed.app.screen.query_one("#laid", Input).value = "2 rags [/x]"
        # Neither temperature nor band: warned of each, and begun all the same.
        await shed.begin_as_it_stands()
        assert dict(shed.stored().short) == {"rags [/x]": 2}
        await shed.keys("1", "2")
        assert "Cold? Tell the temperature" in shed.screen()
        await shed.keys("m", "'temperature", "enter", "1", "'19 C", "enter")
        assert "on the figure, or your own band" in shed.screen()
        await shed.keys("m", "'temperature", "enter", "5", "'0.03 mm", "enter")
        await shed.keys("s")
        assert shed.stored().band is not None
        assert shed.stored().particulars.metal_c == 19
        await shed.keys("escape", "1")
        assert "adjuster [/b] nuts" in shed.screen()

    tell = teller(tmp_path / "data")
    (tmp_path / "data" / "sheets" / "aa-hostile.toml").write_text(HOSTILE, encoding="utf-8")
    tell(part)


def test_enter_on_an_untouched_valve_locks_nothing(tmp_path: Path) -> None:
    """A second Enter on the setting screen must not throw away a good reading."""

    async def part(shed: Shed) -> None:
        await shed.begin("Quay", "fine-metric", ("metal", "19 C"))
        await shed.keys("1", "2", "s", "f")
        await shed.keys("m", "'same", "enter", "enter")
        assert "nothing to lock" in shed.screen()
        assert not any(isinstance(fact, Locked) for fact in shed.facts())

    teller(tmp_path / "data")(part)


def test_several_items_are_counted_each_by_itself() -> None:
    assert read_counts("4 rags, 2 sockets") == ((4, "rags"), (2, "sockets"))
    assert read_counts("cap") == ((1, "cap"),)
    assert read_counts(" , ") == ()


def test_a_warm_engine_is_not_ticked_as_cold(tmp_path: Path) -> None:
    """What is recorded stands against the tick, and undo takes a tick back."""

    async def part(shed: Shed) -> None:
        await shed.settle()
        await shed.keys("slash", "'Quay", "enter", "enter", "'45 C", "enter")
        await shed.begin_as_it_stands()
        assert isinstance(shed.app.screen, BeforeScreen)
        ticked = len(shed.stored().cautions)
        assert not any("cold" in caution.lower() for caution in shed.stored().cautions)
        await shed.keys("space")
        assert "Not by what is recorded" in shed.screen()
        assert len(shed.stored().cautions) == ticked
        await shed.keys("m", "'temperature", "enter", "1", "'19 C", "enter", "space")
        assert len(shed.stored().cautions) == ticked + 1
        await shed.keys("backspace")
        assert len(shed.stored().cautions) == ticked
        assert "Taken back" in shed.screen()

    teller(tmp_path / "data")(part)
