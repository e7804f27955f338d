"""What closing up asks for: where nothing was set, no nut and no second try (own choice)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    Locked,
    ScrewTurned,
    TorqueDone,
)
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import ClosePart, CloseUp
from benchtui.domain.session.whole.completeness import nuts_untorqued, spot_asked, unticked, untold
from benchtui.domain.sheet import Torque
from benchtui.text.pages.closing_page import NOTHING_SET, closing_lines

NUT = Torque("adjuster locknuts", "8 N*m", Fraction(8), Fraction(8))


@pytest.fixture
def with_nuts(desk: Any) -> Any:
    opened = desk.state.opened
    sheet = replace(opened.sheet, torques=(NUT, *opened.sheet.torques))
    return type(desk)(replace(opened, sheet=sheet))


def all_in_range(desk: Any) -> Any:
    desk.confirm("1")
    desk.read("1I", "0.06 free", "0.10 refuses")
    desk.read("1E", "0.08 free", "0.12 refuses")
    desk.confirm("2")
    desk.read("2I", "0.06 free", "0.10 refuses")
    desk.read("2E", "0.08 free", "0.12 refuses")
    return desk


def one_set(desk: Any) -> Any:
    all_in_range(desk)
    desk.do(ScrewTurned("2E", Way.OUT, Fraction(5)), Locked("2E"))
    desk.read("2E", "0.08 free", "0.12 refuses")
    return desk


def test_where_nothing_was_set_no_locknut_wants_its_torque(with_nuts: Any) -> None:
    state = all_in_range(with_nuts).state
    assert unticked(state) == ("cover bolts",)
    assert not spot_asked(state)
    assert AfterStep.TURNED_OVER not in untold(state)
    step = next_step(state)
    assert isinstance(step, CloseUp)
    assert (step.part, step.left) == (ClosePart.TORQUES, ("cover bolts",))


def test_there_turning_over_and_a_second_try_are_lines_that_may_be_done(with_nuts: Any) -> None:
    desk = all_in_range(with_nuts)
    offered = [line for line in closing_lines(desk.state, ()) if line.how == NOTHING_SET]
    assert [line.what.split(" ")[1] for line in offered] == ["turned", "try"]
    assert all(line.done is None and line.key for line in offered)
    desk.do(AfterStepDone(AfterStep.TURNED_OVER))
    done = next(line for line in closing_lines(desk.state, ()) if "turned over" in line.what)
    assert done.done


def test_where_one_was_set_all_of_it_is_asked_for(with_nuts: Any) -> None:
    state = one_set(with_nuts).state
    assert unticked(state) == ("adjuster locknuts", "cover bolts")
    assert spot_asked(state)
    assert untold(state)[0] is AfterStep.TURNED_OVER
    assert not [line for line in closing_lines(state, ()) if line.how == NOTHING_SET]


def test_a_lock_to_its_figure_needs_no_tick_and_a_later_one_takes_the_tick_back(
    with_nuts: Any,
) -> None:
    """Tightening again is a new torque (common practice)."""
    desk = all_in_range(with_nuts)
    desk.do(ScrewTurned("2E", Way.OUT, Fraction(5)), Locked("2E", torqued=True))
    assert unticked(desk.state) == ("cover bolts",)
    desk.do(ScrewTurned("2I", Way.OUT, Fraction(5)), Locked("2I"))
    assert nuts_untorqued(desk.state) == ("2I",)
    named = [line.what for line in closing_lines(desk.state, ()) if "locknuts" in line.what]
    assert named == ["adjuster locknuts: 2I"]
    desk.do(TorqueDone("adjuster locknuts"))
    assert unticked(desk.state) == ("cover bolts",)
    desk.do(ScrewTurned("2E", Way.IN, Fraction(5)), Locked("2E"))
    assert nuts_untorqued(desk.state) == ("2I", "2E")
    assert unticked(desk.state) == ("adjuster locknuts", "cover bolts")


def test_the_caps_of_cams_that_stayed_in_want_no_torque(desk: Any) -> None:
    caps = Torque("camshaft cap bolts", "10 N*m", Fraction(10), Fraction(10))
    opened = desk.state.opened
    sheet = replace(opened.sheet, torques=(*opened.sheet.torques, caps))
    state = all_in_range(type(desk)(replace(opened, sheet=sheet))).state
    assert unticked(state) == ("cover bolts",)
    assert unticked(replace(state, cams_out=1)) == ("cover bolts", "camshaft cap bolts")
