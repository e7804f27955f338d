"""The locknuts that are slack."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind


def slack_nuts(state: State) -> tuple[str, ...]:
    """The valves whose locknut is slack now."""
    return tuple(n for n, v in state.valves.items() if v.current.kind is StageKind.TURNED)
