"""The locknuts that are slack."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind


def slack_nuts(state: State) -> tuple[str, ...]:
    """The valves whose locknut is slack now, those that the last session left so among them."""
    left = state.opened.left_slack
    return tuple(
        name
        for name, valve in state.valves.items()
        if valve.current.kind is StageKind.TURNED
        or (name in left and not any(s.kind is StageKind.LOCKED for s in valve.stages))
    )
