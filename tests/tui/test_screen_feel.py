"""A hand practised on known gaps by key presses, kept, and used at the bench by its owner alone."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Static

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.feel import FeelScreen
from benchtui.tui.widgets.picture import Picture
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import own_the_examples

NOW = datetime(2026, 5, 1, 9, tzinfo=UTC)
KEYS = {Answer.REFUSES: "s", Answer.DRAG: "d", Answer.FREE: "f"}
LOWER, UPPER = Length.um(-4), Length.um(10)


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(DataFolder(own_the_examples(tmp_path)), lambda: NOW)


@asynccontextmanager
async def opened(workshop: Workshop) -> AsyncIterator[Pilot[int]]:
    """The feel screen, M. named, at 80 columns by 24 rows."""
    seconds = count(step=10)
    app = BenchApp(workshop, lambda: float(next(seconds)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "3")
        await pilot.pause()
        app.screen.query_one(Input).value = "M."
        await pilot.press("enter")
        await pilot.pause()
        yield pilot


def feel(pilot: Pilot[int]) -> FeelScreen:
    screen = pilot.app.screen
    assert isinstance(screen, FeelScreen)
    return screen


def words(pilot: Pilot[int]) -> str:
    parts = []
    for widget in pilot.app.screen.walk_children():
        if isinstance(widget, Static) and widget.display:
            parts.append(str(widget.render()))
        elif isinstance(widget, Picture) and widget.view is not None:
            grid = widget.draw(widget.view, widget.size.width, widget.size.height)
            parts.append("\n".join(grid.lines()))
    return "\n".join(parts)


def steady_hand(excess: Length) -> Answer:
    if excess >= UPPER:
        return Answer.FREE
    return Answer.DRAG if excess >= LOWER else Answer.REFUSES


async def practise(
    pilot: Pilot[int], hand: Callable[[Length], Answer] = steady_hand, most: int = 40
) -> int:
    """Do as the screen asks until it has enough; the number of tries."""
    for done in range(most):
        practice, blade = feel(pilot)._practice, feel(pilot)._blade
        assert blade is not None
        asked = practice.wanted(blade.nominal)
        if asked is None:
            return done
        await pilot.press("space", KEYS[hand(asked - blade.nominal)])
    raise AssertionError("the practice came to no end")


async def test_a_practice_as_asked_for_is_learned_and_kept(workshop: Workshop) -> None:
    async with opened(workshop) as pilot:
        tries = await practise(pilot)
        assert tries <= 14
        assert "That is enough: Enter keeps it." in words(pilot)
        await pilot.press("enter")
        assert "The hand of M. is kept" in words(pilot)
        assert "decides nothing unless you choose" in words(pilot)
    band = workshop.hands.feel("M.")
    assert band is not None
    # The true ends of this hand lie where the band leaves them open, to two micrometres.
    assert band.floor <= LOWER <= band.refused_to <= band.floor + Length.um(2)
    assert band.free_from <= UPPER <= band.ceiling <= band.free_from + Length.um(2)
    assert workshop.hands.feel("somebody else") is None


async def test_an_answer_wants_a_gap_first_and_too_few_tries_are_not_kept(
    workshop: Workshop,
) -> None:
    async with opened(workshop) as pilot:
        await pilot.press("d")
        assert "First the gap" in words(pilot)
        await pilot.press(*"0.104", "enter", "d", "enter")
        assert "Too few tries" in words(pilot)
        assert len(feel(pilot)._practice.tries) == 1
        await pilot.press("backspace")
        await pilot.pause()
        assert "Forgotten: " in words(pilot)
        assert feel(pilot)._practice.tries == ()
    assert workshop.hands.hand("M.") is None


async def test_leaving_asks_about_tries_that_are_not_kept(workshop: Workshop) -> None:
    async with opened(workshop) as pilot:
        await pilot.press("space", "s", "escape")
        assert "not kept" in words(pilot)
        await pilot.press("2")
        feel(pilot)
        await pilot.press("escape", "1")
        assert not isinstance(pilot.app.screen, FeelScreen)


async def test_the_picture_shows_the_tries_and_the_band(workshop: Workshop) -> None:
    """To see: gap less blade along a scale, each try with its shape, the band of drag hatched."""
    async with opened(workshop) as pilot:
        await practise(pilot)
        await pilot.pause()
        shown = words(pilot)
    assert "drag, as gap less blade" in shown
    assert "▒" in shown
    assert "refuses" in shown
