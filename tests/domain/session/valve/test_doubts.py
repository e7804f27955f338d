"""What a careful eye would say aloud of a valve beside its verdict."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.pad import PadVerdict
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.facts.commands import StrikeReading
from benchtui.domain.session.facts.events import Locked, ScrewTurned, WholePlayRead, WoundBack
from benchtui.domain.session.valve.doubts import (
    FINISH_FROM_ONE_SIDE,
    derived_gap,
    doubts,
    pair_notes,
    setting_notes,
)
from benchtui.domain.session.valve.pad import pad_finding
from benchtui.domain.sheet import Clearances, GapRole, Layout, Sheet, ValveKind
from tests.engines import cylinder

MakeDesk = Callable[..., Any]
MakeTwin = Callable[..., Sheet]


def said(desk: Any, valve: str) -> tuple[str, ...]:
    return doubts(desk.state, desk.look(valve))


def notes(desk: Any, valve: str) -> tuple[str, ...]:
    return setting_notes(desk.state, desk.look(valve))


class TestThePad:
    """48 degrees on a pitch of 0.75 make 0.100, a hand's 5 degrees 0.0104 (geometry)."""

    @pytest.mark.parametrize(
        ("answers", "verdict", "spoken"),
        [
            (("0.09 free", "0.10 refuses"), PadVerdict.CLEAR, True),
            (("0.03 free", "0.05 refuses"), PadVerdict.DOUBT, True),
            (("0.15 free", "0.20 refuses"), PadVerdict.MORE, True),
            (("0.03 free", "0.10 refuses"), PadVerdict.UNDECIDED, True),
        ],
    )
    def test_what_the_test_finds(
        self, desk: Any, answers: tuple[str, ...], verdict: PadVerdict, *, spoken: bool
    ) -> None:
        desk.read("1E", "0.08 free", "0.12 refuses")
        desk.do(WoundBack("1E", Fraction(48)))
        assert pad_finding(desk.state, "1E") is None
        desk.read("1E", *answers)
        found = pad_finding(desk.state, "1E")
        assert found is not None
        assert found.verdict is verdict
        assert bool(said(desk, "1E")) is spoken

    def test_only_a_hollow_is_remembered_once_it_is_locked(self, desk: Any) -> None:
        desk.read("1E", "0.08 free", "0.12 refuses")
        for answers, kept in (
            (("0.09 free", "0.10 refuses"), 0),
            (("0.03 free", "0.05 refuses"), 1),
        ):
            desk.do(WoundBack("1E", Fraction(48)))
            desk.read("1E", *answers)
            desk.do(Locked("1E"))
            desk.read("1E", "0.08 free", "0.12 refuses")
            assert len(said(desk, "1E")) == kept


def test_a_turn_back_is_finished_from_one_side(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert notes(desk, "1E") == ()
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(60)), Locked("1E"))
    desk.read("1E", "0.15 free", "0.20 refuses")
    desk.read("1E", "0.15+0.03 refuses")
    assert desk.turning("1E").turn.way is Way.IN
    assert notes(desk, "1E") == (FINISH_FROM_ONE_SIDE,)


def test_far_from_its_kind_takes_two_of_the_kind(make_desk: MakeDesk, make_twin: MakeTwin) -> None:
    """An exhaust range is 0.04 wide: 0.03 to 0.04 is further than that under 0.09 to 0.10."""
    sheet = make_twin()
    cylinders = tuple(cylinder(n, 240 * k, "E") for k, n in enumerate("123"))
    desk = make_desk(replace(sheet, layout=Layout(cylinders)))
    desk.read("1E", "0.03 free", "0.04 refuses")
    assert said(desk, "1E") == ()
    desk.confirm("2")
    desk.read("2E", "0.09 free", "0.10 refuses")
    assert said(desk, "1E") == ()
    desk.confirm("3")
    desk.read("3E", "0.09 free", "0.10 refuses")
    assert len(said(desk, "1E")) == 1
    assert "far from the other exhaust valves" in said(desk, "1E")[0]
    assert said(desk, "2E") == ()


@pytest.mark.parametrize(("goes", "refuses"), [("0.06", "0.07"), ("0.12", "0.15")])
def test_within_a_ranges_width_of_its_kind_nothing_is_said(
    make_desk: MakeDesk, make_twin: MakeTwin, goes: str, refuses: str
) -> None:
    sheet = make_twin()
    cylinders = tuple(cylinder(n, 240 * k, "E") for k, n in enumerate("123"))
    desk = make_desk(replace(sheet, layout=Layout(cylinders)))
    desk.read("1E", f"{goes} free", f"{refuses} refuses")
    for n in "23":
        desk.confirm(n)
        desk.read(f"{n}E", "0.09 free", "0.10 refuses")
    assert said(desk, "1E") == ()


class TestTwoGaps:
    @pytest.fixture
    def pair(self, make_desk: MakeDesk, make_twin: MakeTwin) -> Any:
        sheet = make_twin()
        both = cylinder("1", 0, ("I-opener", "I-closer"))
        band = sheet.clearances.printed[0][2]
        printed = tuple((ValveKind.INLET, role, band) for role in GapRole)
        return make_desk(replace(sheet, layout=Layout((both,)), clearances=Clearances(printed)))

    def whole(self, pair: Any, *answers: str) -> None:
        for text in answers:
            blade, answer = text.split()
            pair.do(WholePlayRead("1I-opener", pair.blade(blade), Answer(answer)))

    def test_the_gap_that_was_not_read_is_the_rest(self, pair: Any) -> None:
        """0.15 to 0.20 less 0.06 to 0.07 leaves 0.08 to 0.14 (interval arithmetic)."""
        self.whole(pair, "0.15 free", "0.20 refuses")
        closer = valve_of(pair.state.opened.sheet, "1I-closer")
        assert derived_gap(pair.state, closer) is None
        assert pair_notes(pair.state, closer) == ("Whole free play 0.15 goes, 0.20 refuses.",)
        pair.read("1I-opener", "0.06 free", "0.07 refuses")
        rest = derived_gap(pair.state, closer)
        assert rest is not None
        assert (rest.low, rest.high) == (Length.mm("0.08"), Length.mm("0.14"))
        assert "leaves 0.08 to 0.14 mm here" in pair_notes(pair.state, closer)[0]

    def test_gaps_that_do_not_add_up(self, pair: Any) -> None:
        self.whole(pair, "0.15 free", "0.20 refuses")
        pair.read("1I-opener", "0.06 free", "0.07 refuses")
        pair.read("1I-closer", "0.09 free", "0.10 refuses")
        assert said(pair, "1I-closer") == ()
        pair.do(ScrewTurned("1I-closer", Way.OUT, Fraction(30)))
        self.whole(pair, "0.12 refuses")
        pair.read("1I-closer", "0.09 free", "0.10 refuses")
        assert "do not add up" in said(pair, "1I-closer")[0]

    def test_less_than_one_gap_alone(self, pair: Any) -> None:
        self.whole(pair, "0.05 refuses")
        pair.read("1I-opener", "0.09 free", "0.10 refuses")
        for gap in ("1I-opener", "1I-closer"):
            (doubt,) = said(pair, gap)
            assert "(0.05 refuses, nothing has gone in) is less than 1I-opener alone" in doubt
            assert "they disagree" in doubt

    def test_a_whole_that_contradicts_itself_is_named_and_nothing_is_taken_from_it(
        self, pair: Any
    ) -> None:
        self.whole(pair, "0.20 free", "0.10 refuses")
        pair.read("1I-opener", "0.07 free", "0.08 refuses")
        closer = valve_of(pair.state.opened.sheet, "1I-closer")
        for gap in ("1I-opener", "1I-closer"):
            assert len(said(pair, gap)) == 1
            assert "0.20 free or 0.10 refuses must be wrong" in said(pair, gap)[0]
            assert "try both again" in said(pair, gap)[0]
        assert derived_gap(pair.state, closer) is None
        assert pair_notes(pair.state, closer) == ()
        pair.do(StrikeReading("1I-opener", pair.blade("0.10"), whole=True))
        assert said(pair, "1I-closer") == ()
        assert pair_notes(pair.state, closer) == (
            "Whole free play 0.20 goes, nothing has refused.",
        )

    def test_one_blade_that_is_free_and_refuses_in_the_whole(self, pair: Any) -> None:
        self.whole(pair, "0.15 free", "0.15 refuses")
        assert "0.15 free or 0.15 refuses" in said(pair, "1I-opener")[0]

    def test_a_gap_that_contradicts_itself_is_not_held_against_the_whole(self, pair: Any) -> None:
        self.whole(pair, "0.12 free", "0.15 refuses")
        pair.read("1I-opener", "0.20 free", "0.06 refuses")
        assert said(pair, "1I-closer") == ()
        assert derived_gap(pair.state, valve_of(pair.state.opened.sheet, "1I-closer")) is None
