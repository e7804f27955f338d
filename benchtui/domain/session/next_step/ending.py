"""No valve left: turn it over, try one again, count out, torque, run, look for leaks, file."""

from __future__ import annotations

from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.at_crank import at_crank
from benchtui.domain.session.next_step.at_shim import cams_out
from benchtui.domain.session.next_step.kinds import (
    ClosePart,
    CloseUp,
    NextStep,
    SpotCheck,
)
from benchtui.domain.session.whole.completeness import unticked
from benchtui.domain.session.whole.next_valve import waits_for_cams
from benchtui.domain.session.whole.spot_check import riskiest


def ending(state: State) -> NextStep:
    """The next step where no valve at any stop wants a blade.

    Turning over and the spot-check are asked for where anything was set; where nothing was, they may
    be done, and nothing asks for them.
    """
    if any(waits_for_cams(state, name) for name in state.valves):
        return cams_out(state)
    touched = any(valve.touched for valve in state.valves.values())
    checked = any(valve.spot for valve in state.valves.values())
    if touched and AfterStep.TURNED_OVER not in state.after:
        return CloseUp(ClosePart.TURN_OVER, on_figure=state.on_figure)
    spot = riskiest(state)
    if touched and spot is not None and not checked:
        here = state.place is not None and spot.valve in state.place.confirmed.valves
        return SpotCheck(spot) if here else at_crank(state, spot.valve)
    if state.short:
        left = tuple(f"{count} {item}" for item, count in state.short.items())
        return CloseUp(ClosePart.COUNT_OUT, left)
    open_torques = unticked(state)
    if open_torques:
        torques = tuple(t for t in state.opened.sheet.torques if t.what in open_torques)
        return CloseUp(ClosePart.TORQUES, open_torques, torques)
    if AfterStep.FIRST_RUN not in state.after:
        return CloseUp(ClosePart.FIRST_RUN, nothing_set=not touched)
    if AfterStep.NO_LEAKS not in state.after:
        return CloseUp(ClosePart.LEAKS)
    return CloseUp(ClosePart.FILE, nothing_set=not touched)
