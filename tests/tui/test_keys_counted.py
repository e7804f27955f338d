"""How many keys a check takes, and how many different ones, pressed as a person would press them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchtui.domain.length import Length
from benchtui.text.words.foot import Foot
from benchtui.tui.app import BenchApp
from benchtui.tui.ask import Ask
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.closing import ClosingScreen
from benchtui.tui.screens.crank import CrankScreen
from benchtui.tui.screens.filed import FiledScreen
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.screens.setting import SettingScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.tui.widgets.foot import FootPicture
from tests.tui.kept_sessions import keep, own_the_examples, program, seen, settled
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


BEFORE = "date 2025-12-01\nmetal 9 C\nwho J.\n"
PUMP = f"""sheet quay-pump
blades fine-metric
{BEFORE}hours 436 h
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.08 free
1E 0.12 refuses
close
"""
VAN = f"""sheet harbour-van
blades coarse-metric
{BEFORE}odometer 70110 km
position 1 mark slack
1I 0.15 free
1I 0.25 refuses
close
"""


class Person:
    """Does what the screen says, with one tight valve, and counts the keys."""

    def __init__(self, app: BenchApp, pilot: Pilot[int], engine: str) -> None:
        self.app, self.pilot, self.engine = app, pilot, engine
        self.gaps = {"1E": Length.mm("0.055" if engine == "quay-pump" else "0.22")}
        self.right = {"1I": "0.085", "1E": "0.102"}
        self.pressed: list[str] = []

    def gap(self, valve: str) -> Length:
        usual = (
            self.right[valve] if self.engine == "quay-pump" else ["0.20", "0.30"][valve[1] == "E"]
        )
        return self.gaps.get(valve, Length.mm(usual))

    def foot(self) -> Foot:
        shown = self.app.screen.query_one("#foot", FootPicture).view
        assert shown is not None
        return shown

    def wanted(self) -> Iterator[str]:
        """The keys of the screen that is up."""
        screen = self.app.screen
        match screen:
            case HomeScreen():
                yield "enter"
            case StartScreen():
                yield from ("1", "9", "enter")
            case CrankScreen():
                yield from ("1", "2")
            case BenchScreen() if len(self.foot().boxes) == 3:
                blade = screen.in_hand()
                assert blade is not None
                yield answer(self.gap(screen.valve), blade.nominal)
            case SettingScreen():
                self.gaps.clear()  # it is set now
                yield self.foot().boxes[-1].key
            case Ask():
                if not screen.query_one(Input).value:
                    yield from ("4", "5", "8") if self.engine == "quay-pump" else "71200"
                yield "enter"
            case BenchScreen() | ClosingScreen():
                yield self.foot().boxes[0].key
            case _:  # the valve tried once more
                yield "s"

    async def until(self, wanted: type) -> None:
        while not isinstance(self.app.screen, wanted):
            assert len(self.pressed) < 100, seen(self.app)
            for key in self.wanted():
                self.pressed.append(key)
                await self.pilot.press(key)
                await settled(self.app, self.pilot)


@pytest.mark.parametrize(
    ("engine", "script", "first_blade", "whole"),
    [("quay-pump", PUMP, 6, 32), ("harbour-van", VAN, 6, 55)],
)
async def test_a_whole_check_of_an_engine_known_already(  # a row of the table each
    tmp_path: Path, engine: str, script: str, first_blade: int, whole: int
) -> None:
    """From the list of engines to the page that says it is filed, one valve of it set on a blade: what
    the design allows a single, and a four in two places of the crank."""
    folder = own_the_examples(tmp_path / "data")
    keep(folder, script)
    async with program(folder) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select(engine)
        await settled(app, pilot)
        person = Person(app, pilot, engine)
        await person.until(BenchScreen)
        assert len(person.pressed) <= first_blade, person.pressed
        await person.until(FiledScreen)
        assert len(person.pressed) <= whole, (len(person.pressed), person.pressed)
        assert "counts as a check" in seen(app)


async def test_overnight_takes_a_key_less(tmp_path: Path) -> None:
    """Space says that it has stood overnight: no figure is typed."""
    folder = own_the_examples(tmp_path / "data")
    keep(folder, PUMP)
    async with program(folder) as (app, pilot):
        assert isinstance(app.screen, HomeScreen)
        app.screen.select("quay-pump")
        await settled(app, pilot)
        for key in ("enter", "space", "enter", "1", "2"):
            await pilot.press(key)
            await settled(app, pilot)
        assert isinstance(app.screen, BenchScreen)
