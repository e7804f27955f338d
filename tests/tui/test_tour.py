"""The tour: ten steps on a pump that is not real, told row by row, and nothing of it kept."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from textual.pilot import Pilot

from benchtui.domain.gauging.bracket import Answer
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.session import rehearse
from benchtui.practice.tour import GAPS, MARK, STEPS
from benchtui.store.paths import DataFolder
from benchtui.text.words.practice_words import feel_words, judged_words
from benchtui.tui.app import BenchApp
from benchtui.tui.frame import WorkScreen
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.screens.practice import practise, tour
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import own_the_examples, seen, settled

NOW = datetime(2026, 5, 1, 9, tzinfo=UTC)
UM = 1_000

BEGIN = ["enter", "1", "5", "enter"]
BY_HAND = [
    *BEGIN, "1", "2", "f", "s", "space", "s", "f", "s", "enter", "enter", "f", "s", "enter",
    "space", "space", "1", "2", "s", "space", "space", "space", "space", "enter",
]  # fmt: skip
"""Each key as the two rows name it."""

CLOSING = BY_HAND.index("space", 12)
BY_THE_HAND = [key if key not in ("f", "s") else "enter" for key in BY_HAND[:CLOSING]]
BY_THE_HAND += BY_HAND[CLOSING:]
"""The same with Enter at every blade of the bench."""


def rows_of(app: BenchApp) -> list[str]:
    strips = app.screen._compositor.render_strips()
    return ["".join(s.text for s in row).rstrip() for row in strips]


@asynccontextmanager
async def opened(tmp_path: Path) -> AsyncIterator[tuple[BenchApp, Pilot[int]]]:
    ticks = count()
    app = BenchApp(Workshop(DataFolder(tmp_path), lambda: NOW), clock=lambda: float(next(ticks)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        yield app, pilot


async def walk(
    app: BenchApp, pilot: Pilot[int], keys: list[str], look: Callable[[list[str]], None]
) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
        if isinstance(app.screen, WorkScreen) and not isinstance(app.screen, HomeScreen):
            look(rows_of(app))


@pytest.mark.parametrize("keys", [BY_HAND, BY_THE_HAND])
async def test_ten_steps_to_the_card_and_nothing_of_it_on_disk(
    keys: list[str], tmp_path: Path
) -> None:
    passed: list[int] = []

    def look(rows: list[str]) -> None:
        if "Where to begin" in rows[0]:
            return
        assert MARK in rows[0]
        assert rows[1].startswith(" !")
        told = re.match(r"Tour (\d+)  The hand .*\.$", rows[2])
        assert told, rows[2]
        assert rows[3].startswith(f"{told[1]} of 10, {STEPS[int(told[1]) - 1]}. ")
        passed.append(int(told[1]))
        if "put 0." in rows[2] and "Bench" in rows[0]:
            assert "or J" in rows[-3], "the answers stand whole"

    async with opened(tmp_path) as (app, pilot):
        tour(app.screen)  # type: ignore[arg-type]  # the engines' screen, or where to begin
        await pilot.pause()
        assert f"{MARK}. Step 1 of 10: the engine." in seen(app)
        await walk(app, pilot, keys, look)
        assert f"{MARK}. Step 10 of 10: the card" in seen(app)
        assert "valve clearances" in seen(app)
        assert app.live is None
        assert app.workshop.past_sessions.rows() == []
        assert not list(app.workshop.data.sessions.glob("*"))
    assert list(dict.fromkeys(passed)) == [3, 5, 4, 6, 7, 8, 9]


async def test_warm_metal_is_not_taken_from_a_thermometer_that_says_cold(tmp_path: Path) -> None:
    async with opened(tmp_path) as (app, pilot):
        tour(app.screen)  # type: ignore[arg-type]  # as above
        await pilot.press("enter", "6", "0", "enter")
        await pilot.pause()
        assert "too warm" in seen(app)
        assert app.live is None


@pytest.mark.parametrize("over", range(-120, 121, 3))
def test_the_words_of_a_feel_belong_to_one_answer(over: int) -> None:
    answer = STORY_HAND.feel(over * UM, 0)
    words = feel_words(answer, over * UM)
    others = {
        feel_words(a, o * UM) for a in Answer for o in (-100, -10, 0, 5, 20, 100) if a is not answer
    }
    assert words not in others
    assert not {"refuses", "drag", "drags", "free"} & set(re.findall(r"\w+", words))
    assert len(f"Tour 8  The hand put 0.10 to 1E: {words}.") <= 80


def test_the_pump_of_the_tour_is_as_it_says() -> None:
    """0.06 to 0.10 mm inlet, 0.08 to 0.12 mm exhaust, as its sheet prints."""
    assert 60 * UM + STORY_HAND.free_above < GAPS["1I"] < 100 * UM + STORY_HAND.drag_above
    assert GAPS["1E"] < 80 * UM + STORY_HAND.drag_above


async def test_in_practice_the_feel_is_told_and_the_person_names_it_first(tmp_path: Path) -> None:
    ticks = count()
    shop = Workshop(DataFolder(own_the_examples(tmp_path)), lambda: NOW)
    app = BenchApp(shop, clock=lambda: float(next(ticks)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        practise(app.screen, shop.engines.sheet("quay-pump"))  # type: ignore[arg-type]  # the engines' screen
        await settled(app, pilot)
        await pilot.press("1", "3")
        await settled(app, pilot)
        assert app.live is not None
        before = len(app.live.bench.events)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "The hand, 0.06: " in seen(app)
        assert "S, D or F?" in seen(app)
        assert len(app.live.bench.events) == before, "the hand has not answered"
        await pilot.press("enter")
        await settled(app, pilot)
        assert "The practice hand: 0.06" in seen(app)
        assert len(app.live.bench.events) == before + 1
        # And once by himself, wrongly: it is recorded, and said.
        felt = app.live.felt("1I", app.screen.in_hand())[0]  # type: ignore[attr-defined]  # the bench
        wrong = {"f": Answer.FREE, "s": Answer.REFUSES}
        key = next(k for k, answer in wrong.items() if answer is not felt)
        await pilot.press(key)
        await settled(app, pilot)
        said = " ".join(seen(app).split())
        assert f"The practice hand says {felt.value}: " in said
        assert len(app.live.bench.events) == before + 2


def test_what_the_hand_says_to_an_answer() -> None:
    assert judged_words(Answer.FREE, Answer.FREE, 20 * UM) == "So says the practice hand: free."
    assert judged_words(Answer.FREE, Answer.DRAG, 0).startswith(
        "The practice hand says drag: it goes"
    )


async def test_in_practice_the_hand_says_what_45_degrees_on_has_shown(tmp_path: Path) -> None:
    """One turn out no rocker is loose, and 45 degrees on the inlet opens (common practice)."""
    shop = Workshop(DataFolder(own_the_examples(tmp_path)), lambda: NOW)
    ticks = count()
    app = BenchApp(shop, clock=lambda: float(next(ticks)))
    out = replace(STORY_HAND, overlap=1.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        app.begin(rehearse(shop, shop.engines.sheet("quay-pump"), "fine-metric", hand=out))
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "a rocker of 1 is not loose" in " ".join(seen(app).split())
        await pilot.press("5", "1")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        said = " ".join(seen(app).split())
        assert "The practice hand turned 45 degrees on: the inlet opens. 5 says so." in said
