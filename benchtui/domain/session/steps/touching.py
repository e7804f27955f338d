"""What any touch of a valve does to the session."""

from __future__ import annotations

from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.evidence.pairs import base_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import ValveState


def with_valve(state: State, name: str, valve: ValveState) -> State:
    """The session with this valve replaced, and now the last that was worked at."""
    return replace(state, valves={**state.valves, name: valve}, last_valve=name)


def touched(state: State, name: str, valve: ValveState) -> State:
    """A gap that was touched, in the metal as it stands, makes its valve's free play unknown again.

    The steps after the setting, the torques and the spot-check are to be done over again too.
    """
    whole = {base: taken for base, taken in state.whole.items() if base != base_of(name)}
    now = replace(valve.current, metal=metal_now(state))
    after = with_valve(state, name, replace(valve.with_current(now), spot=()))
    return replace(after, whole=whole, after=frozenset(), torques=frozenset())
