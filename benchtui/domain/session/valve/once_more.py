"""The one reading that a setting would rest on alone: to be tried once more before a nut is slackened.

The blades that are advised never overlap, so no contradiction gives a wrong answer away. Of the valves
found out, many rest on a single reading; a second of the same blade makes that two.
"""

from __future__ import annotations

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.evidence.decision_rule import feel_in_force
from benchtui.domain.session.evidence.setting import judged, setting_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.prior import left_last
from benchtui.domain.sheet import Band


def decides_alone(state: State, name: str) -> Reading | None:
    """The one reading without which this valve would not be out of range; None where two say so.

    None too where it is not out, where the nut is slack already, and where what was left last time,
    moved by the drift since, lets one expect it out on that side anyway.
    """
    stage = state.valves[name].current
    valve = state.opened.sheet.layout.valve(name)
    setting = None if valve is None else setting_of(state, valve)
    if valve is None or setting is None or stage.kind is StageKind.TURNED:
        return None
    readings, feel = counted(stage), feel_in_force(state)
    verdict = judged(state, valve, readings, setting.band, feel)
    if not verdict.kind.out:
        return None
    if stage.kind is StageKind.FOUND and _expected_out(state, name, setting.band, verdict.kind):
        return None
    for reading in reversed(readings):
        rest = [other for other in readings if other is not reading]
        if judged(state, valve, rest, setting.band, feel).kind is not verdict.kind:
            return reading
    return None


def _expected_out(state: State, name: str, band: Band, kind: VerdictKind) -> bool:
    past = left_last(state, name)
    if past is None:
        return False
    return past.high <= band.low if kind is VerdictKind.TIGHT else past.low >= band.high
