"""With the locknut slack: lock it, a blade first where that pays, or a little more turn."""

from __future__ import annotations

from fractions import Fraction
from itertools import takewhile

from benchtui.domain.adjusting.turns import Turn, closing_way
from benchtui.domain.adjusting.while_slack import Hold, Lock, TryFirst
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import leading, position_sure
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step.kinds import (
    Borrow,
    Lead,
    Leads,
    LockIt,
    LockWhy,
    NextStep,
    Purpose,
    TryBlade,
    TurnBy,
)
from benchtui.domain.session.next_step.leads import leads_of
from benchtui.domain.session.next_step.to_set import held_in, to_set
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import reckoned, while_slack
from benchtui.domain.session.valve.next_blade import deciding
from benchtui.domain.session.valve.turning import turning
from benchtui.domain.session.whole.completeness import locknut


def with_nut_slack(state: State, view: ValveView) -> NextStep:
    """What to do at a valve whose locknut is slack, the crank, the metal and the range being sure."""
    name = view.valve.name
    stage, judged = state.valves[name].current, view.judged
    assert judged is not None
    read = bool(leading(state, name)) or view.measured is not None
    if stage.held is not None and not read:
        return lock(state, name, LockWhy.IN_HAND)
    if read and view.verdict.kind is VerdictKind.IN and view.verdict.limit is None:
        return lock(state, name, LockWhy.NEAR_ENOUGH)
    now = while_slack(state, name, judged, ZERO if view.shift is None else view.shift.middle)
    match now:
        case None:
            return _untold(state, view, read=read)
        case Lock():
            return lock(state, name, LockWhy.NEAR_ENOUGH if read else LockWhy.IN_HAND)
        case TryFirst():
            return TryBlade(name, now.feeler, Purpose.BEFORE_LOCK, _leads(now))
        case Turn():
            return _on(state, name, now)
        case Hold(otherwise=turn):
            held = held_in(state, view)
            if held is None:
                return lock(state, name, LockWhy.IN_HAND)
            by_turn = None if turn is None else _on(state, name, turn)
            return replace(held, touch=turn is None, otherwise=by_turn)


def _on(state: State, name: str, turn: Turn) -> TurnBy:
    return TurnBy(name, turn, slacken=False, still_out=True, torque=locknut(state))


def _leads(now: TryFirst) -> Leads:
    """What each answer makes of it; one that was not reckoned with does as its neighbour."""
    then = {answer: _lead(do) for answer, do in now.then}
    # A drag lies between the two others: where both turn it, so does the drag.
    near = then.get(Answer.FREE) or then.get(Answer.REFUSES) or Lead.LOCK
    drag = near if then.get(Answer.REFUSES, near) is near else Lead.LOCK
    return Leads(
        then.get(Answer.REFUSES, near), then.get(Answer.DRAG, drag), then.get(Answer.FREE, near)
    )


def _lead(do: Lock | Turn | Hold) -> Lead:
    match do:
        case Lock():
            return Lead.LOCK
        case Turn(closes=closes):
            return Lead.CLOSE if closes else Lead.OPEN
        case Hold():
            return Lead.HOLD


def _untold(state: State, view: ValveView, *, read: bool) -> NextStep:
    """Nothing tells where the gap stands: by the blades alone."""
    name = view.valve.name
    if not read:
        return lock(state, name, LockWhy.IN_HAND)
    if view.verdict.kind.out or turning(state, view).turn is not None:
        return to_set(state, view)
    return _deciding(state, view) or lock(state, name, LockWhy.IN_HAND)


def lock(state: State, name: str, why: LockWhy, *, back_off: bool = False) -> LockIt:
    """Lock this valve's nut."""
    held = state.valves[name].current.held
    part = state.opened.sheet.adjuster.set_by.part
    return LockIt(name, (name,), why, back_off, locknut(state), held, part)


def lock_first(state: State, name: str) -> LockIt:
    """The slack nuts, ``name`` the first of them, before anything else."""
    return LockIt(name, slack_nuts(state), LockWhy.LEFT_SLACK, torque=locknut(state))


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
