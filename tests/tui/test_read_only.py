"""A second program on one session: marked all the time, and never behind the first one."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from textual.widgets import Static

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Evidence, Particulars, ReadingTaken
from benchtui.store.paths import DataFolder
from benchtui.tui.screens.bench import BenchScreen
from benchtui.workshop import Workshop
from tests.tui.shed import Shed, teller

PLACE = ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK))


def test_the_second_program_says_so_and_goes_on_with_the_first(tmp_path: Path) -> None:
    async def part(shed: Shed) -> None:
        workshop = Workshop(DataFolder(shed.folder), shed.clock)
        sheet = workshop.engines.sheet("plain-single")
        first = workshop.open_sessions.open(
            workshop.opening(sheet, "leaves-f", Particulars(metal_c=Fraction(19)))
        )
        first.bench.do(PLACE)
        workshop.past_sessions.store(first.session)

        await shed.settle()
        await shed.keys("slash", "'plain", "enter", "enter", "1")
        assert isinstance(shed.app.screen, BenchScreen)
        assert "READ ONLY" in str(shed.app.screen.query_one("#title", Static).render())
        assert "S  REFUSES" not in shed.screen()
        await shed.keys("s")
        assert "only be looked at" in shed.screen()
        assert len(first.bench.events) == 2

        blades = first.bench.state.opened.blades
        first.bench.do(ReadingTaken("1I", blades.feeler(Length.mm("0.06")), Answer.FREE))
        for _ in range(40):
            await shed.pilot.pause(0.1)
            if "0.06 free" in shed.screen():
                break
        assert "0.06 free" in shed.screen()
        await shed.keys("p")
        assert "READ ONLY" in str(shed.app.screen.query_one("#title", Static).render())
        await shed.keys("escape", "escape")
        assert shed.app.live is None
        first.release()

    teller(tmp_path / "data")(part)
