"""Whether the screws of this engine moved their gaps as the sheet says they would."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.adjusting.screw_check import ScrewFinding, Turned, check_screw
from benchtui.domain.adjusting.turns import closing_way
from benchtui.domain.gauging.bracket import Bracket, bracket_of
from benchtui.domain.length import Length
from benchtui.domain.session.events import ScrewTurned
from benchtui.domain.session.gates import counted
from benchtui.domain.session.locking import shift_known
from benchtui.domain.session.state import Stage, StageKind, State
from benchtui.domain.sheet import Adjuster

NUT = Length.um(20)
"""So much may working the locknut move the gap by itself, where nothing is learned (design value)."""


def screw_finding(state: State) -> ScrewFinding | None:
    """What all turns of this session say of the sheet; None while nothing can be told."""
    adjuster = state.opened.sheet.adjuster
    if not adjuster.turned or adjuster.pitch is None:
        return None
    return check_screw(turns_seen(state), adjuster)


def turns_seen(state: State) -> list[Turned]:
    """Every turn that was gauged before and after, valve by valve."""
    shift = shift_known(state)
    nut = NUT if shift is None else max(NUT, abs(shift.low), abs(shift.high))
    adjuster = state.opened.sheet.adjuster
    return [t for valve in state.valves.values() for t in _of_valve(valve.stages, adjuster, nut)]


def _of_valve(stages: tuple[Stage, ...], adjuster: Adjuster, nut: Length) -> list[Turned]:
    found: list[Turned] = []
    before: Bracket | None = None
    made: list[ScrewTurned] = []
    still_slack = False
    for stage in stages:
        slack = stage.kind is StageKind.TURNED
        if stage.backed_off is not None:  # how far it went to zero nobody knows
            before, made = None, []
        made += stage.turns
        still_slack = still_slack and slack
        if not counted(stage):
            continue
        after = bracket_of(counted(stage))
        if before is not None and made:
            found.append(_turned(made, adjuster, before, after, Length(0) if still_slack else nut))
        before, made, still_slack = after, [], slack
    return found


def _turned(
    made: list[ScrewTurned], adjuster: Adjuster, before: Bracket, after: Bracket, nut: Length
) -> Turned:
    closing = closing_way(adjuster)
    net = sum((t.degrees if t.way is closing else -t.degrees for t in made), Fraction(0))
    return Turned(net > 0, abs(net), before, after, nut, len(made))
