"""With the locknut slack: lock it, a blade first where that pays, or a little more turn."""

from __future__ import annotations

from fractions import Fraction
from itertools import takewhile

from benchtui.domain.adjusting.turns import closing_way, turn_for
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import leading, position_sure
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step.kinds import (
    Borrow,
    Lead,
    LockIt,
    LockWhy,
    NextStep,
    Purpose,
    TryBlade,
    TurnBy,
)
from benchtui.domain.session.next_step.leads import BEFORE_LOCK, leads_of
from benchtui.domain.session.next_step.to_set import locknut, next_to_aim, to_set
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import before_locking, reckoned, stands_right
from benchtui.domain.session.valve.next_blade import deciding
from benchtui.domain.sheet import Band


def with_nut_slack(state: State, view: ValveView) -> NextStep:
    """What to do at a valve whose locknut is slack, the crank, the metal and the range being sure."""
    name = view.valve.name
    stage = state.valves[name].current
    if not leading(state, name):
        return _not_read(state, view)
    judged = view.judged
    assert judged is not None
    stages = state.valves[name].stages
    adjuster = state.opened.sheet.adjuster
    in_range = view.verdict.kind is VerdictKind.IN
    if in_range or stands_right(stages, judged, adjuster):
        return lock(state, name, LockWhy.NEAR_ENOUGH)
    turn = view.turn
    if turn is not None and turn.small and next_to_aim(view.bracket, judged.middle):
        return lock(state, name, LockWhy.NEAR_ENOUGH)
    if view.verdict.kind.out or turn is not None:
        return to_set(state, view)
    del stage
    return _deciding(state, view) or lock(state, name, LockWhy.IN_HAND)


def lock(state: State, name: str, why: LockWhy, *, back_off: bool = False) -> LockIt:
    """Lock this valve's nut."""
    held = state.valves[name].current.held
    return LockIt(name, (name,), why, back_off, locknut(state), held)


def loose_nuts(state: State) -> tuple[str, ...]:
    """The slack nuts that must not stay so: where the crank does not stand, or left from last time."""
    turned = StageKind.TURNED
    return tuple(
        name
        for name in slack_nuts(state)
        if not position_sure(state, name) or state.valves[name].current.kind is not turned
    )


def holds_open(state: State, name: str) -> bool:
    """Whether, by the turns made, the screw may hold the valve off its seat.

    It may wherever it was turned the closing way on the whole and nothing shows that a gap is left.
    """
    stages = state.valves[name].stages
    adjuster = state.opened.sheet.adjuster
    here = reckoned(stages, adjuster)
    if here.high is not None and not here.clash:
        return not here.wide_low
    slack = list(takewhile(lambda s: s.kind is StageKind.TURNED and s.held is None, stages[::-1]))
    closing = closing_way(adjuster)
    turns = [turn for stage in slack for turn in stage.turns]
    net = sum((t.degrees if t.way is closing else -t.degrees for t in turns), Fraction(0))
    return net > 0


def _not_read(state: State, view: ValveView) -> NextStep:
    name = view.valve.name
    stages = state.valves[name].stages
    opened, judged = state.opened, view.judged
    assert judged is not None
    if stages[-1].held is not None:
        return lock(state, name, LockWhy.IN_HAND)
    here = reckoned(stages, opened.sheet.adjuster)
    if here.high is None or here.clash:
        return lock(state, name, LockWhy.IN_HAND)
    if here.low > judged.high or here.high < judged.low:
        return _turned_wrong(state, view, here, judged)
    pays = before_locking(stages, judged, opened.sheet.adjuster, opened.blades)
    if pays is not None:
        return TryBlade(name, pays.feeler, Purpose.BEFORE_LOCK, BEFORE_LOCK)
    return lock(state, name, LockWhy.IN_HAND)


def _turned_wrong(state: State, view: ValveView, here: Bracket, judged: Band) -> NextStep:
    """Turned the wrong way, or far from what was advised: turned back by the same reckoning."""
    adjuster = state.opened.sheet.adjuster
    try:
        turn = turn_for(here, judged.middle, judged, adjuster)
    except Refusal:
        return _deciding(state, view) or lock(state, view.valve.name, LockWhy.IN_HAND)
    if turn.small:
        return lock(state, view.valve.name, LockWhy.IN_HAND)
    return TurnBy(view.valve.name, turn, slacken=False, still_out=True, torque=locknut(state))


def _deciding(state: State, view: ValveView) -> NextStep | None:
    advice = deciding(state, view)
    match advice:
        case NextBlade(feeler):
            leads = leads_of(state, view, feeler)
            return TryBlade(view.valve.name, feeler, Purpose.LIMIT, leads, out=Lead.MORE)
        case CannotDecide():
            return Borrow(view.valve.name, advice)
        case None:
            return None
