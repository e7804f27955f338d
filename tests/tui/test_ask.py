"""A question in one line: keys that come before the line has the cursor, and on the figure by Space."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input

from benchtui.domain.session.facts.events import Fact, FigureChosen, Opened, ReadingTaken
from benchtui.tui.ask import Ask
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.tui.widgets.form_lines import FormLine
from tests.tui.shed import Shed, Tell, teller


@pytest.fixture
def tell(tmp_path: Path) -> Tell:
    return teller(tmp_path / "data")


CHARACTERS = {"full_stop": ".", "space": " "}


async def at_once(shed: Shed, *keys: str) -> None:
    """All of these arrive before the first of them has been dealt with, as after a stalled line."""
    for key in keys:
        shed.app.post_message(events.Key(key, CHARACTERS.get(key, key if len(key) == 1 else None)))
    await shed.settle()


def test_a_blade_typed_in_one_burst_is_taken_whole(tell: Tell) -> None:
    """0, point, 1, 0 and Enter together: a blade of 0.10 and no other is in hand."""

    async def story(shed: Shed) -> None:
        await shed.begin("quay pump", "fine-metric", ("metal", "19"))
        await shed.keys("1", "2")
        await at_once(shed, "0", "full_stop", "1", "0", "enter")
        assert isinstance(shed.app.screen, BenchScreen)
        await shed.keys("f")
        read = [fact for fact in shed.facts() if isinstance(fact, ReadingTaken)]
        assert [str(fact.feeler) for fact in read] == ["0.10 mm"]

    tell(story)


def test_a_burst_without_enter_stands_in_the_line(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("quay pump", "fine-metric", ("metal", "19"))
        await shed.keys("1", "2")
        await at_once(shed, "0", "full_stop", "0", "8")
        assert isinstance(shed.app.screen, Ask)
        assert shed.app.screen.query_one(Input).value == "0.08"

    tell(story)


WAY = (
    "enter",
    "1",
    "2",
    "f",
    "space",
    "d",
    "up",
    "s",
    "backspace",
    "left",
    "f",
    "c",
    "escape",
    "d",
)


@pytest.mark.parametrize("together", [2, 3, 5, len(WAY)])
def test_keys_that_arrive_together_do_what_they_do_one_by_one(
    tmp_path: Path, together: int
) -> None:
    """From the form over the crank to the bench and back: each key is its own screen's."""

    def played(folder: Path, at_a_time: int) -> list[Fact]:
        facts: list[Fact] = []

        async def story(shed: Shed) -> None:
            await shed.settle()
            await shed.keys("slash", "'quay pump", "enter", "enter", "'19")
            start = shed.app.screen
            assert isinstance(start, StartScreen)
            for line in start.query(".tick").results(FormLine):
                line.line.take("so")  # type: ignore[union-attr]  # these are choices
            for begin in range(0, len(WAY), at_a_time):
                await at_once(shed, *WAY[begin : begin + at_a_time])
            assert isinstance(shed.app.screen, BenchScreen)
            facts.extend(shed.facts()[1:])

        teller(folder)(story)
        return facts

    alone = played(tmp_path / "alone", 1)
    assert sum(isinstance(fact, ReadingTaken) for fact in alone) == 5  # as in WAY
    assert played(tmp_path / "together", together) == alone


def test_on_the_figure_is_chosen_by_space_before_the_check_and_stands_there_the_next_time(
    tell: Tell,
) -> None:
    """The winch's handbook prints one figure: asked once, it is as last time from then on."""

    async def first(shed: Shed) -> None:
        await shed.settle()
        await shed.keys("slash", "'slip winch", "enter", "enter", "'19")
        start = shed.app.screen
        assert isinstance(start, StartScreen)
        start.go_to("band")
        await shed.keys("space")
        assert start.query_one("#band", Input).value == "on the figure"
        assert "as the handbook says" in shed.screen()
        await shed.begin_as_it_stands()
        assert FigureChosen() in shed.facts()

    async def the_next_day(shed: Shed) -> None:
        shed.app.push_screen(StartScreen(shed.app.workshop.engines.sheet("slip-winch")))
        await shed.settle()
        assert shed.app.screen.query_one("#band", Input).value == "on the figure"

    async def taken_out(shed: Shed) -> None:
        shed.app.push_screen(StartScreen(shed.app.workshop.engines.sheet("slip-winch")))
        await shed.settle()
        start = shed.app.screen
        assert isinstance(start, StartScreen)
        await shed.keys("'19")
        start.query_one("#band", Input).value = ""
        await shed.settle()
        await shed.begin_as_it_stands()
        opened = shed.facts()[0]
        assert isinstance(opened, Opened)
        assert not opened.on_figure, "what is no longer in the line does not judge"

    tell(first, the_next_day, taken_out)


def test_a_letter_in_a_line_that_is_chosen_says_how_it_is_changed(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.settle()
        await shed.keys("slash", "'quay pump", "enter", "enter")
        start = shed.app.screen
        assert isinstance(start, StartScreen)
        before = start.line("blades").value
        start.go_to("blades")
        await shed.keys("m")
        assert "← or → changes this line." in shed.screen()
        assert start.line("blades").value == before

    tell(story)
