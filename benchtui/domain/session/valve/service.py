"""Where a valve of a session stands by its service limit, as found and as left."""

from __future__ import annotations

from benchtui.domain.gauging.service_limit import ServiceStanding, service_standing
from benchtui.domain.gauging.verdict import Verdict, judge, judge_both, judge_measured
from benchtui.domain.session.evidence.counting import counted, gauged, measured_in, valve_of
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind
from benchtui.domain.session.valve.assessment import left_of, verdict_of
from benchtui.domain.session.valve.pad import hollow
from benchtui.domain.sheet import Band


def service_limit(state: State, name: str) -> Band | None:
    """The service limits that the sheet prints for this valve."""
    sheet = state.opened.sheet
    return sheet.clearances.service_of(valve_of(sheet, name))


def service_found(state: State, name: str) -> ServiceStanding | None:
    """Where it stood as found; None where no limit is printed or no verdict can be given."""
    stage, limit = state.valves[name].found, service_limit(state, name)
    setting = setting_of(state, valve_of(state.opened.sheet, name))
    if limit is None or setting is None or not gauged(stage):
        return None
    by_range = verdict_of(state, name, stage, setting.band)
    return service_standing(by_range, _by_limit(state, name, stage, limit))


def service_left(state: State, name: str) -> ServiceStanding | None:
    """Where it stands now, its nut tight; None as for ``service_found``."""
    stage, limit = state.valves[name].current, service_limit(state, name)
    if limit is None or stage.kind is StageKind.TURNED or not gauged(stage):
        return None
    return service_standing(left_of(state, name)[1], _by_limit(state, name, stage, limit))


def _by_limit(state: State, name: str, stage: Stage, limit: Band) -> Verdict:
    """By the blades as for a range, also where the range itself is one figure set as printed."""
    readings, measured = counted(stage), measured_in(stage)
    if measured is None:
        return judge(readings, limit)
    if hollow(state, name) is not None:  # blades lie over a dished pad
        return judge_measured(measured, limit)
    return judge_both(readings, measured, limit)
