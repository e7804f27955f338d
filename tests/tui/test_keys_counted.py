"""How many keys a check takes, and how many different ones, pressed as a person would press them."""

from __future__ import annotations

from pathlib import Path

from benchtui.domain.length import Length
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.closing import ClosingScreen
from benchtui.tui.screens.setting import SettingScreen
from benchtui.tui.widgets.foot import FootPicture
from tests.tui.kept_sessions import seen
from tests.tui.test_bench_from_afar import bench

NORMAL = {"s", "d", "f", "enter", "space"}


def answer(gap: Length, blade: Length) -> str:
    """As a hand feels it: 0.01 mm under the gap a blade goes free, up to the gap it drags."""
    if blade > gap:
        return "s"
    return "d" if gap - blade < Length.mm("0.01") else "f"


async def test_who_does_what_the_foot_says_comes_to_the_end_with_few_keys(tmp_path: Path) -> None:
    """Two valves, one of them tight, set on a blade and measured again: from the first blade to closing
    up no key is pressed but the foot's own. The design allows twelve for it."""
    gaps = {"1I": Length.mm("0.085"), "1E": Length.mm("0.055")}
    pressed: list[str] = []
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        app = pilot.app
        assert isinstance(app, BenchApp)
        while not isinstance(app.screen, ClosingScreen):
            assert len(pressed) < 20, seen(app)
            foot = app.screen.query_one("#foot", FootPicture).view
            assert foot is not None
            key = foot.boxes[-1].key if len(foot.boxes) < 3 else ""
            if not key:
                assert isinstance(app.screen, BenchScreen)
                blade = app.screen.in_hand()
                assert blade is not None
                key = answer(gaps[app.screen.valve], blade.nominal)
            elif isinstance(app.screen, SettingScreen):
                gaps["1E"] = Length.mm("0.102")
            pressed.append(key)
            await pilot.press(key)
            await pilot.pause()
        assert app.live is not None
        assert all(app.live.bench.look(name).done for name in app.session_state.valves)
    assert set(pressed) <= NORMAL
    assert len(pressed) <= 12, pressed
