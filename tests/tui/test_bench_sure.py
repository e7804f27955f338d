"""At the bench by keys: the rule with its words, the reasons in full, by feel, the blind repeat."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime
from fractions import Fraction
from itertools import count
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand, Try
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.decision_rule import rule_of
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import (
    Evidence,
    Particulars,
    ReadingTaken,
    RepeatBegun,
    RepeatEnded,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import look
from benchtui.store.hands import save_hand
from benchtui.store.paths import DataFolder
from benchtui.text.reading.hand_file import PractisedHand
from benchtui.tui.app import BenchApp
from benchtui.tui.present import ruler
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.ruler import draw
from benchtui.workshop import Workshop

NOW = datetime(2026, 5, 1, 9, tzinfo=UTC)
FELT = (
    (-8, "refuses"),
    (-5, "refuses"),
    (-4, "drag"),
    (0, "drag"),
    (5, "drag"),
    (9, "drag"),
    (10, "free"),
    (15, "free"),
)


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    """M. has practised: drag from -0.005 to +0.010."""
    tries = tuple(Try(Length.um(100 + e), Length.um(100), Answer(a)) for e, a in FELT)
    save_hand(DataFolder(tmp_path), PractisedHand("M.", date(2026, 4, 1), tries))
    return Workshop(DataFolder(tmp_path), lambda: NOW)


@asynccontextmanager
async def at_the_bench(workshop: Workshop, who: str = "M.") -> AsyncIterator[Pilot[int]]:
    seconds = count(step=10)
    app = BenchApp(workshop, lambda: float(next(seconds)))
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        sheet = workshop.engines.sheet("quay-pump")
        told = Particulars(metal_c=Fraction(19), who=who)
        live = workshop.open_sessions.open(workshop.opening(sheet, "fine-metric", told))
        live.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
        app.begin(live)
        await pilot.pause()
        while not isinstance(app.screen, BenchScreen):
            app.pop_screen()
            await pilot.pause()
        yield pilot


def words(pilot: Pilot[int]) -> str:
    parts = []
    for widget in pilot.app.screen.walk_children():
        if isinstance(widget, Static) and widget.display:
            parts.append(str(widget.render()))
        elif isinstance(widget, Picture) and widget.view is not None:
            grid = widget.draw(widget.view, widget.size.width, widget.size.height)
            parts.append("\n".join(grid.lines()))
    return "\n".join(parts)


def state(pilot: Pilot[int]) -> State:
    app = pilot.app
    assert isinstance(app, BenchApp)
    return app.session_state


async def read(pilot: Pilot[int], blade: str, answer: str) -> None:
    await pilot.press(*("full_stop" if x == "." else x for x in blade), "enter", answer)
    await pilot.pause()


async def test_8_offers_the_rules_in_the_standards_words(workshop: Workshop) -> None:
    async with at_the_bench(workshop) as pilot:
        await pilot.press("m", *"plain", "enter")
        told = words(pilot)
        assert "simple acceptance" in told
        assert "guarded acceptance" in told
        assert "now: plain" in told
        await pilot.press("2")
        assert rule_of(state(pilot)) is DecisionRule.PROVED
        await pilot.press("m", *"plain", "enter", "3")
        assert rule_of(state(pilot)) is DecisionRule.FEEL


async def test_by_feel_is_not_offered_to_whoever_has_not_practised(workshop: Workshop) -> None:
    async with at_the_bench(workshop, who="Asta") as pilot:
        await pilot.press("m", *"plain", "enter")
        assert "by feel" not in words(pilot)
        await pilot.press("3", "escape")
        assert rule_of(state(pilot)) is DecisionRule.PLAIN


async def test_y_says_the_hand_the_rule_and_what_each_answer_means(workshop: Workshop) -> None:
    async with at_the_bench(workshop) as pilot:
        await read(pilot, "0.08", "d")
        await pilot.press("y")
        told = words(pilot)
    assert "If it refuses: in range. If it drags: in range. If it goes free: wide." in told
    assert "If it refuses: in range." in told
    assert "Your hand: drag from -0.005 to +0.01 mm" in told
    assert "By feel it lies: between 0.075 and 0.09" in told
    assert "Decision rule. Plain: simple acceptance" in told


async def test_by_feel_settles_a_valve_and_the_screen_says_that_it_is_only_that(
    workshop: Workshop,
) -> None:
    async with at_the_bench(workshop) as pilot:
        await read(pilot, "0.08", "d")
        assert not look(state(pilot), "1I").done
        await pilot.press("m", *"plain", "enter", "3")
        await pilot.pause()
        told = words(pilot)
        assert look(state(pilot), "1I").done
    assert "undecided, in range by feel" in told
    assert "≈≈≈" in told


async def test_blind_hides_what_was_read_and_asks_again(workshop: Workshop) -> None:
    async with at_the_bench(workshop) as pilot:
        await read(pilot, "0.06", "f")
        await read(pilot, "0.07", "s")
        assert "0.06 goes, 0.07 refuses" in words(pilot)
        await pilot.press("m", *"blind", "enter")
        await pilot.pause()
        hidden = words(pilot)
        assert "0.06 goes, 0.07 refuses" not in hidden
        assert "0.07 refuses" not in hidden
        assert "tight" not in hidden.lower().replace("tighten", "")
        await read(pilot, "0.08", "f")
        await read(pilot, "0.09", "s")
        await pilot.press("m", *"blind", "enter")
        await pilot.pause()
        told = words(pilot)
        assert "your readings lie at least 0.01 mm apart, at most 0.03 mm" in told
        assert "0.06 goes, 0.07 refuses" in told
        live = pilot.app.live  # type: ignore[attr-defined]  # the program's own app
        facts = [type(e.fact) for e in live.bench.events]
        assert facts.count(RepeatBegun) == facts.count(RepeatEnded) == 1


async def test_blind_before_anything_was_read_says_why_not(workshop: Workshop) -> None:
    async with at_the_bench(workshop) as pilot:
        await pilot.press("m", *"blind", "enter")
        await pilot.pause()
        assert "nothing to repeat" in words(pilot)


async def test_enter_at_a_blade_of_a_real_engine_tries_nothing(workshop: Workshop) -> None:
    async with at_the_bench(workshop) as pilot:
        before = state(pilot).number
        await pilot.press("enter")
        assert state(pilot).number == before
        assert "Try the blade, then say what it does" in words(pilot)


def test_the_ruler_draws_where_the_drags_put_it(workshop: Workshop) -> None:
    """To see: the thick bar of the blades, a thin wave on it where this hand has it."""
    hand = workshop.hands.feel("M.")
    assert hand == FeelBand(Length.um(-5), Length.um(-4), Length.um(9), Length.um(10))
    told = Particulars(metal_c=Fraction(19), who="M.")
    live = workshop.open_sessions.open(
        workshop.opening(workshop.engines.sheet("quay-pump"), "fine-metric", told)
    )
    bench = live.bench
    bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    for blade, answer in (("0.06", Answer.FREE), ("0.10", Answer.REFUSES)):
        feeler = bench.state.opened.blades.feeler(Length.mm(blade))
        bench.do(ReadingTaken("1I", feeler, answer))
    assert ruler(bench.look("1I"), None, hand).by_feel is None  # no drag, nothing felt
    bench.do(ReadingTaken("1I", bench.state.opened.blades.feeler(Length.mm("0.08")), Answer.DRAG))
    drawn = ruler(bench.look("1I"), None, hand)
    live.release()
    assert drawn.by_feel is not None
    assert (drawn.by_feel.low, drawn.by_feel.high) == (Length.mm("0.075"), Length.mm("0.09"))
    picture = draw(drawn, 80, 7).lines()
    bar = next(line for line in picture if "━" in line or "╌" in line)
    assert "≈" in bar
    assert any("≈ by feel between 0.075 and 0.09" in line for line in picture)
