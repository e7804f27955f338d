"""The cautions, short, each at the step where it binds (common practice throughout)."""

from __future__ import annotations

from enum import Enum

from benchtui.domain.sheet import Condition, Sheet
from benchtui.domain.typed import temperature_words
from benchtui.domain.work_steps import work_lines


class CautionAt(Enum):
    """Where in the work a caution stands."""

    BEFORE = "before"
    CRANK = "crank"
    GAUGE = "gauge"
    SET = "set"
    CLOSE = "close"


_FIXED = {
    CautionAt.CRANK: ("Turn by hand and forward only. Nobody near the starter.",),
    CautionAt.GAUGE: ("Never force a blade. Fingers clear of chain and rockers.",),
    CautionAt.SET: ("Never crank with a valve screwed open. Stop at solid resistance.",),
    CautionAt.CLOSE: ("Small threads take the manual's figure only. Count rags and tools out.",),
}


def cautions(step: CautionAt, sheet: Sheet) -> tuple[str, ...]:
    """The cautions of a step for this engine."""
    if step is CautionAt.SET and sheet.adjuster.set_by.shims:
        return ("Never crank with a shim out or a cap loose. Fingers clear of the lobes.",)
    if step is not CautionAt.BEFORE:
        return _FIXED[step]
    clearances = sheet.clearances
    stood = clearances.stood_hours
    cold = "Engine cold"
    if clearances.metal_below is not None:
        cold += f", metal below {temperature_words(clearances.metal_below)}"
    if stood is not None:
        cold += f", stood {float(stood):g} h"
    if clearances.condition is Condition.HOT:
        cold = "This sheet is for a hot engine: gloves, and mind the exhaust"
    return (
        f"{cold}.",
        "On its stand, wheels chocked, in neutral.",
        "Ignition off, battery negative off, fuel off, no flame near.",
        *work_lines(sheet.work, before=True),
        "The manufacturer's manual and local rules outrank this program.",
    )
