"""The conditions under which a reading counts, a verdict may be given, a screw may be touched."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.blades import Leaf
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import Reading, bracket_of
from benchtui.domain.length import ZERO
from benchtui.domain.session.position import stroke_is_sure, what_to_do
from benchtui.domain.session.stages import Stage
from benchtui.domain.session.state import State
from benchtui.domain.sheet import Clearances, Condition, Sheet, Valve

NO_SLACK = "No slack at all: either this is overlap, or the clearance is gone."


def valve_of(sheet: Sheet, name: str) -> Valve:
    """The valve of that name.

    Raises:
        Refusal: the sheet has none.
    """
    valve = sheet.layout.valve(name)
    if valve is None:
        names = ", ".join(v.name for v in sheet.layout.valves)
        raise Refusal(f"This engine has no valve {name}.", f"Its valves are {names}.")
    return valve


def counted(stage: Stage) -> list[Reading]:
    """The readings of a stage that count: not struck, and taken at a confirmed position."""
    return [t.reading for t in stage.live if t.place is not None]


def temperature_fault(clearances: Clearances, metal_c: Fraction | None) -> str:
    """Why no verdict may be given at this metal temperature; empty where one may.

    A clearance is never converted between temperatures: published warm-up tables are not even
    monotonic.
    """
    below, above = clearances.metal_below, clearances.metal_above
    bounds = [f"below {float(round(below, 1)):g} C"] if below is not None else []
    bounds += [f"above {float(round(above, 1)):g} C"] if above is not None else []
    wanted = " and ".join(bounds)
    if not bounds:
        return ""
    if metal_c is None:
        return f"metal temperature not taken; the sheet wants it {wanted}"
    if (below is None or metal_c < below) and (above is None or metal_c > above):
        return ""
    what_to_do = (
        "wait until it has cooled"
        if clearances.condition is Condition.COLD
        else "bring it to the sheet's temperature first"
    )
    return f"the metal is at {float(round(metal_c, 1)):g} C and the sheet wants it {wanted}: {what_to_do}"


def slack_unseen(state: State, name: str) -> bool:
    """Whether this valve was read and nothing tells yet that it is off its cam.

    Slack is shown by any blade that went, here or before the adjuster was touched in this same
    position; or the stroke is sure by what was seen in motion, which holds even where there is no
    slack (see ``position.stroke_is_sure``).
    """
    stages = state.valves[name].stages
    bracket = bracket_of(counted(stages[-1]) or [t.reading for t in stages[-1].live])
    if bracket.high is None or bracket.low > ZERO:
        return False
    if state.place is None:
        return True
    here = state.place.number
    went = (t.place == here and t.reading.answer.goes for stage in stages[:-1] for t in stage.live)
    return not stroke_is_sure(state, name) and not any(went)


def no_slack(state: State, name: str) -> bool:
    """Whether even the thinnest blade refuses and the stroke is not sure."""
    if not slack_unseen(state, name):
        return False
    stage = state.valves[name].current
    bracket = bracket_of(counted(stage) or [t.reading for t in stage.live])
    return bracket.high is not None and bracket.high <= thinnest_leaf(state).thickness


def thinnest_leaf(state: State) -> Leaf:
    """The thinnest leaf of the set in hand."""
    return min(state.opened.blades.leaves, key=lambda leaf: leaf.thickness)


def check_touchable(state: State, name: str) -> None:
    """Whether the adjuster of this valve may be touched now.

    Raises:
        Refusal: the crank position is not confirmed for it, or no slack has been found.
    """
    if state.place is None or name not in state.place.confirmed.valves:
        raise Refusal(
            f"The crank position is not confirmed for {name}.",
            "Put its cylinder on the compression stroke and confirm it by two pieces of evidence.",
        )
    if no_slack(state, name):
        raise Refusal(NO_SLACK, what_to_do(state, name))
    if slack_unseen(state, name):
        raise Refusal(
            "No blade has gone in yet, so nothing shows that this valve has any slack.",
            f"Find one that goes, down to the thinnest, {thinnest_leaf(state).marked}, if need be.",
        )
