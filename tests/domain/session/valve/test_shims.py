"""What the shim plan leaves alone: what the rule in force accepts, and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from benchtui.domain.adjusting.shims import Shim
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.refusal import Why
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.facts.commands import CheckSpot
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    RuleChosen,
    ShimFitted,
    SpareTold,
)
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.shims import fitted_shim, gauged_with, shim_plan
from benchtui.domain.sheet import AdjusterKind, Sheet

mm = Length.mm


@pytest.fixture
def desk(make_desk: Callable[..., Any], make_twin: Callable[..., Sheet]) -> Any:
    """Inlets 0.06 to 0.10, 2.80 fitted at 1I, and a shim in the drawer that lands nearer."""
    desk = make_desk(make_twin(AdjusterKind.SHIM))
    desk.do(ShimFitted("1I", mm("2.80")))
    return desk


def fitted(desk: Any) -> dict[str, Length]:
    plan = shim_plan(desk.state)
    assert plan is not None
    return {placed.valve: placed.shim.marked for placed in plan.swap.placed}


def test_in_range_it_is_left_alone_though_another_would_land_nearer(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.08 refuses")
    desk.do(SpareTold(mm("2.79")))
    assert fitted(desk) == {"1I": mm("2.80")}


def test_not_proved_it_is_changed_where_proof_is_the_rule(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.08 refuses")
    desk.do(SpareTold(mm("2.79")), RuleChosen(DecisionRule.PROVED))
    assert not desk.look("1I").done
    assert fitted(desk) == {"1I": mm("2.79")}


def test_at_a_limit_it_is_changed(desk: Any) -> None:
    desk.read("1I", "0.06 drag", "0.07 refuses")
    assert desk.look("1I").done
    desk.do(SpareTold(mm("2.79")))
    assert fitted(desk) == {"1I": mm("2.79")}


def test_undecided_it_waits_for_one_more_blade(desk: Any) -> None:
    desk.read("1I", "0.05 free", "0.08 refuses")
    plan = shim_plan(desk.state)
    assert plan is not None
    assert dict(plan.left_out)["1I"].why is Why.SHIM_UNDECIDED
    assert fitted(desk) == {}


def test_in_range_by_the_hand_that_chose_to_go_by_feel(
    make_desk: Callable[..., Any], make_twin: Callable[..., Sheet]
) -> None:
    feel = FeelBand.exactly(Length.um(-4), Length.um(10))
    desk = make_desk(make_twin(AdjusterKind.SHIM), feel=feel)
    desk.do(ShimFitted("1I", mm("2.80")))
    desk.read("1I", "0.07 drag", "0.12 refuses")
    assert fitted(desk) == {}
    desk.do(RuleChosen(DecisionRule.FEEL))
    assert desk.look("1I").done
    desk.do(SpareTold(mm("2.81")))
    assert fitted(desk) == {"1I": mm("2.80")}


def test_doubted_by_the_spot_check_it_is_the_same_shim_still(desk: Any) -> None:
    desk.do(ShimFitted("1I", mm("2.80"), mm("2.79")))
    desk.read("1I", "0.06 free", "0.08 refuses")
    desk.do(AfterStepDone(AfterStep.TURNED_OVER))
    desk.confirm("1")
    desk.do(CheckSpot("1I", desk.blade("0.12"), Answer.FREE))
    assert desk.look("1I").stage is StageKind.AGAIN
    assert fitted_shim(desk.state.valves["1I"]) == Shim(mm("2.80"), mm("2.79"))
    # Measured once more, its readings stand.
    desk.do(ShimFitted("1I", mm("2.80"), mm("2.785")))
    assert gauged_with(desk.state.valves["1I"]) == Shim(mm("2.80"), mm("2.785"))
    assert desk.look("1I").verdict.kind is VerdictKind.WIDE
