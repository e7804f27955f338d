"""Whether what was ticked at the crank may confirm its position, and what Enter does then."""

from __future__ import annotations

from collections.abc import Set as AbstractSet

from benchtui.domain.crank.plan import Stop
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Evidence
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.crank import PIECES_WANTED
from benchtui.domain.session.steps.decide import decide
from benchtui.domain.session.whole.next_stop import StopAhead, evidence_for
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.steps import in_inches


def confirming(state: State, stop: Stop, seen: AbstractSet[Evidence]) -> ConfirmPosition:
    """The step that confirms a stop by what was seen, in the order in which it is offered."""
    pieces = tuple(e for e in evidence_for(state, stop) if e in seen)
    return ConfirmPosition(stop.cylinder, pieces, stop.angle)


def against(state: State, stop: Stop, seen: AbstractSet[Evidence]) -> str:
    """What speaks against measuring here though enough is ticked; empty for nothing."""
    if len(seen) < PIECES_WANTED:
        return ""
    try:
        decide(state, confirming(state, stop, seen))
    except Refusal as refusal:
        return refusal_words(refusal, inch=in_inches(state))
    return ""


def turn_untold(state: State, ahead: StopAhead, seen: AbstractSet[Evidence]) -> bool:
    """Whether the crank must have been turned to be here, and nobody has said so.

    Whoever saw the inlet open and close has brought the cylinder round by that.
    """
    if ahead.forward is None or ahead.here or not seen:
        return False
    return state.place is not None or Evidence.INLET not in seen


def wanted_words(state: State, ahead: StopAhead, seen: AbstractSet[Evidence]) -> str:
    """What is still wanted before the bench opens."""
    if len(seen) >= PIECES_WANTED:
        unfit = against(state, ahead.stop, seen)
        if unfit:
            return "Not to be measured here: it does not fit."
        told = "say the turn made, then " if turn_untold(state, ahead, seen) else ""
        return f"Enter: {told}the bench opens."
    if not seen:
        return "Two different signs, and the bench opens:"
    return "One more sign, and the bench opens:"
