"""Events in words: every kind of fact has its line, and what is struck is named."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts import events as ev
from benchtui.text.reading.sheet_file import parse_sheet
from benchtui.text.words.event_words import event_lines, event_words, valve_of_fact

SPECS = Path(__file__).parents[3] / "specs"
PUMP = parse_sheet((SPECS / "quay-pump.toml").read_text(encoding="utf-8"), "quay-pump", "q")
LEAF = Leaf(Length.mm("0.08"))
SET = BladeSet("Fine", (LEAF,))
TOLD = ev.Particulars(Fraction(12400), Fraction(310), Fraction(19), "M.")
READ = ev.ReadingTaken("1E", Feeler((LEAF,)), Answer.REFUSES)

WORDS: tuple[tuple[ev.Fact, str], ...] = (
    (
        ev.Opened("s", PUMP, "fine", SET, TOLD),
        "Session opened: Quay pump, blades Fine; 12 400 km, 310 h, metal 19 C, M.",
    ),
    (ev.ParticularsEntered(ev.Particulars(metal_c=Fraction(30))), "Entered: metal 30 C"),
    (ev.RuleChosen(DecisionRule.PROVED), "Decision rule chosen: proved"),
    (
        ev.BandChosen(Length.mm("0.02")),
        "Owner's own band: 0.02 mm either side of the single figure",
    ),
    (ev.CautionAcknowledged("engine cold"), "Caution read: engine cold"),
    (
        ev.PositionConfirmed("1", Fraction(0), (ev.Evidence.MARK, ev.Evidence.SLACK), ("1I", "1E")),
        "CYL 1 COMPRESSION: the mark lines up and both rockers are loose",
    ),
    (ev.PositionDoubted("2"), "Cylinder 2: position doubted, what was read there no longer counts"),
    (READ, "1E: 0.08 mm refuses"),
    (ev.ReadingStruck(7), "Struck out: 1E: 0.08 mm refuses"),
    (ev.ReadingsMoved("1E", "1I"), "Readings of 1E moved to 1I"),
    (
        ev.ScrewTurned("1E", Way.OUT, Fraction("21.6")),
        "1E: locknut slack, screw turned out 21.6 degrees",
    ),
    (
        ev.ScrewSetOn("1E", Feeler((LEAF,))),
        "1E: locknut slack, screw set to a light drag on 0.08 mm",
    ),
    (ev.WayChosen(by_blade=True), "This engine is set on a blade held in"),
    (ev.ClearanceMeasured("1E", Length.mm("0.11")), "1E: 0.11 measured, give or take 0.01"),
    (ev.FigureChosen(), "Single figures are set on the figure, as the handbook says"),
    (ev.LookedOver("1E"), "1E: parts looked at, all sound"),
    (ev.CamsStepDone(ev.CamsStep.TIMING_MARKS), "Cams: timing marks line up"),
    (
        ev.Locked("1E", torqued=True),
        "1E: locked to its figure; not known until it is measured again",
    ),
    (ev.Locked("1E"), "1E: locked; not known until it is measured again"),
    (ev.ShimFitted("1E", Length.mm("2.80")), "1E: shim of 2.80 mm fitted"),
    (ev.ShimFitted("1E", Length.mm("2.80"), None, found=True), "1E: shim of 2.80 mm was in"),
    (
        ev.SpareTold(Length.mm("2.75"), Length.mm("2.74")),
        "In the drawer: a shim of 2.75 mm, which measures 2.74 mm",
    ),
    (
        ev.WoundBack("1E", Fraction(38)),
        "1E: wound to zero, then backed off 38 degrees for the pad test",
    ),
    (ev.WholePlayRead("1E", Feeler((LEAF,)), Answer.FREE), "1E: whole free play, 0.08 mm free"),
    (ev.SignSeen("1", ev.Sign.TIGHT, ("1E",)), "Cylinder 1: nothing is loose (1E)"),
    (ev.CrankTurned(Fraction(45)), "Crank turned forward 45 degrees"),
    (ev.AfterStepDone(ev.AfterStep.TURNED_OVER), "Done: the engine was turned over twice by hand"),
    (
        ev.SpotChecked("1E", Feeler((LEAF,)), Answer.FREE, fits=False),
        "Spot-check, 1E: 0.08 mm free; does not fit what was left: measure afresh",
    ),
    (ev.RepeatBegun("1E"), "1E: blind repeat begun; what is read in it is kept apart"),
    (ev.RepeatEnded("1E"), "1E: blind repeat ended"),
    (ev.ItemCounted("rags", 4, inwards=False), "Counted out: 4 x rags"),
    (ev.TorqueDone("cover bolts"), "Tightened to its figure: cover bolts"),
    (ev.RepeatBegun("1E"), "1E: blind repeat begun; what is read in it is kept apart"),
    (ev.RepeatEnded("1E"), "1E: blind repeat ended"),
    (ev.Noted("too dark", "1E"), "Note on 1E: too dark"),
    (ev.Paused(), "Paused"),
    (ev.Resumed(ev.Crank.UNSURE), "Went on; the crank may have moved"),
    (ev.StepUndone(7), "Taken back: 1E: 0.08 mm refuses"),
    (
        ev.Closed(complete=False, missing=("1I: not measured",)),
        "Closed in part; missing: 1I: not measured",
    ),
    (
        ev.Corrected("the year", day=date(2026, 5, 1), particulars=TOLD, sheet=PUMP),
        (
            "Put right: day 1 May 2026, engine Quay pump, odometer 12 400 km, hour meter 310 h, "
            "metal 19 C, who M.: the year"
        ),
    ),
    (ev.SetAside("wrong engine"), "Set aside, it counts for nothing: wrong engine"),
)


@pytest.mark.parametrize(("fact", "words"), WORDS, ids=lambda x: type(x).__name__)
def test_each_fact_in_words(fact: ev.Fact, words: str) -> None:
    told = event_words(fact, {7: READ})
    # An evidence's meaning may be worded anew; the rest is ours.
    assert told == words or isinstance(fact, ev.PositionConfirmed)
    assert told.startswith(words.split(":", maxsplit=1)[0])


def test_no_kind_of_fact_is_left_out() -> None:
    assert {type(fact) for fact, _ in WORDS} == set(get_args(ev.Fact))


def test_a_blade_that_went_by_force_is_said_to() -> None:
    forced = ev.ReadingTaken("1E", Feeler((LEAF,)), Answer.REFUSES, forced=True)
    assert event_words(forced) == "1E: 0.08 mm refuses (went only by force)"


def test_a_position_has_the_one_name_that_the_screen_and_the_plan_give_it() -> None:
    for angle, name in ((0, "COMPRESSION"), (360, "OVERLAP"), (45, "+45")):
        fact = ev.PositionConfirmed("1", Fraction(angle), (ev.Evidence.MARK,), ("1I",))
        assert event_words(fact).startswith(f"CYL 1 {name}: ")


def test_a_complete_close_and_a_general_note() -> None:
    assert event_words(ev.Closed(complete=True)) == "Closed, complete"
    assert event_words(ev.Noted("rain")) == "Note: rain"


def test_lines_go_one_an_event_and_know_what_was_struck() -> None:
    at = datetime(2026, 1, 1, tzinfo=UTC)
    facts: tuple[ev.Fact, ...] = (ev.Opened("s", PUMP, "f", SET, TOLD), READ, ev.ReadingStruck(2))
    lines = event_lines(ev.Event(i, at, f) for i, f in enumerate(facts, start=1))
    assert lines[2] == f"Struck out: {lines[1]}"
    assert event_words(ev.ReadingStruck(99)) == "Struck out: step 99"


def test_whose_fact_it_is() -> None:
    known: dict[int, ev.Fact] = {2: READ}
    assert valve_of_fact(READ, known) == "1E"
    assert valve_of_fact(ev.ReadingStruck(2), known) == "1E"
    assert valve_of_fact(ev.StepUndone(9), known) is None
    assert valve_of_fact(ev.ReadingsMoved("1E", "1I"), known) == "1I"
    assert valve_of_fact(ev.Noted("rain"), known) is None
    assert valve_of_fact(ev.Paused(), known) is None
