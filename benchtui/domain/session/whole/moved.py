"""How far the gap of one valve was moved in a session, by what was done to it."""

from __future__ import annotations

from collections.abc import Sequence

from benchtui.domain.adjusting.before_lock import hand_error
from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.turns import gap_for
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.facts.valve_history import StageKind, ValveState
from benchtui.domain.sheet import Adjuster

NUT_TAKES = (Length.um(-35), Length.um(15))
"""What one locking moves the gap by, where no lock of that session was gauged (design value)."""

STAMP = Length.um(10)
"""A shim is so near its stamp, either way (design value)."""


def moved_by(
    history: ValveState, adjuster: Adjuster, shifts: Sequence[Shift]
) -> tuple[Length, Length] | None:
    """From the least to the most, plus where it opened; None where it cannot be told.

    Each turn may be off by the hand's error, each locking by what locks of that session were seen
    to do, all at their worst together. A pad test leaves the screw where nobody has reckoned.
    """
    if history.found.shim is not None and history.shim is not None:
        thinner = history.found.shim - history.shim
        return thinner - STAMP * 2, thinner + STAMP * 2
    if not adjuster.reckoned:
        return None
    if any(s.backed_off is not None for s in history.stages):
        return None
    turns = [t for stage in history.stages for t in stage.turns]
    locks = sum(stage.kind is StageKind.LOCKED for stage in history.stages)
    meant = sum((gap_for(t.way, t.degrees, adjuster) for t in turns), ZERO)
    unsure = hand_error(adjuster) * len(turns)
    least = min((s.low for s in shifts), default=NUT_TAKES[0])
    most = max((s.high for s in shifts), default=NUT_TAKES[1])
    return meant - unsure + least * locks, meant + unsure + most * locks
