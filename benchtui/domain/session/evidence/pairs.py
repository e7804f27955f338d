"""Valves with two gaps: which gap belongs to which valve, and what the two say of each other."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.sheet import GapRole, Sheet, Valve


def base_of(name: str) -> str:
    """The valve's name without the gap: ``1I`` of ``1I-opener`` and ``1I-closer``."""
    return name.removesuffix("-closer").removesuffix("-opener")


def pair_of(sheet: Sheet, valve: Valve) -> tuple[Valve, Valve] | None:
    """The opener's and the closer's gap of this valve, or None where it has one gap only."""
    kin = [v for v in sheet.layout.valves if base_of(v.name) == base_of(valve.name)]
    openers = [v for v in kin if v.role is GapRole.OPENER]
    closers = [v for v in kin if v.role is GapRole.CLOSER]
    return (openers[0], closers[0]) if len(openers) == len(closers) == 1 else None


def whole_play(state: State, name: str) -> tuple[Taken, ...]:
    """What was read in the whole free play of the valve that this gap belongs to, and not struck."""
    return tuple(t for t in state.whole.get(base_of(name), ()) if not t.struck)
