"""Shims under the buckets: the cams come out for them, and what was read before counts no more."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State


def cams_out_since(state: State, name: str) -> bool:
    """Whether any reading in hand at this valve was taken before the cams last came out."""
    out = state.cams_out
    in_hand = state.valves[name].current.live
    return out is not None and any(t.reading.number < out for t in in_hand)


def cams_back(state: State) -> bool:
    """Whether the crank position was confirmed since the cams last came out.

    Until then more shims may be changed, and what was gauged before tells which.
    """
    return state.cams_out is None or (
        state.place is not None and state.place.number > state.cams_out
    )


def to_gauge_again(state: State) -> tuple[str, ...]:
    """The valves whose readings in hand are from before the cams last came out."""
    return tuple(name for name in state.valves if cams_out_since(state, name))
