"""``next_step``: what to do now, at a valve or at the whole engine."""

from __future__ import annotations

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import position_sure
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.next_step.at_valve import at_valve
from benchtui.domain.session.next_step.ending import ending
from benchtui.domain.session.next_step.kinds import (
    CloseUp,
    Finished,
    NextStep,
    NextValve,
    NoMeasure,
    NothingToMeasure,
    Purpose,
    Resume,
    SetOnBlade,
    SpotCheck,
    TryBlade,
    TurnBy,
)
from benchtui.domain.session.next_step.nut_slack import lock_first, loose_nuts
from benchtui.domain.session.next_step.to_set import held_in, to_set
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.next_valve import next_valve


def next_step(state: State, valve: str | None = None) -> NextStep:
    """What to do now at this valve, or (None) at the whole engine.

    Never two answers, and never none: it answers for every state and every valve of the sheet.

    Raises:
        Refusal: the sheet has no such valve.
    """
    return remembered(state, ("next step", valve), lambda: _answer(state, valve))


def setting_step(state: State, valve: str) -> NextStep:
    """What to do now at the adjuster of this valve: the next step, or how it is set all the same.

    A valve that is in range, its nut tight, may be set nearer the middle by whoever wants to.
    """
    step = next_step(state, valve)
    view = look(state, valve)
    willing = isinstance(step, NextValve | CloseUp | SpotCheck) and position_sure(state, valve)
    turned = not state.opened.sheet.adjuster.set_by.shims and state.repeat is None
    if willing and turned and view.setting is not None and view.verdict.kind is VerdictKind.IN:
        return to_set(state, view)
    return step


def other_way(state: State, valve: str) -> bool | None:
    """Whether the way of setting that is not in hand is the one by blade; None where there is none.

    By degrees a finer blade may be asked for first: then, too, one may go back to the leaf held in.
    """
    step = setting_step(state, valve)
    match step:
        case SetOnBlade(otherwise=turn) if turn is not None:
            return False
        case TurnBy(otherwise=held) if held is not None:
            return True
        case TryBlade(purpose=Purpose.NARROW) if state.by_blade is False:
            return None if held_in(state, look(state, valve)) is None else True
        case _:
            return None


def _answer(state: State, valve: str | None) -> NextStep:
    if state.closed is not None:
        return Finished(state.closed.complete, state.closed.missing)
    if not state.opened.sheet.adjuster.set_by.measured:
        return NothingToMeasure(NoMeasure.HYDRAULIC, valve)
    slack = slack_nuts(state)
    if state.paused:
        if slack:
            return lock_first(state, slack[0])
        return Resume()
    if valve is not None:
        return at_valve(state, valve)
    loose = loose_nuts(state)
    if loose:
        return lock_first(state, loose[0])
    name = next_valve(state) if state.repeat is None else state.repeat.valve
    return ending(state) if name is None else at_valve(state, name)
