"""The screens before, at the crank and after: nothing is touched or filed that should not be."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from textual.widgets import DataTable, Input, Static

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.facts.commands import CloseSession
from benchtui.domain.session.facts.events import AfterStep, CrankTurned, Sign, SignSeen
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.whole.readiness import UNREAD
from benchtui.text.words.evidence_words import GO_ROUND
from benchtui.tui.frame import OUTRANK
from benchtui.tui.screens.before import BeforeScreen
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.closing import ClosingScreen
from benchtui.tui.screens.crank import CrankScreen
from benchtui.tui.screens.filed import FiledScreen
from benchtui.tui.screens.handover import HandoverScreen
from benchtui.tui.screens.home import HomeScreen
from benchtui.tui.screens.start import StartScreen
from benchtui.tui.widgets.bigtext import Big, BigText, lines
from benchtui.tui.widgets.crank_dial import CrankDialPicture
from benchtui.tui.widgets.form_lines import ChoiceLine, FormLine
from benchtui.tui.widgets.valve_map import ValveMapPicture
from tests.tui.kept_sessions import seen
from tests.tui.shed import Shed, Tell, teller


@pytest.fixture
def tell(tmp_path: Path) -> Tell:
    return teller(tmp_path / "data")


async def form(shed: Shed, engine: str, metal: str) -> None:
    await shed.settle()
    await shed.keys("slash", f"'{engine}", "enter", "enter")
    shed.app.screen.query_one("#metal", Input).value = metal


async def tick_all(shed: Shed) -> None:
    """Space at each caution that wants it, then Enter."""
    screen = shed.app.screen
    assert isinstance(screen, StartScreen)
    while any(line.value == "" for line in screen.query(".tick").results(FormLine)):
        await shed.keys("space")
    await shed.keys("enter")


def test_what_is_warm_is_said_before_anything_is_opened_and_when_it_will_be_cold(
    tell: Tell,
) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "plain", "62 C")
        await shed.keys("enter")
        assert isinstance(shed.app.screen, StartScreen)
        await tick_all(shed)
        assert "No verdict: 62 C, too warm" in shed.screen()
        assert shed.app.screen.focused is shed.app.screen.query_one("#metal")
        assert not list((shed.folder / "sessions").glob("*.session"))
        await shed.keys("f2", "'62 C", "tab", "'30", "tab", "'48 C", "tab", "'15 C", "enter")
        # T = 15 + 47 exp(-kt), 33 after 30 min; 20 then: 30 ln(33/20) / ln(47/33) = 42 (closed form).
        assert "cold in about 0 h 42 min" in shed.screen()
        assert "Assumed" in shed.screen()
        await shed.keys("escape", "enter")
        assert isinstance(shed.app.screen, BeforeScreen)
        assert "62 C, too warm" in shed.screen()
        assert len(shed.stored().cautions) == 3, "cold is not acknowledged against what was told"
        assert "!! NO" in shed.screen()

    tell(story)


def test_the_arrows_and_enter_mean_the_same_on_every_line_of_the_form(tell: Tell) -> None:
    """Down walks over every line, Right chooses, typing changes no list, Enter begins from there."""

    async def story(shed: Shed) -> None:
        await form(shed, "harbour van", "19 C")
        rule = shed.app.screen.query_one("#rule", ChoiceLine)
        while not rule.has_focus:
            await shed.keys("down")
        assert rule.value == "plain"
        await shed.keys("p", "r", "2")
        assert rule.value == "plain"
        assert "simple acceptance" in shed.screen()
        await shed.keys("right", "right", "left")
        assert rule.value == "proved"
        assert "guarded acceptance" in shed.screen()
        await shed.keys("down", "right")
        assert shed.app.screen.query_one("#stops", ChoiceLine).value == "fewest"
        await shed.keys("enter")
        await tick_all(shed)
        assert isinstance(shed.app.screen, CrankScreen)
        assert shed.stored().opened.rule is DecisionRule.PROVED
        assert shed.stored().opened.fewest

    tell(story)


def test_at_a_first_check_every_caution_is_ticked_by_itself(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "plain", "19 C")
        shed.app.screen.query_one("#laid", Input).value = "4 rags, 1 socket"
        await shed.keys("enter")
        assert isinstance(shed.app.screen, StartScreen)
        assert "4 still to be read" in shed.screen()
        assert not list((shed.folder / "sessions").glob("*.session"))
        await tick_all(shed)
        assert isinstance(shed.app.screen, CrankScreen)
        assert UNREAD in shed.stored().cautions
        assert len(shed.stored().cautions) == 4
        assert dict(shed.stored().short) == {"rags": 4, "socket": 1}

    tell(story)


def test_on_an_engine_known_already_the_first_blade_is_six_keys_away(tell: Tell) -> None:
    """All but the metal is remembered; overnight takes a key less."""

    async def first(shed: Shed) -> None:
        await form(shed, "quay pump", "19 C")
        shed.app.screen.query_one("#who", Input).value = "M."
        shed.app.screen.query_one("#laid", Input).value = "4 rags"
        await shed.keys("enter")
        await tick_all(shed)
        live = shed.app.live
        assert live is not None
        live.bench.do(CloseSession())

    async def counted(shed: Shed, *keys: str) -> None:
        await shed.settle()
        home = shed.app.screen
        assert isinstance(home, HomeScreen)
        home.select("quay-pump")
        pressed = 0
        for key in keys:
            await shed.keys(key)
            pressed += 1
        assert isinstance(shed.app.screen, CrankScreen), "four keys, or three"
        for key in ("1", "2"):
            if isinstance(shed.app.screen, BenchScreen):
                break
            await shed.keys(key)
            pressed += key != "enter"  # two signs open the bench; Enter only where they do not
        assert isinstance(shed.app.screen, BenchScreen)
        assert pressed <= 6
        told = shed.stored()
        assert told.particulars.who == "M."
        assert dict(told.short) == {"rags": 4}
        assert told.cautions >= set(cautions(CautionAt.BEFORE, told.opened.sheet)) - {OUTRANK}
        live = shed.app.live
        assert live is not None
        live.bench.do(CloseSession())

    async def typed(shed: Shed) -> None:
        await counted(shed, "enter", "1", "9", "enter")
        assert shed.stored().particulars.metal_c == 19

    async def overnight(shed: Shed) -> None:
        await counted(shed, "enter", "space", "enter")
        assert shed.stored().particulars.stood_hours == 8
        assert metal_now(shed.stored()).kind is MetalKind.RIGHT

    tell(first, typed, overnight)


def test_bare_numbers_are_taken_and_a_fault_keeps_the_cursor_and_all_else(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "quay pump", "19")
        screen = shed.app.screen
        screen.query_one("#odometer", Input).value = "12400"
        screen.query_one("#hours", Input).value = "three"
        screen.query_one("#who", Input).value = "Asta"
        before = {line.asked: line.value for line in screen.query(FormLine)}
        await shed.keys("enter")
        assert isinstance(shed.app.screen, StartScreen)
        assert screen.focused is screen.query_one("#hours")
        assert {line.asked: line.value for line in screen.query(FormLine)} == before
        screen.query_one("#hours", Input).value = "310"
        await shed.keys("enter")
        await tick_all(shed)
        taken = shed.stored().particulars
        counters = [taken.metal_c, taken.odometer_km, taken.hours]
        assert counters == [Fraction(n) for n in (19, 12400, 310)]
        assert taken.who == "Asta"

    tell(story)


def test_leaving_keeps_what_was_typed(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "quay pump", "17")
        await shed.keys("down", "'310", "escape")
        assert isinstance(shed.app.screen, HomeScreen)
        await shed.keys("enter")
        assert shed.app.screen.query_one("#metal", Input).value == "17"
        assert shed.app.screen.query_one("#hours", Input).value == "310"

    tell(story)


def test_two_enters_that_arrive_together_open_one_session(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "quay pump", "19")
        screen = shed.app.screen
        for line in screen.query(".tick").results(FormLine):
            line.line.take("so")  # type: ignore[union-attr]  # these are choices
        screen.action_go_on()  # type: ignore[attr-defined]
        screen.action_go_on()  # type: ignore[attr-defined]
        await shed.settle()
        assert len(list((shed.folder / "sessions").glob("*.session"))) == 1
        assert isinstance(shed.app.screen, CrankScreen)

    tell(story)


def test_a_set_says_beside_it_whether_it_makes_every_limit(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await form(shed, "quay pump", "19")
        blades = shed.app.screen.query_one("#blades", ChoiceLine)
        blades.take("fine-metric")
        shed.app.screen.examined()  # type: ignore[attr-defined]
        assert "has all 4 limits" in shed.screen()
        blades.take("coarse-metric")
        shed.app.screen.examined()  # type: ignore[attr-defined]
        assert "none makes 0.06, 0.08" in shed.screen()
        assert "usual: Coarse metric set" in shed.screen()
        assert "valves; wipe 0.10, none makes" in shed.screen()
        blades.take("workshop-inch")
        shed.app.screen.examined()  # type: ignore[attr-defined]
        assert "valves; none makes 0.06" in shed.screen(), shed.screen()

    tell(story)


def test_the_dial_is_drawn_beside_the_words_on_a_small_screen(tell: Tell) -> None:
    """A circle under its pointer, the head below it, both at 80 by 24."""

    async def story(shed: Shed, engine: str) -> None:
        await shed.begin(engine, "leaves-c", ("metal", "19 C"))
        dial = shed.app.screen.query_one(CrankDialPicture)
        assert dial.view is not None
        drawn = "\n".join(dial.draw(dial.view, *dial.size).lines())
        assert "↓" in drawn
        assert "⠉" in drawn
        assert "TDC 1" in drawn
        tall = shed.app.screen.query_one("#stop", BigText).view
        assert tall == Big("COMPRESSION")
        spots = shed.app.screen.query_one(ValveMapPicture).view
        assert spots is not None
        ready = [v.name for row in spots.rows for c in row for v in (*c.far, *c.near) if v.ready]
        assert ready == ["1E", "1I"]
        await shed.keys("v")
        flipped = shed.app.screen.query_one(ValveMapPicture).view
        assert flipped is not None
        assert flipped.flipped
        await shed.keys("v")

    for engine in ("plain", "four"):
        tell(lambda shed, engine=engine: story(shed, engine))


def test_moving_on_asks_for_the_turn_and_says_where_that_leads(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("four", "leaves-c", ("metal", "19 C"))
        assert "Then: CYL 3 COMPRESSION, 180 on" in shed.screen()
        await shed.keys("1", "2")
        await shed.read("1I", "0.15 f", "0.25 s")
        await shed.read("1E", "0.25 f", "0.35 s")
        await shed.keys("space")
        assert "stop 2 of 4" in shed.screen()
        assert "180 degrees on, forward, to" in " ".join(shed.screen().split())
        # Ticked before the turn was told: it is asked for then.
        await shed.keys("1", "2")
        ask = shed.app.screen.query_one(Input)
        assert ask.value == "180"
        await shed.keys("1", "0", "0", "enter")  # what is typed takes the place of what was offered
        assert "Not there yet: 80 degrees on" in shed.screen()
        assert shed.stored().place is None
        await shed.keys("space", "enter", "1", "2")
        assert isinstance(shed.app.screen, BenchScreen)
        turns = [f.degrees for f in shed.facts() if isinstance(f, CrankTurned)]
        assert turns == [100, 80]
        place = shed.stored().place
        assert place is not None
        assert place.confirmed.cylinder == "3"

    tell(story)


def test_a_gone_clearance_is_set_only_after_the_look(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "2")
        await shed.read("1E", "0.08 s", "0.03 s")
        assert "No clearance: turn 45 on" in " ".join(shed.screen().split())
        await shed.keys("enter", "5", "space")
        assert SignSeen("1", Sign.STAYS) in shed.facts()
        assert "Looks like: compression" in shed.screen() or "clearance gone" in shed.screen()
        # The key that answered went no further: nothing is ticked by it.
        assert "[√]" not in shed.screen()
        await shed.keys("space", "enter", "1", "4")
        assert CrankTurned(Fraction(675)) in shed.facts()
        assert shed.turning("1E").turn is not None

    tell(story)


def test_a_moving_valve_stops_the_bench_until_the_crank_is_turned(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "5", "2")
        assert "360 degrees forward" in shed.screen()
        await shed.keys("1", "2")
        assert isinstance(shed.app.screen, CrankScreen)
        assert "Touch no screw" in shed.screen()
        assert shed.stored().place is None
        # As it says: one turn on, told, and then it may be confirmed.
        await shed.keys("space", "enter")
        assert CrankTurned(Fraction(360)) in shed.facts()
        assert "Looks like" not in shed.screen()
        # What was ticked before the turn holds no longer.
        assert "[√]" not in shed.screen()
        await shed.keys("1", "2")
        assert isinstance(shed.app.screen, BenchScreen)

    tell(story)


def test_the_decompressor_stands_first_and_nothing_is_to_be_rolled_for(tell: Tell) -> None:
    """In 24 rows all of it is seen, in doubt as well; Y tells what the lever may do."""

    async def story(shed: Shed) -> None:
        await shed.begin("slip winch", "leaves-f", ("metal", "12 C"), ("band", "0.03 mm"))
        lever = "Decompressor: lifts the exhaust valve: put the lever down before you measure."
        assert lever in " ".join(shed.screen().split())
        await shed.keys("y")
        assert lever in " ".join(shed.screen().split())
        await shed.keys("escape", "5", "2")
        assert lever in " ".join(shed.screen().split())
        assert shed.app.screen.query_one("#crank-text").max_scroll_y == 0

    tell(story)


@pytest.mark.parametrize("size", [(80, 24), (60, 24), (60, 20), (120, 40)])
@pytest.mark.parametrize("doubted", [False, True])
def test_the_word_against_turning_back_is_never_scrolled_or_cut(
    tell: Tell, size: tuple[int, int], doubted: bool
) -> None:
    """It keeps the engine whole (common practice: turned back, a slack chain or a lifter misleads)."""

    async def story(shed: Shed) -> None:
        await shed.begin("harbour van", "leaves-c", ("metal", "12 C"))
        if doubted:
            await shed.keys("5", "1")
        shown = seen(shed.app).splitlines()
        assert sum(GO_ROUND in row for row in shown) == 1
        assert "1I" in "".join(shown)

    tell(story, size=size)


def test_a_stop_has_one_name_and_the_place_is_as_tall_as_the_cylinder_s_word(tell: Tell) -> None:
    """COMPRESSION in letters of three rows at least; the other stop is named the same wherever told."""

    async def story(shed: Shed) -> None:
        await shed.begin("harbour van", "leaves-c", ("metal", "12 C"))
        tall = shed.app.screen.query_one("#stop", BigText)
        assert tall.view == Big("COMPRESSION")
        assert len(lines(Big("COMPRESSION"), *tall.size)) >= 3
        await shed.keys("y")
        assert "Then: CYL 4 COMPRESSION, one turn on" in " ".join(shed.screen().split())
        await shed.keys("escape", "down")
        assert "stop 2 of 2" in shed.screen()
        cylinder = shed.app.screen.query_one("#stop-cylinder", BigText)
        assert cylinder.view == Big("CYL 4")
        assert "Stop" in str(shed.app.screen.query_one("#keys", Static).render())

    async def single(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        words = shed.screen()
        assert "Stop" not in words
        assert "stop 1" not in words

    tell(story)
    tell(single)


def test_no_slack_felt_is_lifted_by_the_look_or_by_turning_on(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("5", "1")
        assert "Turn 45 degrees forward only" in " ".join(shed.screen().split())
        await shed.keys("1", "2")
        assert shed.stored().place is None
        await shed.keys("space")
        assert shed.app.screen.query_one(Input).value == "720"
        await shed.keys("enter", "1", "2")
        assert isinstance(shed.app.screen, BenchScreen)

    tell(story)


def test_measuring_is_not_offered_beside_evidence_of_overlap(tell: Tell) -> None:
    """After the look has shown overlap the turn is asked for; what was felt not to be loose is no sign."""

    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("5", "4", "1", "2")
        assert shed.app.screen.query_one(Input).value == "315"
        await shed.keys("escape")
        assert shed.stored().place is None
        await shed.keys("5", "1", "1", "2")
        assert "loose" not in shed.screen()
        await shed.keys("enter")
        assert isinstance(shed.app.screen, CrankScreen)
        assert shed.stored().place is None
        await shed.keys("3")  # the inlet was seen: that holds without any clearance
        assert isinstance(shed.app.screen, BenchScreen)

    tell(story)


def test_what_was_said_at_the_crank_goes_with_the_next_key(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "enter")
        assert "two different pieces" in shed.screen()
        await shed.keys("1")
        assert "two different pieces" not in shed.screen()
        await shed.keys("5", "1")
        assert "Then 5, and say what was seen there" in " ".join(shed.screen().split())
        await shed.keys("backspace")
        assert "Taken back: Cylinder 1: nothing is loose." in shed.screen()
        await shed.keys("m")
        assert "Taken back" not in shed.screen()

    tell(story)


def test_why_names_each_valve_and_the_rules_known_by_heart(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("harbour van", "leaves-c", ("metal", "12 C"))
        words = " ".join(shed.screen().split())
        assert "Check here: 1I 1E 2I 3E (the sheet's own table)." in words
        await shed.keys("y")
        words = " ".join(shed.screen().split())
        assert '2I: in the manual\'s table at "1 compression TDC"' in words
        assert '4E: not in the row "1 compression TDC"' in words
        assert "Companions" in words
        await shed.keys("escape")
        assert isinstance(shed.app.screen, CrankScreen)

    tell(story)


def test_a_spot_check_that_does_not_fit_sends_back_to_the_bench(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "2")
        await shed.read("1I", "0.06 f", "0.10 s")
        await shed.read("1E", "0.08 f", "0.12 s")
        await shed.keys("escape", "1")
        shed.app.screen.select("spot:")  # type: ignore[attr-defined]  # closing up is a list
        await shed.keys("space")
        assert "after the engine was turned over" in shed.screen()
        await shed.keys("up", "space")
        shed.app.screen.select("spot:")  # type: ignore[attr-defined]  # nothing asks for it
        await shed.keys("space", "1", "2")
        assert "nothing was set today" in " ".join(shed.screen().split())
        await shed.keys("f")
        assert "measure it afresh" in shed.screen()
        assert "files in part, no check" in shed.screen()
        doubted = [n for n, v in shed.stored().valves.items() if v.current.kind is StageKind.AGAIN]
        assert doubted == ["1I"]

    tell(story)


def test_closing_up_offers_no_shims_where_a_screw_sets_the_engine(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "2", "escape", "1")
        foot = str(shed.app.screen.query_one("#keys", Static).render())
        assert "Shims" not in foot
        assert "Torques" not in foot  # under More
        assert "turned over twice by hand" in shed.screen()

        # What is too long for its column goes on below itself.
        await shed.keys("escape", "s", "escape", "1")
        table = shed.app.screen.query_one(DataTable)
        assert max(row.height for row in table.ordered_rows) > 1

    tell(story, size=(120, 40))


def test_closing_counts_out_and_no_engine_runs_with_a_rag_inside(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "2", "escape", "1")
        screen = shed.app.screen
        assert isinstance(screen, ClosingScreen)
        screen.select("count:")
        await shed.keys("space", "'2 rags", "enter")
        assert "not counted out: rags (2)" in shed.screen()
        screen.select("after:first run")
        await shed.keys("space")
        assert "Count it out before the engine runs" in shed.screen()
        screen.select("item:rags")
        await shed.keys("space", "right")
        assert "rags: 2 in, 2 out" in shed.screen()
        screen.select("after:first run")
        await shed.keys("space")
        assert AfterStep.FIRST_RUN in shed.stored().after

    tell(story)


def test_the_handover_page_from_closing_up_and_from_a_past_session(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        await shed.keys("1", "2")
        await shed.read("1E", "0.08 s", "0.05 f", "0.06 s")
        await shed.keys("enter", "space", "escape", "escape", "1", "m", "'whoever", "enter")
        assert isinstance(shed.app.screen, HandoverScreen)
        page = " ".join(shed.screen().split())
        assert "LOOSE: the locknut is slack on 1E" in page
        assert "Nobody starts or cranks this engine" in page
        assert "Crank: CYL 1 COMPRESSION (" in page
        await shed.keys("enter", "enter")
        (written,) = (shed.folder / "handovers").glob("*.txt")
        assert "LOOSE" in written.read_text(encoding="utf-8")
        await shed.keys("escape", "enter", "1")
        assert isinstance(shed.app.screen, FiledScreen)
        assert "PARTIAL" in str(shed.app.screen.query_one("#filed-tall", BigText).view)
        assert "1E: the locknut is slack" in " ".join(shed.screen().split())
        await shed.keys("enter")
        assert isinstance(shed.app.screen, HomeScreen)
        await shed.keys("p", "enter", "m", "'whoever", "enter")
        assert isinstance(shed.app.screen, HandoverScreen)
        assert "LOOSE: the locknut is slack on 1E" in " ".join(shed.screen().split())

    tell(story)


def test_a_single_by_the_fewest_stops_is_reached_by_its_own_tdc(tell: Tell) -> None:
    """Nothing else is offered where one stop serves every valve; the choice is not even asked."""

    async def story(shed: Shed) -> None:
        await form(shed, "plain", "19 C")
        assert not list(shed.app.screen.query("#stops"))

    tell(story)


def test_a_sheet_that_was_read_twice_is_not_marked_again(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.settle()
        await shed.keys("slash", "'Quay", "enter", "e", "space")
        assert "Already marked" in shed.screen()
        page = str(shed.app.screen.query_one("#sheet", Static).render())
        assert max(len(line) for line in page.splitlines()) <= 77
        await shed.keys("h")
        lines = str(shed.app.screen.query_one("#page Static", Static).render()).splitlines()
        assert all(len(line) <= 78 for line in lines if line.startswith(" "))

    tell(story)


def test_confirmed_at_another_stop_the_bench_opens_on_a_valve_of_that_stop(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        await shed.begin("four", "leaves-c", ("metal", "19 C"))
        await shed.keys("space", "enter", "1", "2")
        assert isinstance(shed.app.screen, BenchScreen)
        place = shed.stored().place
        assert place is not None
        assert place.confirmed.cylinder == "3"
        assert "Try " in shed.screen()
        await shed.keys("f")
        assert shed.valve("3I").readings or shed.valve("3E").readings

    tell(story)
