"""No valve left: turn it over, try one again, locknuts, count out, cover on, run, look for leaks, file."""

from __future__ import annotations

from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.at_crank import at_crank
from benchtui.domain.session.next_step.at_shim import cams_out
from benchtui.domain.session.next_step.kinds import ClosePart, CloseUp, NextStep, SpotCheck
from benchtui.domain.session.whole.completeness import (
    cap_bolts,
    locknut,
    spot_asked,
    unticked,
    untold,
    work_left,
)
from benchtui.domain.session.whole.next_valve import waits_for_cams
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.domain.work_steps import WorkStep


def ending(state: State) -> NextStep:
    """The next step where no valve at any stop wants a blade.

    Turning over and the spot-check are asked for where anything was set; where nothing was, they may
    be done, and nothing asks for them.
    """
    if any(waits_for_cams(state, name) for name in state.valves):
        return cams_out(state)
    later = untold(state)
    if AfterStep.TURNED_OVER in later:
        return CloseUp(ClosePart.TURN_OVER, on_figure=state.on_figure)
    spot = riskiest(state)
    if spot is not None and spot_asked(state):
        here = state.place is not None and spot.valve in state.place.confirmed.valves
        return SpotCheck(spot) if here else at_crank(state, spot.valve)
    closing = _cover(state)
    if closing is not None:
        return closing
    if AfterStep.FIRST_RUN in later:
        return CloseUp(ClosePart.FIRST_RUN)
    if AfterStep.NO_LEAKS in later:
        return CloseUp(ClosePart.LEAKS)
    return CloseUp(ClosePart.FILE)


def _cover(state: State) -> CloseUp | None:
    """Locknuts, the tensioner, what lies inside, then the gasket, the cover, the plug; each as printed."""
    sheet, nut = state.opened.sheet, locknut(state)
    open_torques, lines = unticked(state), work_left(state)
    inside = tuple(line for line in lines if line.startswith(_INSIDE))
    for inner in (nut, *cap_bolts(state)):
        if inner is not None and inner.what in open_torques:
            return CloseUp(ClosePart.TORQUES, (inner.what,), (inner,))
    if inside:
        return CloseUp(ClosePart.WORK, inside)
    if state.short:
        left = tuple(f"{count} {item}" for item, count in state.short.items())
        return CloseUp(ClosePart.COUNT_OUT, left)
    gasket = tuple(line for line in lines if line.startswith(_UNDER_THE_COVER))
    if gasket:
        return CloseUp(ClosePart.WORK, gasket)
    if open_torques:
        torques = tuple(t for t in sheet.torques if t.what in open_torques)
        return CloseUp(ClosePart.TORQUES, open_torques, torques)
    return CloseUp(ClosePart.WORK, lines) if lines else None


_INSIDE = WorkStep.CHAIN_TENSIONER.value.capitalize()
_UNDER_THE_COVER = WorkStep.GASKET.value.capitalize()
