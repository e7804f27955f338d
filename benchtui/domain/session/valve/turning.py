"""The turn to make at a valve that is out, as the session stands; and whether one that was made was it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.adjusting.before_lock import DRAG
from benchtui.domain.adjusting.turns import Turn, Way, turn_for
from benchtui.domain.adjusting.while_slack import Hold
from benchtui.domain.gauging.feel import USUAL_BAND
from benchtui.domain.gauging.likely_gap import likely_gap
from benchtui.domain.gauging.verdict import Verdict
from benchtui.domain.length import ZERO
from benchtui.domain.refusal import Refusal
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import check_touchable, leading, position_sure
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.before_lock import while_slack
from benchtui.domain.session.valve.eccentric import eccentric_advice

HELD_OPEN = (
    "No blade goes in yet, so the valve may be held off its seat: then this turn is too little. "
    "Measure it again after it."
)


@dataclass(frozen=True, slots=True)
class Turning:
    """The turn to make, None where none is called for or (``why_none``) it cannot be told.

    ``note`` is what to mind with it.
    """

    turn: Turn | None = None
    note: str = ""
    why_none: Refusal | None = None


def turning(state: State, view: ValveView) -> Turning:
    """The turn to make at this valve, worked out once a state."""
    return remembered(state, ("turning", view.valve.name), lambda: _turning(state, view))


def _turning(state: State, view: ValveView) -> Turning:
    if state.repeat is not None and state.repeat.valve == view.valve.name:
        return Turning()  # measured blind: nothing is told
    try:
        return Turning(*_turn(state, view))
    except Refusal as refusal:
        return Turning(why_none=refusal)


def _turn(state: State, view: ValveView) -> tuple[Turn | None, str]:
    """The turn to make and what to mind with it; None where none is called for.

    Raises:
        Refusal: one is called for, and cannot be given.
    """
    setting, shift, name = view.setting, view.shift, view.valve.name
    adjuster = state.opened.sheet.adjuster
    if setting is None or adjuster.set_by.shims:  # see ``shimming``
        return None, ""
    if view.slack_nut and adjuster.threaded and view.judged is not None:
        check_touchable(state, name)
        now = while_slack(state, name, view.judged, ZERO if shift is None else shift.middle)
        if now is not None:
            turn = now.otherwise if isinstance(now, Hold) else now
            return (turn, "") if isinstance(turn, Turn) else (None, "")
    if not (view.verdict.kind.out or view.verdict.limit is not None):
        return None, ""
    check_touchable(state, name)
    if adjuster.set_by.learned:
        return eccentric_advice(state, name, setting.band)
    band = setting.band if shift is None else setting.band.moved(-shift.middle)
    held = "" if view.bracket.low > ZERO else HELD_OPEN
    out = view.verdict.kind.out
    # Within the span of one drag a hand aims no finer than the middle.
    closed = view.bracket.high is not None and view.bracket.high - view.bracket.low <= DRAG
    centre = (
        None if closed else likely_gap(tuple(leading(state, name)), feel_of(state) or USUAL_BAND)
    )
    turn = turn_for(view.bracket, band.middle, band, adjuster, surely_out=out, centre=centre)
    return turn, held


@dataclass(frozen=True, slots=True)
class Unadvised:
    """A turn that was made although none, or one the other way, was advised: ``instead`` says why."""

    instead: Way | Refusal | Verdict


def unadvised_turn(state: State, name: str) -> Unadvised | None:
    """The turn in hand at this valve where it was not advised, until the valve is read or locked.

    Turns that follow each other with nothing read between are one turn, so that going a little past
    and coming back is as advised.
    """
    history = state.valves[name]
    stage = history.current
    if stage.kind is not StageKind.TURNED or not stage.turns or not stage.unread:
        return None
    if not position_sure(state, name):  # doubted since: what was advised then cannot be told now
        return None
    earlier = replace(history, stages=history.stages[:-1])
    then = replace(state, valves={**state.valves, name: earlier})
    before = look(then, name)
    advised = turning(then, before)
    if advised.turn is not None:
        net = sum((t.degrees if t.way is Way.OUT else -t.degrees for t in stage.turns), Fraction(0))
        went = Way.OUT if net > 0 else Way.IN
        return Unadvised(advised.turn.way) if net and went is not advised.turn.way else None
    learns = state.opened.sheet.adjuster.set_by.learned
    if learns and before.verdict.kind.out:  # how far it moves is learned by turning it a little
        return None
    return Unadvised(advised.why_none or before.verdict)
