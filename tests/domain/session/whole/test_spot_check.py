"""The steps after the setting, and the spot-check of the riskiest valve."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import CheckSpot, CloseSession, Command, StrikeReading
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    ItemCounted,
    Locked,
    ScrewTurned,
)
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.text.words.refusals import refusal_words

F = Fraction
OVER = AfterStepDone(AfterStep.TURNED_OVER)


def refused(desk: Any, command: Command) -> str:
    before = desk.state
    with pytest.raises(Refusal) as caught:
        desk.do(command)
    assert desk.state == before
    return refusal_words(caught.value)


@pytest.fixture
def closed_up(desk: Any) -> Any:
    """Every valve in range; 1E was set, its bracket left at 0.10 to 0.12."""
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.read("1E", "0.08 refuses", "0.04 free", "0.05 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, F(25)), Locked("1E"))
    desk.read("1E", "0.10 free", "0.12 refuses")
    desk.confirm("2")
    desk.read("2I", "0.06 free", "0.10 refuses")
    desk.read("2E", "0.08 free", "0.12 refuses")
    assert missing(desk.state) == ()
    return desk


def again(valve: str, desk: Any, blade: str, answer: Answer) -> CheckSpot:
    return CheckSpot(valve, desk.blade(blade), answer)


def test_the_valve_that_was_set_is_the_riskiest_though_others_lie_nearer_a_limit(
    closed_up: Any,
) -> None:
    spot = riskiest(closed_up.state)
    assert spot is not None
    assert (spot.valve, spot.wanted) == ("1E", "0.12 must refuse")
    # Widened it ends at 0.125, the range at 0.12 (arithmetic).
    assert str(spot.margin) == "-0.005 mm"
    assert "set and locked today" in spot.why
    assert "upper limit" in spot.why


def test_where_nothing_was_set_the_one_nearest_a_limit(desk: Any) -> None:
    assert riskiest(desk.state) is None
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.read("1E", "0.08 free", "0.10 refuses")
    spot = riskiest(desk.state)
    assert spot is not None
    assert (spot.valve, spot.wanted) == ("1E", "0.08 must go")


def set_and_locked(desk: Any, valve: str, before: tuple[str, str], after: tuple[str, str]) -> None:
    """Found tight; gauged with the nut slack at ``before``, and locked at ``after``."""
    desk.read(valve, "0.03 free", "0.05 refuses")
    desk.do(ScrewTurned(valve, Way.OUT, F(20)))
    desk.read(valve, f"{before[0]} free", f"{before[1]} refuses")
    desk.do(Locked(valve))
    assert desk.read(valve, f"{after[0]} free", f"{after[1]} refuses").done


@pytest.mark.parametrize("moved", ["1I", "1E"])
@pytest.mark.parametrize("before", [("0.06", "0.07"), ("0.09", "0.12")])
def test_of_two_as_near_a_limit_the_one_that_locking_moved_most(
    desk: Any, moved: str, before: tuple[str, str]
) -> None:
    """Both leave 0.005 to their limit widened; 1I has the wider bracket."""
    still = {"1I": ("0.07", "0.09"), "1E": ("0.09", "0.10")}
    for valve, after in still.items():
        set_and_locked(desk, valve, before if valve == moved else after, after)
    spot = riskiest(desk.state)
    assert spot is not None
    assert str(spot.margin) == "0.005 mm"
    # 1E: 0.09-0.10 from 0.06-0.07 or 0.09-0.12; that is further than nothing to 0.02 or 0.01.
    most = {
        ("1I", "0.06"): "0.03",
        ("1E", "0.06"): "0.04",
        ("1I", "0.09"): "0.05",
        ("1E", "0.09"): "0.03",
    }[moved, before[0]]
    assert (spot.valve, spot.why.endswith(f"moved it by {most}")) == (moved, True), spot.why


def test_of_two_as_near_and_as_little_moved_the_wider_bracket_then_the_first(desk: Any) -> None:
    desk.read("1I", "0.07 free", "0.08 refuses")
    desk.read("1E", "0.09 free", "0.10 refuses")
    spot = riskiest(desk.state)
    assert spot is not None
    assert (spot.valve, spot.wanted) == ("1I", "0.07 must go")
    wider = desk.do(StrikeReading("1E")) and desk.read("1E", "0.12 refuses")
    assert wider.done
    # 0.09 to 0.12 ends at 0.125 widened, past its limit.
    past = riskiest(desk.state)
    assert past is not None
    assert past.valve == "1E"


def test_the_check_waits_for_the_engine_to_be_turned_over_and_the_position(closed_up: Any) -> None:
    check = again("1E", closed_up, "0.12", Answer.REFUSES)
    assert "turned over" in refused(closed_up, check)
    closed_up.do(OVER)
    assert closed_up.state.place is None
    assert "not confirmed for 1E" in refused(closed_up, check)
    closed_up.confirm("2")
    assert "not confirmed for 1E" in refused(closed_up, check)


def test_a_reading_that_fits_leaves_what_was_left(closed_up: Any) -> None:
    closed_up.do(OVER)
    closed_up.confirm("1")
    before = record_of(closed_up.state).valves
    closed_up.do(again("1E", closed_up, "0.12", Answer.REFUSES))
    assert record_of(closed_up.state).valves == before
    assert [str(r) for r in closed_up.state.valves["1E"].spot] == ["0.12 refuses"]
    assert closed_up.do(CloseSession()).closed.complete


def test_one_that_does_not_fit_asks_for_a_fresh_measurement(closed_up: Any) -> None:
    closed_up.do(OVER)
    closed_up.confirm("1")
    closed_up.do(again("1E", closed_up, "0.12", Answer.FREE))
    assert closed_up.state.valves["1E"].current.kind is StageKind.AGAIN
    lacking = missing(closed_up.state)
    assert len(lacking) == 1
    assert "spot-check did not fit" in lacking[0]
    assert "afresh" in lacking[0]
    assert closed_up.look("1E").verdict.kind is VerdictKind.WIDE
    closed_up.do(ScrewTurned("1E", Way.IN, F(10)), Locked("1E"))
    closed_up.read("1E", "0.08 free", "0.12 refuses")
    assert missing(closed_up.state) == ()
    # It was touched again, so the turning over is to be done again as well.
    assert closed_up.state.after == frozenset()


def test_measured_afresh_in_range_it_stands_as_left(closed_up: Any) -> None:
    closed_up.do(OVER)
    closed_up.confirm("2")
    closed_up.do(again("2E", closed_up, "0.08", Answer.REFUSES))
    assert closed_up.look("2E").verdict.kind is VerdictKind.TIGHT
    valve = next(v for v in record_of(closed_up.state).valves if v.name == "2E")
    assert not valve.touched
    assert valve.found is not None
    assert str(valve.found.bracket.low) == "0.08 mm"


def test_only_a_valve_that_is_done_can_be_spot_checked(desk: Any) -> None:
    desk.do(OVER)
    desk.confirm("1")
    assert "not done yet" in refused(desk, again("1E", desk, "0.12", Answer.REFUSES))


def test_the_engine_is_neither_turned_over_nor_run_with_a_nut_slack(desk: Any) -> None:
    desk.read("1E", "0.08 refuses", "0.04 free")
    desk.do(ScrewTurned("1E", Way.OUT, F(20)))
    for step in AfterStep:
        assert "locknut of 1E is slack" in refused(desk, AfterStepDone(step))


def test_no_first_run_with_a_rag_inside(desk: Any) -> None:
    desk.do(ItemCounted("rags", 2, inwards=True))
    assert "rags (2)" in refused(desk, AfterStepDone(AfterStep.FIRST_RUN))
    desk.do(OVER)  # by hand it may be turned over, the cover still off
    desk.do(ItemCounted("rags", 2, inwards=False), AfterStepDone(AfterStep.FIRST_RUN))
    assert AfterStep.FIRST_RUN in desk.state.after


def test_short_of_a_rag_it_does_not_file_as_complete(closed_up: Any) -> None:
    closed_up.do(ItemCounted("rags", 2, inwards=True), ItemCounted("rags", 1, inwards=False))
    state = closed_up.do(CloseSession())
    assert not state.closed.complete
    assert state.closed.missing == ("not counted out: rags (1)",)


def test_what_is_missing_is_said_valve_by_valve(desk: Any) -> None:
    desk.read("1I", "0.07 free")
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, F(20)))
    told = missing(desk.state)
    assert told[0].startswith("1I: undecided, 0.07 goes, nothing has refused")
    assert told[1:] == ("1E: the locknut is slack", "2I: not measured", "2E: not measured")
    desk.do(Locked("1E"))
    assert missing(desk.state)[1] == "1E: not measured since it was locked"


def test_without_any_of_these_steps_it_may_still_be_complete(closed_up: Any) -> None:
    assert closed_up.do(CloseSession()).closed.complete


def test_what_locking_moved_is_told_to_a_whole_micrometre(desk: Any) -> None:
    """A bound, so up: the turn's 5 degrees alone make it 0.010417 wider (geometry)."""
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, F("21.6")), Locked("1E"))
    desk.read("1E", "0.08 free", "0.12 refuses")
    found = riskiest(desk.state)
    assert found is not None
    told = re.search(r"moved it by (\S+)", found.why)
    assert told is not None
    assert len(told[1].partition(".")[2]) <= 3
