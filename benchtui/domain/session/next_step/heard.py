"""Whether a reading that was just taken counts, and why not: said at once, always recorded."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from benchtui.domain.session.evidence.cams import cams_back
from benchtui.domain.session.evidence.counting import position_sure
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.at_valve import metal_step
from benchtui.domain.session.next_step.kinds import Wait


class HeardWhy(Enum):
    """Why a reading does not count, or how it does."""

    CRANK_NOT_CONFIRMED = "crank not confirmed"
    OTHER_STOP = "other stop"
    TOO_WARM = "too warm"
    TOO_COOL = "too cool"
    METAL_NOT_TOLD = "metal not told"
    CAMS_OUT = "cams out"
    BLIND = "blind"
    FORCED = "forced"


@dataclass(frozen=True, slots=True)
class Heard:
    """What came of a reading. ``stands_at`` is the cylinder that the crank stands at."""

    counts: bool
    why: HeardWhy | None = None
    stands_at: str = ""


def heard(state: State, valve: str) -> Heard:
    """What becomes of the reading that was just taken at this valve."""
    if state.repeat is not None and state.repeat.valve == valve:
        return Heard(counts=False, why=HeardWhy.BLIND)
    live = state.valves[valve].current.live
    forced = bool(live) and live[-1].reading.forced
    if not cams_back(state):
        return Heard(counts=False, why=HeardWhy.CAMS_OUT)
    if not position_sure(state, valve):
        if state.place is None:
            return Heard(counts=False, why=HeardWhy.CRANK_NOT_CONFIRMED)
        return Heard(
            counts=False, why=HeardWhy.OTHER_STOP, stands_at=state.place.confirmed.cylinder
        )
    metal = metal_step(state, valve)
    if isinstance(metal, Wait):
        cool = metal.metal.kind is MetalKind.TOO_COOL
        why = HeardWhy.TOO_COOL if cool else HeardWhy.TOO_WARM
        return Heard(counts=False, why=why)
    if metal is not None:
        return Heard(counts=False, why=HeardWhy.METAL_NOT_TOLD)
    return Heard(counts=True, why=HeardWhy.FORCED if forced else None)
