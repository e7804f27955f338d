"""A turn that was made although the bench advised none, or the other way: recorded, and said so."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import position_sure
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.sheet import AdjusterKind


def unadvised_turn(state: State, name: str) -> str:
    """That the turn in hand at this valve was not advised, and why, in a sentence; else empty.

    Told from when it is made until the valve is read again, or locked: then it is judged afresh.
    Turns that follow each other with nothing read between are one turn, so that going a little past
    and coming back is as advised.
    """
    history = state.valves[name]
    stage = history.current
    if stage.kind is not StageKind.TURNED or not stage.turns or not stage.unread:
        return ""
    if not position_sure(state, name):  # doubted since: what was advised then cannot be told now
        return ""
    earlier = replace(history, stages=history.stages[:-1])
    before = look(replace(state, valves={**state.valves, name: earlier}), name)
    if before.turn is not None:
        net = sum((t.degrees if t.way is Way.OUT else -t.degrees for t in stage.turns), Fraction(0))
        went = Way.OUT if net > 0 else Way.IN
        if not net or went is before.turn.way:
            return ""
        return f"This turn was not advised: the way to turn was {before.turn.way.value}."
    learns = state.opened.sheet.adjuster.kind is AdjusterKind.ECCENTRIC
    if learns and before.verdict.kind.out:  # how far it moves is learned by turning it a little
        return ""
    return f"This turn was not advised: {_why_none(before)}."


def _why_none(view: ValveView) -> str:
    """Why no turn was advised at a valve, as the rest of a sentence."""
    if view.no_turn:
        reason = view.no_turn.partition(". ")[0].removesuffix(".")
        return reason[:1].lower() + reason[1:]
    because = view.verdict.because
    match view.verdict.kind:
        case VerdictKind.IN:
            return f"the valve was in range ({because})"
        case VerdictKind.UNDECIDED:
            return f"whether it wants one was not known ({because})"
        case _:
            return f"no verdict could be given ({because})"
