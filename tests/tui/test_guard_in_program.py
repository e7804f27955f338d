"""The key guard by the real clock: one press is one reading."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Evidence, Particulars
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.workshop import Workshop


async def test_one_press_is_one_reading(tmp_path: Path) -> None:
    """A key that no widget wants comes by the program twice; the second time is no second press."""
    shop = Workshop(DataFolder(tmp_path), wall_clock)
    sheet = shop.engines.sheet("harbour-van")
    live = shop.open_sessions.open(
        shop.opening(sheet, "fine-metric", Particulars(metal_c=Fraction(19)))
    )
    live.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    app = BenchApp(shop)
    async with app.run_test(size=(120, 40)) as pilot:
        app.begin(live)
        await pilot.pause()
        await pilot.press("f")
        await pilot.pause()
        assert len(live.bench.look("1I").readings) == 1
    app.let_go()
