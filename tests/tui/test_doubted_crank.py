"""A crank that is doubted: the tall letters say what to do, and not that it stands on compression."""

from __future__ import annotations

from pathlib import Path

from benchtui.tui.widgets.bigtext import BigText
from tests.tui.shed import Shed, teller


def test_where_a_valve_moves_the_turn_to_the_right_stroke_stands_tall(tmp_path: Path) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("four", "leaves-c", ("metal", "19 C"))
        stop = shed.app.screen.query_one("#stop", BigText)
        assert stop.view is not None
        assert stop.view.text == "COMPRESSION"
        await shed.keys("5", "2")
        assert stop.view.text == "CRANK 360"

    teller(tmp_path / "data")(story)
