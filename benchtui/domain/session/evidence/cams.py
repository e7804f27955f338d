"""Shims under the buckets: the cams come out for them, and what was read before counts no more."""

from __future__ import annotations

from benchtui.domain.session.facts.events import CamsStep
from benchtui.domain.session.facts.state import State


def cams_out_since(state: State, name: str) -> bool:
    """Whether any reading in hand at this valve was taken before the cams last came out."""
    out = state.cams_out
    if out is None:  # as nearly always, and this is asked often
        return False
    stage = state.valves[name].current
    numbers = [t.reading.number for t in stage.live]
    numbers += [t.measured.number for t in stage.measures if not t.struck]
    return any(number < out for number in numbers)


def cams_back(state: State) -> bool:
    """Whether the crank position was confirmed since the cams last came out.

    Until then more shims may be changed, and what was gauged before tells which.
    """
    return state.cams_out is None or (
        state.place is not None and state.place.number > state.cams_out
    )


STEPS_BACK = tuple(step for step in CamsStep if step is not CamsStep.OUT)
"""What puts the cams back, in its order."""


def steps_left(state: State) -> tuple[CamsStep, ...]:
    """What is still to be done before the crank may be turned; empty where the cams are in."""
    if state.cams_out is None or cams_back(state):
        return ()
    return tuple(step for step in STEPS_BACK if step not in state.cams_done)


def to_gauge_again(state: State) -> tuple[str, ...]:
    """The valves whose readings in hand are from before the cams last came out."""
    return tuple(name for name in state.valves if cams_out_since(state, name))
