"""The program driven by key presses on a data folder of its own, one program after the other."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from textual.pilot import Pilot
from textual.widgets import DataTable, Input, Static

from benchtui.domain.session.facts.events import Fact
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.turning import Turning, turning
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.crank import CrankScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.tui.widgets.form_lines import ChoiceLine
from benchtui.tui.widgets.picture import Picture
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import own_the_examples

STORIES = Path(__file__).parent.parent / "stories" / "data"
SPELT = {" ": "space", ".": "full_stop", "-": "minus", "+": "plus"}


class Shed:
    """One data folder and the program on it; keys go in, words and stored sessions come out."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.app: BenchApp
        self.pilot: Pilot[int]
        self._minutes = count()
        self._seconds = count(step=10)

    def clock(self) -> datetime:
        return datetime(2026, 5, 4, 9, tzinfo=UTC) + timedelta(minutes=next(self._minutes))

    def new_app(self) -> BenchApp:
        workshop = Workshop(DataFolder(self.folder), self.clock)
        return BenchApp(workshop, lambda: float(next(self._seconds)))

    async def keys(self, *keys: str) -> None:
        """Press keys; what stands in quotes is typed letter by letter."""
        for key in keys:
            typed = key.startswith("'")
            for one in key[1:] if typed else [key]:
                await self.pilot.press(SPELT.get(one, one) if typed else one)
            await self.settle()

    async def settle(self) -> None:
        await self.pilot.pause()
        while any(not worker.is_finished for worker in self.app.workers):
            await self.app.workers.wait_for_complete()
            await self.pilot.pause()

    def screen(self) -> str:
        """Every word on the screen in front."""
        parts = []
        for widget in self.app.screen.walk_children():
            if isinstance(widget, Static) and widget.display:
                parts.append(str(widget.render()))
            elif isinstance(widget, Picture) and widget.view is not None:
                grid = widget.draw(widget.view, widget.size.width, widget.size.height)
                parts.append("\n".join(grid.lines()))
            elif isinstance(widget, DataTable):
                parts += [str(c) for n in range(widget.row_count) for c in widget.get_row_at(n)]
        return "\n".join(parts)

    def stored(self) -> State:
        """The session as its file has it."""
        path = max((self.folder / "sessions").glob("*.session"))
        return fold(read_session(path).events)

    def facts(self) -> list[Fact]:
        path = max((self.folder / "sessions").glob("*.session"))
        return [e.fact for e in read_session(path).events]

    def valve(self, name: str) -> ValveView:
        return look(self.stored(), name)

    def turning(self, name: str) -> Turning:
        """The turn to make there."""
        return turning(self.stored(), self.valve(name))

    async def begin(self, engine: str, blades: str, *lines: tuple[str, str]) -> None:
        """Choose the engine, fill the form in, tick what stands before the measuring."""
        await self.settle()
        await self.keys("slash", f"'{engine}", "enter", "enter")
        for id_, text in lines:
            self.app.screen.query_one(f"#{id_}", Input).value = text
        self.app.screen.query_one("#blades", ChoiceLine).take(blades)
        await self.begin_as_it_stands()
        assert isinstance(self.app.screen, CrankScreen)

    async def begin_as_it_stands(self) -> None:
        """Enter; what is still to be ticked is ticked, and what was warned of is begun all the same."""
        await self.settle()
        for _ in range(12):
            screen = self.app.screen
            if not isinstance(screen, StartScreen):
                return
            current = screen.current()
            ticked = current is None or "tick" not in current.classes or current.value
            await self.keys("enter" if ticked else "space")

    async def read(self, valve: str, *tries: str) -> None:
        """``"0.06 f"``: the blade is put in hand by its size if it is not the one advised."""
        bench = self.app.screen
        assert isinstance(bench, BenchScreen)
        for _ in range(12):
            if self.in_hand() == valve:
                break
            await self.keys("right")
        assert self.in_hand() == valve
        for one in tries:
            blade, answer = one.split()
            await self.keys(f"'{blade}", "enter", answer)

    def in_hand(self) -> str:
        screen = self.app.screen
        assert isinstance(screen, BenchScreen)
        return screen.valve


Story = Callable[[Shed], Awaitable[None]]
Tell = Callable[..., None]


def teller(folder: Path) -> Tell:
    """Plays the parts of a story, each in a program of its own on the same folder."""
    own_the_examples(shutil.copytree(STORIES, folder))
    shed = Shed(folder)

    def told(*parts: Story, size: tuple[int, int] = (80, 24)) -> None:
        async def run() -> None:
            for part in parts:
                shed.app = shed.new_app()
                async with shed.app.run_test(size=size) as pilot:
                    shed.pilot = pilot
                    await part(shed)
                # Killed: nothing is closed, but the system lets go of the lock on the file.
                if shed.app.live is not None:
                    shed.app.live.release()

        asyncio.run(run())

    return told
