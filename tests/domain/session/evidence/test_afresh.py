"""A doubt, or warm metal, blocks nothing for good: fresh readings lead, the old ones only stand there."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import Undo
from benchtui.domain.session.facts.events import (
    Locked,
    Particulars,
    ParticularsEntered,
    PositionDoubted,
    ScrewTurned,
)
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.whole.record import record_of
from tests.asking import advise
from tests.refusing import must_refuse

MakeDesk = Callable[..., Any]


def metal(celsius: int) -> ParticularsEntered:
    return ParticularsEntered(Particulars(metal_c=Fraction(celsius)))


class TestAfterADoubt:
    def test_while_it_lasts_what_was_read_is_shown_and_no_blade_is_asked_for(
        self, desk: Any
    ) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(PositionDoubted("1"))
        view = desk.look("1I")
        assert view.bracket.low == Length.mm("0.06")
        assert advise(desk.state, view) is None

    def test_confirmed_again_the_valve_is_measured_afresh_and_nothing_need_be_struck(
        self, desk: Any
    ) -> None:
        first = advise(desk.state, desk.look("1I"))
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(PositionDoubted("1"))
        desk.confirm("1")
        view = desk.look("1I")
        assert view.verdict.kind is VerdictKind.NONE
        assert view.verdict.because.endswith("not confirmed when this was read: measure it again")
        assert view.bracket == OPEN
        assert advise(desk.state, view) == first
        assert isinstance(first, TryBlade)
        view = desk.read("1I", "0.03 free", "0.05 refuses")
        # The old ones would make it 0.06 goes, 0.05 refuses: a contradiction.
        assert view.verdict.kind is VerdictKind.TIGHT
        assert (view.bracket.low, view.bracket.high) == (Length.mm("0.03"), Length.mm("0.05"))
        assert len(view.readings) == 4
        assert desk.turning(view).turn is not None
        left = record_of(desk.state).valves[0].left
        assert left is not None
        assert left.bracket == view.bracket

    def test_refused_at_overlap_the_thinnest_is_no_reason_to_stop_at_compression(
        self, desk: Any
    ) -> None:
        desk.read("1E", "0.08 refuses", "0.03 refuses")
        assert advise(desk.state, desk.look("1E")) is None
        desk.do(PositionDoubted("1"))
        desk.confirm("1")
        assert advise(desk.state, desk.look("1E")) is not None
        desk.read("1E", "0.05 free")
        desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))

    def test_a_blade_that_went_in_doubt_shows_no_slack_for_a_screw(self, desk: Any) -> None:
        desk.read("1E", "0.05 free")
        desk.do(PositionDoubted("1"))
        desk.confirm("1")
        desk.read("1E", "0.08 refuses")
        with must_refuse("No blade has gone in yet"):
            desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))

    def test_with_the_nut_slack_the_blade_before_locking_is_asked_for_again(
        self, desk: Any
    ) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(ScrewTurned("1E", Way.OUT, Fraction("21.6")))
        desk.read("1E", "0.10 free")
        desk.do(PositionDoubted("1"))
        desk.confirm("1")
        view = desk.look("1E")
        assert view.bracket == OPEN
        assert desk.turning(view).turn is None


class TestWarmMetal:
    def test_no_blade_is_asked_for_while_none_would_count(self, make_desk: MakeDesk) -> None:
        desk = make_desk(metal=50)
        assert advise(desk.state, desk.look("1I")) is None
        desk.do(metal(19))
        assert advise(desk.state, desk.look("1I")) is not None

    def test_read_warm_and_then_cooled_it_is_measured_afresh(self, make_desk: MakeDesk) -> None:
        desk = make_desk(metal=50)
        view = desk.read("1I", "0.04 free", "0.05 refuses")
        assert view.verdict.kind is VerdictKind.NONE
        assert "wait until it is below 35 C" in view.verdict.because
        desk.do(metal(19))
        view = desk.look("1I")
        assert view.verdict.kind is VerdictKind.NONE
        assert "at 50 C" in view.verdict.because
        assert view.verdict.because.endswith("measure it again")
        assert view.bracket == OPEN
        assert advise(desk.state, view) is not None
        view = desk.read("1I", "0.06 free", "0.10 refuses")
        assert view.verdict.kind is VerdictKind.IN
        found = record_of(desk.state).valves[0].found
        assert found is not None
        assert (found.verdict, found.bracket) == (view.verdict, view.bracket)

    def test_cold_readings_stand_when_it_has_been_warmed_since(self, desk: Any) -> None:
        desk.read("1I", "0.06 free", "0.10 refuses")
        desk.do(metal(50))
        assert desk.look("1I").verdict.kind is VerdictKind.IN
        # A reading in warm metal beside them changes nothing.
        assert desk.read("1I", "0.03 refuses").verdict.kind is VerdictKind.IN

    def test_while_it_is_warm_only_what_was_read_in_place_is_shown(
        self, make_desk: MakeDesk
    ) -> None:
        desk = make_desk(confirmed=None, metal=50)
        assert desk.read("1I", "0.03 refuses").bracket.high == Length.mm("0.03")
        desk.confirm("1")
        view = desk.read("1I", "0.04 free", "0.05 refuses")
        assert (view.bracket.low, view.bracket.high) == (Length.mm("0.04"), Length.mm("0.05"))

    def test_told_late_it_holds_for_what_was_read_before(self, make_desk: MakeDesk) -> None:
        desk = make_desk(metal=None)
        desk.read("1I", "0.06 free", "0.10 refuses")
        assert "not told" in desk.look("1I").verdict.because
        desk.do(metal(50))
        assert "50 C, too warm" in desk.look("1I").verdict.because
        # Cooled since: what was read at 50 is not made cold by it.
        desk.do(metal(19))
        assert desk.look("1I").verdict.kind is VerdictKind.NONE
        desk.do(Undo(), Undo(), metal(19))
        assert desk.look("1I").verdict.kind is VerdictKind.IN

    def test_a_turn_made_in_warm_metal_says_so_at_once(self, desk: Any) -> None:
        desk.read("1E", "0.05 free", "0.06 refuses")
        desk.do(metal(50), ScrewTurned("1E", Way.OUT, Fraction("21.6")))
        because = desk.look("1E").verdict.because
        assert because.startswith("turned, the nut slack")
        assert "50 C, too warm" in because
        desk.do(Locked("1E"))
        assert "50 C, too warm" in desk.look("1E").verdict.because
        desk.do(metal(19))
        assert desk.look("1E").verdict.because == "set at 50 C, too warm: measure it again cold"


def test_where_no_blade_goes_the_turn_says_that_it_may_be_too_little(desk: Any) -> None:
    desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(ScrewTurned("1E", Way.IN, Fraction(30)), Locked("1E"))
    view = desk.read("1E", "0.08 refuses", "0.03 refuses")
    assert desk.turning(view).turn is not None
    assert "held off its seat" in desk.turning(view).note
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)), Locked("1E"))
    view = desk.read("1E", "0.05 free", "0.07 refuses")
    assert desk.turning(view).turn is not None
    assert desk.turning(view).note == ""
