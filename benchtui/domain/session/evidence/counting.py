"""The conditions under which a reading counts, a verdict may be given, a screw may be touched."""

from __future__ import annotations

from benchtui.domain.blades import Leaf
from benchtui.domain.gauging.bracket import Bracket, Measured, Reading, bracket_of
from benchtui.domain.gauging.measured import closer
from benchtui.domain.length import ZERO
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import remembered
from benchtui.domain.session.evidence.cams import cams_back, cams_out_since
from benchtui.domain.session.evidence.clash import Sifted, sift
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.evidence.position import stroke_is_sure, what_to_do
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.metal_standing import MetalStanding
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage
from benchtui.domain.sheet import Sheet, Valve


def valve_of(sheet: Sheet, name: str) -> Valve:
    """The valve of that name.

    Raises:
        Refusal: the sheet has none.
    """
    valve = sheet.layout.valve(name)
    if valve is None:
        known = tuple(v.name for v in sheet.layout.valves)
        raise Refusal(Why.NO_VALVE, valve=name, known=known)
    return valve


def counted(stage: Stage) -> tuple[Reading, ...]:
    """The readings of a stage that count (see ``Stage.counting``), less those set aside."""
    return remembered(stage, "counted", lambda: tuple(t.reading for t in _sifted(stage).standing))


def set_aside(stage: Stage) -> tuple[Reading, ...]:
    """Readings of a stage that stand alone against two: they stay on paper and do not count."""
    return tuple(t.reading for t in _sifted(stage).aside)


def _sifted(stage: Stage) -> Sifted:
    return remembered(stage, "sifted", lambda: sift(stage.counting))


def measured_in(stage: Stage) -> Measured | None:
    """The measured value of a stage that counts, if there is one."""
    taken = stage.measure
    return None if taken is None else taken.measured


def gauged(stage: Stage) -> bool:
    """Whether anything counts of what was tried or measured in a stage."""
    return stage.measure is not None or bool(stage.counting)


def gap_of(stage: Stage) -> Bracket:
    """Where the gap stood in a stage, by blades or by measure, whichever tells it more closely."""
    return remembered(stage, "gap", lambda: closer(bracket_of(counted(stage)), measured_in(stage)))


def position_sure(state: State, name: str) -> bool:
    """Whether the crank stands, confirmed, where this valve may be measured."""
    return state.place is not None and name in state.place.confirmed.valves


def would_count(state: State, name: str) -> bool:
    """Whether a reading taken now would count: the position sure, the metal as the sheet asks."""
    return position_sure(state, name) and metal_now(state).right


def gauged_afresh(state: State, name: str) -> bool:
    """Whether the cams are back in and a reading would count, but none was taken since they were out."""
    return cams_out_since(state, name) and cams_back(state) and would_count(state, name)


def leading(state: State, name: str) -> tuple[Reading, ...]:
    """The readings in hand that the next one adds to, and that the bracket is told from.

    Once a reading would count again, those that were doubted, or taken in warm metal, or before the
    cams were out, lead no more:
    the valve is measured afresh beside them. Until then they are all there is to show.
    """
    stage = state.valves[name].current
    if gauged_afresh(state, name):
        return ()
    if any(t.metal_right for t in stage.counting):
        return counted(stage)
    if would_count(state, name):
        return ()
    return counted(stage) or tuple(t.reading for t in stage.live)


def leading_measure(state: State, name: str) -> Measured | None:
    """The measured value in hand, as ``leading`` has it of readings."""
    taken = state.valves[name].current.measure
    if taken is None or gauged_afresh(state, name):
        return None
    return taken.measured if taken.metal_right or not would_count(state, name) else None


def leading_gap(state: State, name: str) -> Bracket:
    """Where the gap in hand stands, by blades or by measure, whichever tells it more closely."""
    return closer(bracket_of(leading(state, name)), leading_measure(state, name))


def metal_fault(stage: Stage) -> MetalStanding | None:
    """How the metal stood when a stage was read; None where it was as asked for."""
    measure = () if stage.measure is None else (stage.measure,)
    return next((t.metal for t in (*stage.counting, *measure) if not t.metal_right), None)


def slack_unseen(state: State, name: str) -> bool:
    """Whether this valve was read and nothing tells yet that it is off its cam.

    Slack is shown by any blade that went, here or before the adjuster was touched in this same
    position; or the stroke is sure by what was seen in motion, which holds even where there is no
    slack (see ``position.stroke_is_sure``).
    """
    bracket = bracket_of(leading(state, name))
    if bracket.high is None or bracket.low > ZERO or leading_gap(state, name).low > ZERO:
        return False
    if state.place is None:
        return True
    here = state.place.number
    stages = state.valves[name].stages
    went = (t.place == here and t.reading.answer.goes for stage in stages[:-1] for t in stage.live)
    return not stroke_is_sure(state, name) and not any(went)


def no_slack(state: State, name: str) -> bool:
    """Whether even the thinnest blade refuses and the stroke is not sure.

    A set whose thinnest leaf is thicker than the lower limit cannot tell: the valve may be right.
    """
    if not slack_unseen(state, name):
        return False
    setting = setting_of(state, valve_of(state.opened.sheet, name))
    if setting is not None and thinnest_leaf(state).thickness > setting.band.low:
        return False
    bracket = bracket_of(leading(state, name))
    return bracket.high is not None and bracket.high <= thinnest_leaf(state).thickness


def thinnest_leaf(state: State) -> Leaf:
    """The thinnest leaf of the set in hand."""
    return min(state.opened.blades.leaves, key=lambda leaf: leaf.thickness)


def check_position(state: State, name: str, instead: str) -> None:
    """Whether the crank stands, confirmed, where this valve may be measured.

    Raises:
        Refusal: it does not; ``instead`` is what to do first.
    """
    if not position_sure(state, name):
        raise Refusal(Why.POSITION_NOT_CONFIRMED, valve=name, instead=instead)


def check_touchable(state: State, name: str) -> None:
    """Whether the adjuster of this valve may be touched now.

    Raises:
        Refusal: the crank position is not confirmed for it, or no slack has been found.
    """
    check_position(
        state,
        name,
        "Put its cylinder on the compression stroke and confirm it by two pieces of evidence.",
    )
    if no_slack(state, name):
        raise Refusal(Why.NO_SLACK, instead=what_to_do(state, name))
    if slack_unseen(state, name):
        raise Refusal(Why.NO_BLADE_WENT, thinnest=thinnest_leaf(state).marked)
