"""When a next blade is offered, and when something else has to come first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.counting import no_slack
from benchtui.domain.session.facts.events import LeftLast, PositionDoubted, ScrewTurned, WayChosen
from benchtui.domain.session.next_step import next_step, setting_step
from benchtui.domain.session.next_step.kinds import NextValve, SetOnBlade, TryBlade, TurnBy
from benchtui.domain.session.steps.fold import begin
from tests.asking import advise


def blade(desk: Any, valve: str) -> str | None:
    advice = advise(desk.state, desk.look(valve))
    return str(advice.feeler) if isinstance(advice, TryBlade) else None


def test_none_without_a_position(make_desk: Callable[..., Any]) -> None:
    desk = make_desk(confirmed=None)
    assert blade(desk, "1I") is None
    desk.confirm("1")
    assert blade(desk, "1I") is not None
    assert blade(desk, "2I") is None
    desk.do(PositionDoubted("1"))
    assert blade(desk, "1I") is None


def test_none_while_the_readings_contradict_each_other(desk: Any) -> None:
    desk.read("1I", "0.12 drag", "0.10 refuses")
    assert blade(desk, "1I") is None


def test_none_where_the_metal_is_too_warm(make_desk: Callable[..., Any]) -> None:
    desk = make_desk(metal=50)
    desk.read("1I", "0.06 free")
    assert blade(desk, "1I") is None


def test_no_clearance_asks_for_the_stroke_and_not_for_a_blade(desk: Any) -> None:
    desk.read("1I", "0.04 refuses")
    assert blade(desk, "1I") == "0.03 mm"
    desk.read("1I", "0.03 refuses")
    assert blade(desk, "1I") is None


def test_dragging_at_a_limit_it_may_be_left_or_set(desk: Any) -> None:
    """It counts as in range; whoever wants to set it is told how."""
    view = desk.read("1E", "0.08 drag", "0.12 refuses")
    assert view.verdict.limit == Length.mm("0.08")
    assert isinstance(next_step(desk.state, "1E"), NextValve)
    set_anyway = setting_step(desk.state, "1E")
    assert isinstance(set_anyway, SetOnBlade)
    assert str(set_anyway.feeler) == "0.10 mm"


def test_dragging_at_the_upper_limit_the_turn_is_told(desk: Any) -> None:
    view = desk.read("1E", "0.12 drag", "0.15 refuses")
    assert desk.turning(view).turn is not None
    assert desk.turning(view).turn.closes


def test_what_was_left_last_time_is_where_the_search_begins(make_desk: Callable[..., Any]) -> None:
    desk = make_desk(confirmed=None)
    tight = LeftLast("1E", Length.mm("0.03"), Length.mm("0.04"))
    desk.events[0] = replace(desk.events[0], fact=replace(desk.state.opened, left_last=(tight,)))
    desk.state = begin(desk.events[0])
    desk.confirm("1")
    advice = advise(desk.state, desk.look("1E"))
    assert isinstance(advice, TryBlade)
    assert advice.feeler.nominal <= Length.mm("0.08")


def test_a_set_that_begins_inside_the_range_speaks_of_no_slack_nowhere(
    make_desk: Callable[..., Any],
) -> None:
    """Its thinnest leaf refusing says nothing of slack: what is lacking is said instead."""
    desk = make_desk(confirmed=None)
    opened = desk.state.opened
    leaves = tuple(b for b in opened.blades.leaves if b.thickness >= Length.mm("0.10"))
    thick = replace(opened.blades, leaves=leaves)
    desk.events[0] = replace(desk.events[0], fact=replace(opened, blades=thick))
    desk.state = begin(desk.events[0])
    desk.confirm("1")
    view = desk.read("1E", "0.10 refuses")  # of 0.08 to 0.12
    assert view.verdict.kind is VerdictKind.UNDECIDED
    assert not no_slack(desk.state, "1E")
    assert isinstance(advise(desk.state, view), CannotDecide)


def test_turned_far_the_wrong_way_it_is_turned_back_by_the_same_reckoning(desk: Any) -> None:
    """Wide at 0.12 to 0.15; 90 degrees out on 0.75 open it by 0.1875 more (geometry)."""
    desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(90)))
    step = next_step(desk.state, "1E")
    assert isinstance(step, SetOnBlade)
    assert isinstance(step.otherwise, TurnBy)
    assert step.otherwise.turn.way is Way.IN
    # From 0.3225 to 0.10 are 107 degrees.
    assert float(step.otherwise.turn.degrees) == pytest.approx(107, abs=4)


def test_turned_as_shown_and_not_sure_enough_of_it_a_touch_on_a_blade(desk: Any) -> None:
    """Read 30 um wide and turned by a hand good to 10: on a range of 40 that is one lock in six."""
    desk.do(WayChosen(by_blade=False))
    view = desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(ScrewTurned("1E", Way.IN, desk.turning(view).turn.degrees))
    step = next_step(desk.state, "1E")
    assert isinstance(step, SetOnBlade)
    assert step.touch
