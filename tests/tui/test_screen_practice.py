"""Practice at an engine that is not real: the ordinary bench, and nothing of it is kept."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction
from itertools import count
from pathlib import Path
from random import Random

import pytest
from textual.widgets import Static

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import CloseSession, ConfirmPosition, Undo
from benchtui.domain.session.facts.events import (
    Evidence,
    Locked,
    ReadingTaken,
    ScrewTurned,
    ShimFitted,
    WoundBack,
)
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.whole.outcome import Fit
from benchtui.practice.hand import RIGID_HAND, STORY_HAND, Hand
from benchtui.practice.session import PRACTICE_HAND, Rehearsal, rehearse
from benchtui.store.paths import DataFolder
from benchtui.text.words.foot import Foot
from benchtui.text.words.practice_words import outcome_paragraphs
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.widgets.bigtext import BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.foot import FootPicture
from benchtui.workshop import Workshop
from tests.asking import advise
from tests.refusing import must_refuse
from tests.tui.kept_sessions import own_the_examples

NOW = datetime(2026, 5, 1, 9, tzinfo=UTC)
SURE = (Evidence.MARK, Evidence.INLET)


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(DataFolder(own_the_examples(tmp_path)), lambda: NOW)


def begun(workshop: Workshop, engine: str = "quay-pump", hand: Hand = STORY_HAND) -> Rehearsal:
    sheet = workshop.engines.sheet(engine)
    blades = workshop.reviews.usual_blades(sheet)
    assert blades is not None
    return rehearse(workshop, sheet, blades, random=Random(7), hand=hand)  # noqa: S311  # seeded


def measure(live: Rehearsal, valve: str) -> None:
    """As the bench advises, the practice hand answering."""
    for _ in range(20):
        view = live.bench.look(valve)
        advice = advise(live.bench.state, view)
        if not isinstance(advice, TryBlade):
            return
        live.bench.do(ReadingTaken(valve, advice.feeler, live.metal.feel(valve, advice.feeler)))
    raise AssertionError("no end")


def test_a_whole_practice_and_nothing_of_it_on_disk(workshop: Workshop, tmp_path: Path) -> None:
    live = begun(workshop, hand=RIGID_HAND)
    assert live.bench.state.opened.practice
    assert not live.read_only
    live.bench.do(ConfirmPosition("1", SURE))
    for valve in live.bench.state.valves:
        measure(live, valve)
    state = live.bench.do(CloseSession())
    assert state.closed is not None
    live.release()
    assert list(tmp_path.rglob("*.session")) == []
    assert workshop.past_sessions.rows() == []
    outcomes = live.outcomes()
    assert [o.valve for o in outcomes] == list(state.valves)
    assert all(o.found_fit is not Fit.NOTHING_SAID for o in outcomes)
    told = "\n".join(outcome_paragraphs(outcomes))
    assert "nothing of it is kept" in told
    assert f"{outcomes[0].found_true.in_mm:.3f} mm" in told


def test_the_metal_moves_with_screw_and_nut_and_back_when_taken_back(workshop: Workshop) -> None:
    still = Hand(turn_error=0.0, lock_closes=15_000, lock_spread=0)
    live = begun(workshop, hand=still)
    live.bench.do(ConfirmPosition("1", SURE))
    live.metal.gaps["1E"] = 50_000
    measure(live, "1E")
    live.bench.do(ScrewTurned("1E", Way.OUT, Fraction(24)))
    # A pitch of 0.75 mm over 24 degrees is 0.05 mm; the nut then takes 0.015 (geometry).
    assert live.metal.gaps["1E"] == 100_000
    live.bench.do(Locked("1E"))
    assert live.metal.gaps["1E"] == 85_000
    live.bench.do(Undo())
    assert live.metal.gaps["1E"] == 100_000
    live.bench.do(Undo())
    assert live.metal.gaps["1E"] == 50_000


def test_wound_back_from_zero_the_gap_is_the_turn(workshop: Workshop) -> None:
    live = begun(workshop)
    live.bench.do(ConfirmPosition("1", SURE))
    live.metal.gaps["1E"] = 60_000
    measure(live, "1E")
    live.bench.do(WoundBack("1E", Fraction(48)))
    assert live.metal.gaps["1E"] == 100_000


def test_a_thinner_shim_opens_the_gap_by_as_much(workshop: Workshop) -> None:
    live = begun(workshop, "ferry-tender")
    sheet = live.bench.state.opened.sheet
    valve = sheet.layout.cylinders[0].valves[0].name
    live.bench.do(ConfirmPosition(sheet.layout.cylinders[0].name, SURE))
    fitted = live.bench.state.valves[valve].shim
    assert fitted is not None
    live.metal.gaps[valve] = 100_000
    measure(live, valve)
    live.bench.do(ShimFitted(valve, fitted - Length.um(50)))
    opened = Length.um(50).scaled(sheet.adjuster.lever)
    assert live.metal.gaps[valve] == 100_000 + opened.nm


def test_one_turn_out_without_knowing_it_and_seen_by_the_motion(workshop: Workshop) -> None:
    live = begun(workshop, hand=Hand(overlap=1.0))
    live.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    thinnest = live.bench.state.opened.blades.singles()[0]
    assert not live.metal.feel("1I", thinnest).goes
    live.bench.do(ConfirmPosition("1", SURE))
    live.metal.gaps["1I"] = 80_000
    assert live.metal.feel("1I", thinnest).goes


def test_the_rockers_tell_it_before_the_position_is_confirmed(workshop: Workshop) -> None:
    """Looked at twice, the crank stands as it did; confirmed by the mark alone, it is as was felt."""
    wrong = begun(workshop, hand=Hand(overlap=1.0))
    assert not wrong.slack("1")
    assert not wrong.slack("1")
    wrong.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    assert wrong.metal.one_turn_out
    right = begun(workshop, hand=Hand(overlap=0.0))
    assert right.slack("1")
    right.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
    assert not right.metal.one_turn_out


def test_the_practice_engine_is_its_own_and_knows_no_past(workshop: Workshop) -> None:
    opened = begun(workshop).bench.state.opened
    assert opened.left_last == ()
    assert opened.past_shifts == ()
    assert PRACTICE_HAND.overlap > 0
    with must_refuse(r"[Hh]ydraulic"):
        begun(workshop, "pilot-launch")


async def test_by_keys_from_the_engines_to_said_and_true(workshop: Workshop) -> None:
    """E practises, 7 lets the hand try each blade, filing shows what was true and keeps nothing."""
    seconds = count(step=10)
    app = BenchApp(workshop, lambda: float(next(seconds)))
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, HomeScreen)
        screen.select("quay-pump")
        await pilot.press("t", "2")
        await pilot.pause()
        assert "PRACTICE" in str(app.screen.query_one("#title", Static).render())
        live = app.live
        assert isinstance(live, Rehearsal)
        true = {"1I": 83_000, "1E": 104_000}
        live.metal.gaps.update(true)
        live._found.update(true)
        live.bench.do(ConfirmPosition("1", SURE))
        app.pop_screen()
        await pilot.pause()
        bench = app.screen
        assert isinstance(bench, BenchScreen)
        assert "PRACTICE" in str(bench.query_one("#title", Static).render())
        for valve in ("1I", "1E"):
            assert bench.valve == valve
            for _ in range(8):
                if live.bench.look(valve).done:
                    break
                await pilot.press("enter")
            assert live.bench.look(valve).done
            await pilot.press("space")
            await pilot.pause()
        live.bench.do(CloseSession())
        app.filed()
        await pilot.pause()
        shown = "\n".join(str(s.render()) for s in app.screen.query(Static))
        tall = app.screen.query_one("#filed-tall", BigText).view
        foot = app.screen.query_one("#foot", FootPicture).view
    assert tall is not None
    assert tall.text == "NOT KEPT"
    assert tall.role is Role.CAUTION
    assert foot == Foot.one("enter", "the engines", "nothing of this practice is kept")
    assert "As left: 2 right, 0 wrong, 0 without a verdict." in shown
    assert "it was 0.083 mm: right" in shown
    assert workshop.past_sessions.rows() == []
