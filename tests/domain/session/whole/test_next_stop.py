"""Which stop comes next, turning forward from where the crank stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.session.facts.events import Crank, CrankTurned, Evidence, Resumed
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.next_stop import evidence_for, plan_of, stops_ahead
from benchtui.domain.session.whole.readiness import UNREAD, cooled, sheet_read_twice
from benchtui.domain.sheet import Sheet, Source

F = Fraction


def at(state: Any) -> list[tuple[str, Fraction | None]]:
    return [(a.stop.cylinder, a.forward) for a in stops_ahead(state)]


def test_in_the_plans_order_while_nobody_knows_where_the_crank_stands(
    make_desk: Callable[..., Any],
) -> None:
    assert at(make_desk(confirmed=None).state) == [("1", None), ("2", None)]


def test_from_where_it_stands_the_nearest_with_work_left(desk: Any) -> None:
    assert at(desk.state) == [("1", F(0)), ("2", F(360))]
    desk.read("1I", "0.06 free", "0.10 refuses")
    desk.read("1E", "0.08 free", "0.12 refuses")
    assert at(desk.state) == [("2", F(360)), ("1", F(0))]
    desk.do(CrankTurned(F(340)))
    first = stops_ahead(desk.state)[0]
    assert (first.stop.cylinder, first.forward, first.here) == ("2", F(20), True)


def test_a_turn_told_a_little_too_long_has_not_passed_the_stop(desk: Any) -> None:
    desk.do(CrankTurned(F(370)))
    first = stops_ahead(desk.state)[0]
    assert (first.stop.cylinder, first.forward, first.here) == ("2", F(710), True)


def test_the_stop_of_a_wanted_valve_comes_first(desk: Any) -> None:
    assert stops_ahead(desk.state, wanted="2E")[0].stop.cylinder == "2"


@given(st.lists(st.integers(1, 1440), max_size=4))
def test_wherever_it_was_turned_every_stop_is_there_once(turns: list[int]) -> None:
    desk = _desk()
    for degrees in turns:
        desk.do(CrankTurned(F(degrees)))
    ahead = stops_ahead(desk.state)
    assert sorted(a.stop.at for a in ahead) == sorted(s.at for s in plan_of(desk.state).stops)
    for found in ahead:
        assert found.forward == (found.stop.crank_angle - sum(turns)) % 720
    wanting = [not all(look(desk.state, v).done for v in a.stop.valves) for a in ahead]
    assert wanting == sorted(wanting, reverse=True)


def _desk() -> Any:
    from benchtui.domain.session.facts.events import Opened, Particulars
    from tests.domain.session.conftest import BLADES, Desk, twin

    desk = Desk(Opened("one", twin(), "f", BLADES, Particulars(metal_c=F(19))))
    desk.confirm("1")
    return desk


def test_evidence_is_offered_that_the_stop_can_show(desk: Any) -> None:
    stop = plan_of(desk.state).stops[0]
    assert evidence_for(desk.state, stop) == (
        Evidence.MARK,
        Evidence.SLACK,
        Evidence.INLET,
        Evidence.STILL,
        Evidence.COMPANION,
    )
    over = replace(stop, angle=F(360))
    others = replace(over, permissions=tuple(p for p in over.permissions if p.valve[0] == "2"))
    assert evidence_for(desk.state, others) == (Evidence.MARK, Evidence.ROCKS)
    # Where the manual has its own valves measured there, they are not waited for to rock.
    assert evidence_for(desk.state, over) == (Evidence.MARK, Evidence.TURNED)
    assert evidence_for(desk.state, replace(stop, angle=F(40))) == (Evidence.MARK, Evidence.TURNED)


def test_after_a_pause_only_a_crank_that_stood_still_is_known(desk: Any) -> None:
    paused = replace(desk.state, paused=True)
    for crank, known in ((Crank.UNMOVED, F(0)), (Crank.MOVED, None), (Crank.UNSURE, None)):
        desk.state = paused
        assert desk.do(Resumed(crank)).crank == known


def test_what_stands_before_a_check(
    make_desk: Callable[..., Any], make_twin: Callable[..., Sheet]
) -> None:
    twin = make_twin()
    checked = replace(twin, source=Source("Notes", "12", "M.", checked=True))
    assert sheet_read_twice(make_desk(checked).state).good
    once = make_desk().state
    assert not sheet_read_twice(once).good
    assert sheet_read_twice(replace(once, cautions=frozenset({UNREAD}))).good

    clearances = replace(twin.clearances, stood_hours=F(4))
    state = make_desk(replace(twin, clearances=clearances), metal=40).state
    metal, stood = cooled(state)
    assert (metal.good, stood.good) == (False, None)
    taken = replace(state.particulars, metal_c=F(20), stood_hours=F(4))
    metal, stood = cooled(replace(state, particulars=taken))
    assert (metal.good, stood.good) == (True, True)
    short = replace(taken, stood_hours=F(7, 2))
    assert cooled(replace(state, particulars=short))[1].good is False
