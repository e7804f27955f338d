from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Locked, ScrewTurned
from benchtui.domain.session.valve.eccentric import LEARN_FIRST, STOP, stands
from benchtui.domain.sheet import AdjusterKind, Rotation, Sheet
from benchtui.text.words.refusals import refusal_words


@pytest.fixture
def desk(make_desk: Callable[..., Any], make_twin: Callable[..., Sheet]) -> Any:
    """An eccentric that should close clockwise; inlets 0.06 to 0.10."""
    return make_desk(make_twin(AdjusterKind.ECCENTRIC))


def turn(way: Way, degrees: int) -> ScrewTurned:
    return ScrewTurned("1I", way, Fraction(degrees))


def test_the_first_turn_goes_the_sheets_way(desk: Any) -> None:
    tight = desk.read("1I", "0.03 free", "0.04 refuses")
    assert desk.turning(tight).note == LEARN_FIRST
    assert (desk.turning(tight).turn.way, desk.turning(tight).turn.rotation) == (
        Way.OUT,
        Rotation.ANTICLOCKWISE,
    )
    assert (
        desk.turning(tight).turn.degrees_low,
        desk.turning(tight).turn.degrees,
        desk.turning(tight).turn.degrees_high,
    ) == (15, 15, 15)


def test_a_wide_gap_is_closed(desk: Any) -> None:
    wide = desk.read("1I", "0.12 free", "0.15 refuses")
    assert (desk.turning(wide).turn.way, desk.turning(wide).turn.closes) == (Way.IN, True)


def test_stands_count_the_angle_from_where_it_was_found(desk: Any) -> None:
    desk.read("1I", "0.03 free", "0.04 refuses")
    desk.do(turn(Way.OUT, 20), turn(Way.IN, 5))
    desk.read("1I", "0.05 free", "0.06 refuses")
    desk.do(Locked("1I"))
    desk.read("1I", "0.05 free", "0.06 refuses")
    assert [s.angle for s in stands(desk.state, "1I")] == [0, 15, 15]


def test_an_eccentric_that_moves_the_other_way_is_believed(desk: Any) -> None:
    """The sheet says that out opens; the blades saw it close by 0.01 to 0.03 in 15 degrees."""
    desk.read("1I", "0.12 free", "0.15 refuses")
    desk.do(turn(Way.OUT, 15))
    view = desk.read("1I", "0.10 free", "0.12 refuses")
    assert view.verdict.kind.out
    # 0.110 to 0.080; learned 0 to 0.05 in 15 degrees, which does not show the way for sure.
    assert desk.turning(view).turn is None
    assert "do not show which way" in refusal_words(desk.turning(view).why_none)
    desk.do(turn(Way.OUT, 15))
    closed = desk.read("1I", "0.04 free", "0.05 refuses")
    assert (desk.turning(closed).turn.way, desk.turning(closed).turn.closes) == (Way.IN, False)
    assert STOP in desk.turning(closed).note


def test_the_span_of_a_turn_is_cut_at_the_farthest_and_never_starts_the_other_way(
    desk: Any,
) -> None:
    """Found 0.03 to 0.04; 15 degrees on 0.05 to 0.06: 0.01 to 0.03 in 15 degrees."""
    desk.read("1I", "0.03 free", "0.04 refuses")
    desk.do(turn(Way.OUT, 15))
    view = desk.read("1I", "0.05 free", "0.06 refuses")
    # 0.02 to 0.03 more at 2/3 to 2 um a degree: 10 to 45 degrees, of which 30 at the most; the
    # middles, 25 um at 4/3 um a degree, make 18.75 (arithmetic).
    assert (desk.turning(view).turn.way, desk.turning(view).turn.closes) == (Way.OUT, False)
    span = (
        desk.turning(view).turn.degrees_low,
        desk.turning(view).turn.degrees,
        desk.turning(view).turn.degrees_high,
    )
    assert span == (10, Fraction("18.75"), 30)
    assert desk.turning(view).note == STOP


@pytest.mark.parametrize("learned", [False, True])
def test_at_a_limit_with_a_bracket_round_the_middle_no_way_can_be_told(
    desk: Any, learned: bool
) -> None:
    if learned:
        desk.read("1I", "0.03 free", "0.04 refuses")
        desk.do(turn(Way.OUT, 15))
    view = desk.read("1I", "0.06 drag", "0.10 refuses")
    assert view.verdict.limit == Length.mm("0.06")
    assert desk.turning(view).turn is None
    assert "on either side of 0.08 mm" in refusal_words(desk.turning(view).why_none)
    # A bracket that only reaches the middle tells the way.
    told = desk.read("1I", "0.08 refuses")
    assert desk.turning(told).turn is not None
    assert not desk.turning(told).turn.closes


def test_no_turn_before_it_is_read_again(desk: Any) -> None:
    desk.read("1I", "0.03 free", "0.04 refuses")
    desk.do(turn(Way.OUT, 15))
    assert desk.turning("1I").turn is None
