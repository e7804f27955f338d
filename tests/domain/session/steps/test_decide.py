"""What may happen at the bench and what is refused; a refusal changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import (
    CloseSession,
    Command,
    ConfirmPosition,
    StrikeReading,
    Undo,
)
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.whole.completeness import unticked
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.sheet import AdjusterKind, Sheet
from benchtui.text.words.refusals import refusal_words
from tests.refusing import must_refuse

MARK, SLACK, INLET, STILL = (
    facts.Evidence.MARK,
    facts.Evidence.SLACK,
    facts.Evidence.INLET,
    facts.Evidence.STILL,
)
MakeDesk = Callable[..., Any]
MakeTwin = Callable[..., Sheet]


def turn(valve: str, degrees: str = "20", way: Way = Way.OUT) -> facts.ScrewTurned:
    return facts.ScrewTurned(valve, way, Fraction(degrees))


def refused(desk: Any, command: Command) -> str:
    before, count = desk.state, len(desk.events)
    with pytest.raises(Refusal) as caught:
        desk.do(command)
    assert desk.state == before
    assert len(desk.events) == count
    return refusal_words(caught.value)


def all_in(desk: Any) -> None:
    for cylinder in ("1", "2"):
        desk.confirm(cylinder)
        desk.read(f"{cylinder}I", "0.06 free", "0.10 refuses")
        desk.read(f"{cylinder}E", "0.08 free", "0.12 refuses")


class TestPosition:
    @pytest.mark.parametrize("evidence", [(), (MARK,), (SLACK,), (MARK, MARK)])
    def test_two_different_pieces_of_evidence_are_wanted(
        self, make_desk: MakeDesk, evidence: tuple[facts.Evidence, ...]
    ) -> None:
        desk = make_desk(confirmed=None)
        assert "two different pieces" in refused(desk, ConfirmPosition("1", evidence))

    def test_compression_tdc_of_one_cylinder_lets_only_its_valves_be_measured(
        self, desk: Any
    ) -> None:
        assert set(desk.state.place.confirmed.valves) == {"1I", "1E"}
        assert desk.read("2I", "0.06 free", "0.10 refuses").verdict.kind is VerdictKind.NONE
        assert desk.read("1I", "0.06 free", "0.10 refuses").verdict.kind is VerdictKind.IN

    def test_unknown_cylinders_and_valves_are_refused_with_those_there_are(self, desk: Any) -> None:
        assert "It has 1, 2" in refused(desk, ConfirmPosition("3", (MARK, SLACK)))
        assert "It has 1, 2" in refused(desk, facts.PositionDoubted("3"))
        blade = desk.blade("0.06")
        message = refused(desk, facts.ReadingTaken("9X", blade, Answer.FREE))
        assert "1I, 1E, 2I, 2E" in message

    def test_what_was_read_in_a_doubted_position_counts_no_more(self, desk: Any) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(facts.PositionDoubted("1"))
        view = desk.look("1I")
        assert view.verdict.kind is VerdictKind.NONE
        assert "not confirmed" in view.verdict.because
        assert len(view.readings) == 2  # recorded all the same
        desk.confirm("1")
        assert desk.look("1I").verdict.kind is VerdictKind.NONE

    def test_readings_of_an_earlier_position_still_count_after_the_next(self, desk: Any) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.confirm("2")
        assert desk.look("1I").verdict.kind is VerdictKind.IN

    def test_a_screw_is_touched_only_where_the_position_is_sure(self, make_desk: MakeDesk) -> None:
        desk = make_desk(confirmed=None)
        assert "position is not confirmed for 1E" in refused(desk, turn("1E"))
        desk.confirm("2")
        assert "position is not confirmed for 1E" in refused(desk, turn("1E"))
        desk.confirm("1")
        desk.do(turn("1E"))


class TestNoSlack:
    def test_nothing_goes_and_no_screw_is_touched(self, desk: Any) -> None:
        view = desk.read("1E", "0.08 refuses", "0.03 refuses")
        assert view.verdict.kind is VerdictKind.TIGHT
        assert desk.turning(view).turn is None
        assert "No slack at all" in refusal_words(desk.turning(view).why_none)
        assert "No slack at all" in refused(desk, turn("1E"))

    def test_before_the_thinnest_was_tried_it_is_asked_for(self, desk: Any) -> None:
        view = desk.read("1E", "0.08 refuses", "0.04 refuses")
        assert desk.turning(view).turn is None
        assert "0.03" in refusal_words(desk.turning(view).why_none)
        assert "No blade has gone in yet" in refused(desk, turn("1E"))
        view = desk.read("1E", "0.03 drag")
        assert desk.turning(view).turn is not None

    @pytest.mark.parametrize("seen", [INLET, STILL])
    def test_one_sign_besides_the_mark_is_too_little(
        self, make_desk: MakeDesk, seen: facts.Evidence
    ) -> None:
        desk = make_desk(confirmed=None)
        desk.confirm("1", MARK, seen)
        view = desk.read("1E", "0.08 refuses", "0.03 refuses")
        assert desk.turning(view).turn is None
        assert "Turn 45 degrees forward only" in refusal_words(desk.turning(view).why_none)

    def test_the_stroke_seen_in_motion_twice_lifts_it(self, make_desk: MakeDesk) -> None:
        desk = make_desk(confirmed=None)
        desk.confirm("1", MARK, INLET, STILL)
        assert desk.turning(desk.read("1E", "0.08 refuses", "0.03 refuses")).turn is not None

    def test_slack_shown_before_the_screw_went_too_far_in_stays_shown(self, desk: Any) -> None:
        desk.read("1E", "0.12 free", "0.15 refuses")
        desk.do(turn("1E", "30", Way.IN), facts.Locked("1E"))
        view = desk.read("1E", "0.08 refuses", "0.03 refuses")
        assert desk.turning(view).turn is not None
        desk.do(turn("1E", "10"))

    def test_slack_seen_before_the_nut_was_slackened_lets_it_be_turned_back(
        self, desk: Any
    ) -> None:
        desk.read("1E", "0.12 free", "0.15 refuses")
        desk.do(turn("1E", "30", Way.IN))
        desk.read("1E", "0.08 refuses", "0.03 refuses")
        desk.do(turn("1E", "20"))
        assert len(desk.state.valves["1E"].stages) == 3

    def test_but_not_in_the_next_position(self, desk: Any) -> None:
        desk.read("1E", "0.12 free", "0.15 refuses")
        desk.do(turn("1E", "30", Way.IN), facts.Locked("1E"))
        desk.confirm("1")
        assert desk.turning(desk.read("1E", "0.08 refuses", "0.03 refuses")).turn is None


def test_a_meter_may_stand_at_nothing_and_not_below(desk: Any) -> None:
    """A new engine's."""
    zero = facts.Particulars(odometer_km=Fraction(0), hours=Fraction(0), stood_hours=Fraction(0))
    desk.do(facts.ParticularsEntered(zero))
    assert desk.state.particulars.hours == 0
    below = facts.Particulars(hours=Fraction(-1, 10))
    assert "hour meter shows zero or more" in refused(desk, facts.ParticularsEntered(below))


def test_a_note_is_of_the_whole_or_of_a_valve_that_is_there(desk: Any) -> None:
    desk.do(facts.Noted("all dry"), facts.Noted("pad worn", "1E"))
    assert [(n.text, n.valve) for n in desk.state.notes] == [("all dry", ""), ("pad worn", "1E")]
    assert "no valve 9E" in refused(desk, facts.Noted("pad worn", "9E"))
    assert "says nothing" in refused(desk, facts.Noted("  "))


def test_a_valve_with_one_gap_has_no_whole_free_play(desk: Any) -> None:
    whole = facts.WholePlayRead("1E", desk.blade("0.10"), Answer.FREE)
    assert "one gap only" in refused(desk, whole)
    assert "no valve 9E" in refused(desk, replace(whole, valve="9E"))


class TestStrikeAndMove:
    def test_the_last_reading_with_that_blade_is_struck(self, desk: Any) -> None:
        desk.read("1E", "0.08 refuses", "0.08 free", "0.06 free")
        desk.do(StrikeReading("1E", desk.blade("0.08")))
        live = [str(t.reading) for t in desk.look("1E").readings]
        assert live == ["0.08 refuses", "0.06 free"]
        assert record_of(desk.state).valves[1].struck[0].answer is Answer.FREE

    def test_without_a_blade_the_last_of_all(self, desk: Any) -> None:
        desk.read("1E", "0.08 refuses", "0.06 free")
        desk.do(StrikeReading("1E"))
        assert [str(t.reading) for t in desk.look("1E").readings] == ["0.08 refuses"]

    def test_a_stack_is_told_from_its_leaves_in_either_order(self, desk: Any) -> None:
        desk.read("1E", "0.05+0.03 free", "0.05 free")
        assert "no reading with 0.03" in refused(desk, StrikeReading("1E", desk.blade("0.03")))
        desk.do(StrikeReading("1E", desk.blade("0.03+0.05")))
        assert [str(t.reading) for t in desk.look("1E").readings] == ["0.05 free"]

    def test_what_is_not_there_cannot_be_struck_or_moved(self, desk: Any) -> None:
        none = refused(desk, StrikeReading("1E"))
        assert none.startswith("1E has no reading that could be struck.")
        assert "no readings to move" in refused(desk, facts.ReadingsMoved("1E", "1I"))
        desk.read("1E", "0.08 refuses")
        assert "the valve they are on" in refused(desk, facts.ReadingsMoved("1E", "1E"))

    def test_readings_before_the_last_touch_are_not_struck(self, desk: Any) -> None:
        desk.read("1E", "0.06 free", "0.08 refuses")
        desk.do(turn("1E"), facts.Locked("1E"))
        assert "no reading" in refused(desk, StrikeReading("1E"))

    def test_moved_readings_are_the_other_valves(self, desk: Any) -> None:
        desk.read("1E", "0.06 free", "0.10 refuses")
        desk.do(facts.ReadingsMoved("1E", "1I"))
        assert desk.look("1I").verdict.kind is VerdictKind.IN
        assert desk.look("1E").readings == ()
        assert desk.state.last_valve == "1I"

    def test_moved_to_a_valve_that_was_open_there_they_do_not_count(self, desk: Any) -> None:
        desk.read("1E", "0.06 free", "0.10 refuses")
        desk.do(facts.ReadingsMoved("1E", "2I"))
        assert desk.look("2I").verdict.kind is VerdictKind.NONE
        desk.do(facts.ReadingsMoved("2I", "1I"))
        assert desk.look("1I").verdict.kind is VerdictKind.IN

    def test_read_as_the_wrong_cylinders_they_count_once_moved_to_the_right_one(
        self, desk: Any
    ) -> None:
        desk.read("2I", "0.06 free", "0.10 refuses")
        desk.do(facts.ReadingsMoved("2I", "1I"))
        assert desk.look("1I").verdict.kind is VerdictKind.IN

    def test_moving_does_not_bring_back_what_a_doubt_took(self, desk: Any) -> None:
        desk.read("1E", "0.06 free", "0.10 refuses")
        desk.do(facts.PositionDoubted("1"))
        desk.confirm("1")
        desk.do(facts.ReadingsMoved("1E", "1I"))
        assert desk.look("1I").verdict.kind is VerdictKind.NONE


class TestSetting:
    def test_found_set_locked_left(self, desk: Any) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        assert desk.look("1E").stage is StageKind.FOUND
        desk.do(turn("1E", "21.6"))
        assert desk.look("1E").slack_nut
        desk.do(facts.Locked("1E"))
        assert desk.look("1E").unread_after_lock
        view = desk.read("1E", "0.09 free", "0.10 refuses")
        assert view.done
        kept = next(v for v in record_of(desk.state).valves if v.name == "1E")
        assert kept.found is not None
        assert kept.left is not None
        assert kept.found.verdict.kind is VerdictKind.TIGHT
        assert kept.left.verdict.kind is VerdictKind.IN
        assert (kept.turned, kept.locked, kept.read_after) == (Fraction("21.6"), True, True)

    def test_the_reading_after_locking_is_compulsory(self, desk: Any) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(turn("1E"))
        desk.read("1E", "0.09 free", "0.10 refuses")
        assert not desk.look("1E").done  # in range, but the nut is slack
        desk.do(facts.Locked("1E"))
        assert not desk.look("1E").done
        assert desk.look("1E").verdict.kind is VerdictKind.NONE
        closed = desk.do(CloseSession()).closed
        assert "1E: not measured since it was locked" in closed.missing

    def test_several_turns_before_a_reading_are_one_stage(self, desk: Any) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(turn("1E", "30"), turn("1E", "5", Way.IN), facts.Locked("1E"))
        assert len(desk.state.valves["1E"].stages) == 3
        assert record_of(desk.state).valves[1].turned == 25

    def test_locking_twice_is_refused_until_it_was_read(self, desk: Any) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(turn("1E"), facts.Locked("1E"))
        assert "locked already" in refused(desk, facts.Locked("1E"))
        desk.read("1E", "0.08 free")
        desk.do(facts.Locked("1E"))

    @pytest.mark.parametrize("degrees", ["0", "-1", "361"])
    def test_a_turn_is_more_than_nothing_and_at_most_one(self, desk: Any, degrees: str) -> None:
        assert "360 degrees" in refused(desk, turn("1E", degrees))

    def test_shims_have_no_screw_and_screws_no_shim(
        self, desk: Any, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        assert "not set by shims" in refused(desk, facts.ShimFitted("1E", Length.mm("2.80")))
        shims = make_desk(make_twin(AdjusterKind.SHIM))
        assert "no screw" in refused(shims, turn("1E"))
        assert "no locknut" in refused(shims, facts.Locked("1E"))
        assert "A shim is above 0" in refused(shims, facts.ShimFitted("1E", Length(0)))
        assert "A shim is above 0" in refused(shims, facts.ShimFitted("1E", Length.mm(21)))

    def test_a_new_shim_must_be_measured_again(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        desk = make_desk(make_twin(AdjusterKind.SHIM))
        desk.do(facts.ShimFitted("1E", Length.mm("2.80")))
        assert desk.look("1E").stage is StageKind.FOUND
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(facts.ShimFitted("1E", Length.mm("2.75")))
        assert desk.look("1E").unread_after_lock
        assert desk.read("1E", "0.09 free", "0.12 refuses").done
        kept = record_of(desk.state).valves[1]
        assert (kept.shim_found, kept.shim_left) == (Length.mm("2.80"), Length.mm("2.75"))

    def test_a_shim_is_changed_only_where_a_screw_would_be_touched(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        desk = make_desk(make_twin(AdjusterKind.SHIM))
        new = facts.ShimFitted("1E", Length.mm("2.75"))
        desk.read("1E", "0.08 refuses", "0.03 refuses")
        assert "No slack at all" in refused(desk, new)
        desk.read("1I", "0.05 free", "0.06 refuses")
        desk.do(facts.ShimFitted("1I", Length.mm("2.80")))
        desk.confirm("2")
        other = facts.ShimFitted("1I", Length.mm("2.75"))
        assert "position is not confirmed for 1I" in refused(desk, other)
        # What is in as found is told, not fitted: before any reading, or said to be.
        desk.do(facts.ShimFitted("2E", Length.mm("2.80")), Undo())
        desk.confirm("1")
        desk.do(other)
        assert desk.look("1I").unread_after_lock
        desk.do(facts.PositionDoubted("1"))
        assert "position is not confirmed for 1I" in refused(desk, other)

    @pytest.mark.parametrize(
        ("now", "same"), [("2.79", True), ("2.789999", False), ("2.81", True), ("2.810001", False)]
    )
    def test_a_micrometers_two_words_are_of_one_shim_while_they_repeat(
        self, make_desk: MakeDesk, make_twin: MakeTwin, now: str, same: bool
    ) -> None:
        desk = make_desk(make_twin(AdjusterKind.SHIM))
        size = Length.mm("2.80")
        desk.do(facts.ShimFitted("1E", size, size))
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(facts.ShimFitted("1E", size, Length.mm(now)))
        assert desk.look("1E").unread_after_lock is not same

    def test_a_size_put_right_after_the_readings_keeps_them(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        desk = make_desk(make_twin(AdjusterKind.SHIM))
        desk.do(facts.ShimFitted("1E", Length.mm("2.80")))
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(facts.ShimFitted("1E", Length.mm("2.85"), found=True))
        assert desk.state.valves["1E"].shim == Length.mm("2.85")
        assert not desk.look("1E").unread_after_lock

    def test_what_is_fitted_is_told_wherever_the_crank_stands(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        desk = make_desk(make_twin(AdjusterKind.SHIM), confirmed=None)
        desk.do(
            facts.ShimFitted("1E", Length.mm("2.80")), facts.ShimFitted("1E", Length.mm("2.85"))
        )
        assert desk.state.valves["1E"].shim == Length.mm("2.85")
        assert desk.look("1E").stage is StageKind.FOUND

    def test_under_the_buckets_shims_are_changed_with_the_cams_out(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        sheet = make_twin(AdjusterKind.SHIM)
        under = replace(sheet, adjuster=replace(sheet.adjuster, under_bucket=True))
        desk = make_desk(under)
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(facts.PositionDoubted("1"), facts.ShimFitted("1E", Length.mm("2.80"), found=True))
        desk.do(facts.ShimFitted("1E", Length.mm("2.75")))
        assert desk.look("1E").unread_after_lock

    def test_hydraulic_adjusters_are_refused_at_the_door(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        with must_refuse("hydraulic"):
            make_desk(make_twin(AdjusterKind.HYDRAULIC))


class TestTallyTorquesNotes:
    def test_what_went_in_must_come_out(self, desk: Any) -> None:
        all_in(desk)
        desk.do(
            facts.ItemCounted("rags", 4, inwards=True), facts.ItemCounted("rags", 3, inwards=False)
        )
        assert dict(desk.state.short) == {"rags": 1}
        assert "Of rags, only 1" in refused(desk, facts.ItemCounted("rags", 2, inwards=False))
        assert "Of tools, only 0" in refused(desk, facts.ItemCounted("tools", 1, inwards=False))
        closed = desk.do(CloseSession()).closed
        assert (closed.complete, closed.missing) == (False, ("not counted out: rags (1)",))

    @pytest.mark.parametrize(("item", "count"), [("rags", 0), ("rags", -1), ("  ", 1)])
    def test_nothing_is_not_counted(self, desk: Any, item: str, count: int) -> None:
        assert "at least one" in refused(desk, facts.ItemCounted(item, count, inwards=True))

    def test_only_what_the_sheet_lists_is_torqued(self, desk: Any) -> None:
        assert "cover bolts" in refused(desk, facts.TorqueDone("sump plug"))
        assert unticked(desk.state) == ("cover bolts",)
        desk.do(facts.TorqueDone("cover bolts"))
        assert unticked(desk.state) == ()

    def test_an_empty_note_is_refused(self, desk: Any) -> None:
        assert "empty note" in refused(desk, facts.Noted(" "))
        desk.do(facts.Noted("worn", "1E"))
        assert record_of(desk.state).notes == ("1E: worn",)


class TestParticulars:
    @pytest.mark.parametrize(
        "particulars",
        [
            facts.Particulars(odometer_km=Fraction(-1)),
            facts.Particulars(hours=Fraction(-1, 2)),
            facts.Particulars(stood_hours=Fraction(-1)),
        ],
    )
    def test_meters_show_no_less_than_nothing(
        self, desk: Any, particulars: facts.Particulars
    ) -> None:
        assert "zero or more" in refused(desk, facts.ParticularsEntered(particulars))

    def test_only_what_was_newly_taken_changes(self, desk: Any) -> None:
        desk.do(facts.ParticularsEntered(facts.Particulars(hours=Fraction(12))))
        assert (desk.state.particulars.hours, desk.state.particulars.metal_c) == (12, 19)

    @pytest.mark.parametrize("metal", [None, 35, 80])
    def test_no_verdict_at_the_wrong_temperature(
        self, make_desk: MakeDesk, metal: int | None
    ) -> None:
        desk = make_desk(metal=metal)
        view = desk.read("1I", "0.06 free", "0.10 refuses")
        assert view.verdict.kind is VerdictKind.NONE
        assert (view.bracket.low, view.bracket.high) == (Length.mm("0.06"), Length.mm("0.10"))
        assert "35 C" in view.verdict.because
        assert desk.turning(view).turn is None

    def test_a_reading_keeps_the_temperature_it_was_taken_at(self, make_desk: MakeDesk) -> None:
        desk = make_desk(metal=50)
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(20))))
        assert desk.look("1I").verdict.kind is VerdictKind.NONE

    def test_a_temperature_told_late_serves_readings_that_had_none(
        self, make_desk: MakeDesk
    ) -> None:
        desk = make_desk(metal=None)
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(20))))
        assert desk.look("1I").verdict.kind is VerdictKind.IN


class TestBandAndRule:
    def test_a_single_figure_wants_the_owners_band(
        self, make_desk: MakeDesk, make_twin: MakeTwin
    ) -> None:
        from benchtui.domain.sheet import Band

        single = make_twin(inlet=Band(Length.mm("0.08"), Length.mm("0.08")))
        desk = make_desk(single)
        assert desk.read("1I", "0.06 free", "0.10 refuses").verdict.kind is VerdictKind.NONE
        assert "a width above zero" in refused(desk, facts.BandChosen(Length(0)))
        desk.do(facts.BandChosen(Length.mm("0.02")))
        view = desk.look("1I")
        assert (view.verdict.kind, view.setting.owners) == (VerdictKind.IN, True)

    def test_the_stricter_rule_wants_proof(self, desk: Any) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        assert desk.look("1I").done
        desk.do(facts.RuleChosen(DecisionRule.PROVED))
        assert not desk.look("1I").done
        assert desk.read("1I", "0.07 free", "0.09 refuses").done


class TestPauseAndClose:
    def test_while_paused_only_going_on_is_possible(self, desk: Any) -> None:
        desk.do(facts.Paused())
        assert "paused" in refused(desk, facts.Locked("1E"))
        assert "paused" in refused(desk, facts.Paused())
        assert "paused" in refused(desk, CloseSession())
        desk.do(facts.Resumed(facts.Crank.UNMOVED))
        assert "not paused" in refused(desk, facts.Resumed(facts.Crank.UNMOVED))

    @pytest.mark.parametrize("crank", list(facts.Crank))
    def test_the_position_stays_only_if_the_crank_surely_did(
        self, desk: Any, crank: facts.Crank
    ) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(facts.Paused(), facts.Resumed(crank))
        assert desk.look("1E").verdict.kind is VerdictKind.TIGHT  # read before, so it counts
        assert (desk.state.place is not None) is (crank is facts.Crank.UNMOVED)
        assert (desk.turning("1E").turn is not None) is (crank is facts.Crank.UNMOVED)
        if crank is not facts.Crank.UNMOVED:
            assert "not confirmed" in refused(desk, turn("1E"))
            assert desk.read("1I", "0.06 free").verdict.kind is VerdictKind.NONE

    def test_complete_when_every_valve_is_in_range_and_locked(self, desk: Any) -> None:
        all_in(desk)
        assert desk.do(CloseSession()).closed.complete
        assert record_of(desk.state).complete
        assert "closed" in refused(desk, facts.Locked("1E"))
        assert "Nothing was put right" in refused(desk, Undo())

    def test_partial_says_what_is_missing_valve_by_valve(self, desk: Any) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(turn("1E"))
        closed = desk.do(CloseSession()).closed
        assert not closed.complete
        assert closed.missing == (
            "1E: the locknut is slack",
            "2I: not measured",
            "2E: not measured",
        )
        assert not record_of(desk.state).complete


class TestUndo:
    def test_there_must_be_a_step_to_take_back(self, make_desk: MakeDesk) -> None:
        assert "no step" in refused(make_desk(confirmed=None), Undo())

    def test_step_by_step_back_to_the_beginning(self, make_desk: MakeDesk) -> None:
        desk = make_desk(confirmed=None)
        start = desk.state
        steps: list[Command] = [
            ConfirmPosition("1", (MARK, SLACK)),
            facts.ReadingTaken("1E", desk.blade("0.05"), Answer.FREE),
            facts.ReadingTaken("1E", desk.blade("0.06"), Answer.REFUSES),
            StrikeReading("1E"),
            facts.ReadingsMoved("1E", "1I"),
            facts.PositionDoubted("1"),
            facts.BandChosen(Length.mm("0.02")),
            facts.ItemCounted("rags", 2, inwards=True),
        ]
        for step in steps:
            desk.do(step)
        for _ in steps:
            desk.do(Undo())
        same = ("valves", "place", "doubted", "band", "particulars", "undoable")
        assert [getattr(desk.state, k) for k in same] == [getattr(start, k) for k in same]
        assert dict(desk.state.tally) == {}
        assert len(desk.events) == 1 + 2 * len(steps)
        assert "no step" in refused(desk, Undo())
