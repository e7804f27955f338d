"""One leaf in hand serves every valve of the stop before it is changed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.next_blade import MOST_LOST, NextBlade
from benchtui.domain.length import Length
from benchtui.domain.session.valve.next_blade import deciding
from benchtui.domain.session.whole.round_by_leaf import Serves, wanting
from tests.simulation.cheapest_round import Effort, Round, at_one_valve, plan_round, round_by_leaf


def leaf(size: str) -> Feeler:
    return Feeler((Leaf(Length.mm(size)),))


def serves(valve: str, *blades: str, lost: str = "0.04") -> Serves:
    """The first is the best, the others lose a little."""
    losses = [(leaf(b), Fraction(lost) if k else Fraction(0)) for k, b in enumerate(blades)]
    return Serves(valve, tuple(losses))


def test_the_leaf_in_hand_goes_wherever_it_serves() -> None:
    valves = serves("1I", "0.20"), serves("1E", "0.25"), serves("2I", "0.15", "0.20")
    found = plan_round(valves, leaf("0.20"))
    assert found == Round(leaf("0.20"), "1I", ("2I",), kept=True)


def test_with_nothing_in_hand_the_blade_that_serves_most_is_taken() -> None:
    valves = serves("1I", "0.15"), serves("1E", "0.25"), serves("2E", "0.25"), serves("3E", "0.30")
    found = plan_round(valves)
    assert found == Round(leaf("0.25"), "1E", ("2E",), kept=False)


def test_the_valve_last_worked_on_comes_first_where_it_is_served() -> None:
    valves = serves("1I", "0.20"), serves("2I", "0.20"), serves("3I", "0.20")
    found = plan_round(valves, leaf("0.20"), at="2I")
    assert found == Round(leaf("0.20"), "2I", ("1I", "3I"), kept=True)


def test_a_leaf_is_changed_where_changing_costs_nothing() -> None:
    valves = (serves("1I", "0.15", "0.20"),)
    kept = plan_round(valves, leaf("0.20"))
    assert kept is not None
    assert kept.kept
    changed = plan_round(valves, leaf("0.20"), effort=Effort(leaf_change=Fraction(0)))
    assert changed == Round(leaf("0.15"), "1I", (), kept=False)


def test_no_valve_wants_a_blade() -> None:
    assert plan_round(()) is None


def test_at_a_stop_both_kinds_are_served_in_turn(desk: Any) -> None:
    """1I wants 0.06 to 0.10, 1E 0.08 to 0.12."""
    names = [s.valve for s in wanting(desk.state)]
    assert names == ["1I", "1E"]
    first = round_by_leaf(desk.state)
    assert first is not None
    desk.read("1I", "0.06 free", "0.10 refuses")
    assert [s.valve for s in wanting(desk.state)] == ["1E"]
    desk.read("1E", "0.08 free", "0.12 refuses")
    assert round_by_leaf(desk.state) is None


def test_every_blade_offered_loses_little_and_is_wanted_by_the_plan(desk: Any) -> None:
    view = desk.look("1E")
    best = deciding(desk.state, view)
    assert isinstance(best, NextBlade)
    offered = next(s for s in wanting(desk.state) if s.valve == "1E")
    assert offered.losses[0] == (best.feeler, Fraction(0))
    assert all(0 <= lost <= MOST_LOST for _, lost in offered.losses)
    upper = desk.blade("0.12")
    assert offered.loss(upper) is not None  # the other limit is as good


def test_valve_by_valve_the_leaf_in_hand_is_kept_where_it_loses_little(desk: Any) -> None:
    assert at_one_valve(desk.state, "1E", desk.blade("0.12")) == desk.blade("0.12")
    assert at_one_valve(desk.state, "1E", desk.blade("0.03")) == desk.blade("0.08")
    assert at_one_valve(desk.state, "1E", None) == desk.blade("0.08")
    desk.read("1E", "0.08 free", "0.12 refuses")
    assert at_one_valve(desk.state, "1E", None) is None


def test_where_the_crank_is_not_confirmed_nothing_is_wanted(make_desk: Any) -> None:
    made = make_desk(confirmed=None)
    assert wanting(made.state) == ()
    assert round_by_leaf(made.state) is None
