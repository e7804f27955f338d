"""The pad tests of this session: what the last one found, and whether the pad is known to be hollow."""

from __future__ import annotations

from benchtui.domain.adjusting.pad import PadFinding, PadVerdict, pad_check
from benchtui.domain.gauging.bracket import OPEN, bracket_of
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind


def pad_finding(state: State, name: str) -> PadFinding | None:
    """What the last pad test at this valve found; None where there was none, or it is not read."""
    stages = reversed(state.valves[name].stages)
    last = next((stage for stage in stages if stage.backed_off is not None), None)
    return None if last is None else _found(state, last)


def hollow(state: State, name: str) -> PadFinding | None:
    """The hollow (or slack thread) that the tests at this valve have found, or None.

    The last test that told anything counts: one that stayed undecided takes nothing back.
    """
    telling = (PadVerdict.DOUBT, PadVerdict.CLEAR)
    for stage in reversed(state.valves[name].stages):
        finding = None if stage.backed_off is None else _found(state, stage)
        if finding is not None and finding.verdict in telling:
            return finding if finding.verdict is PadVerdict.DOUBT else None
    return None


def set_by_thread(state: State, name: str) -> PadFinding | None:
    """What the thread makes where a valve with a dished pad was wound back from nothing and locked.

    None where it was not, or where somebody has set it otherwise since.
    """
    stages = state.valves[name].stages
    if len(stages) < 2 or stages[-1].kind is not StageKind.LOCKED or hollow(state, name) is None:  # noqa: PLR2004 - turned, then locked
        return None
    backed_off = stages[-2].backed_off
    return None if backed_off is None else pad_check(state.opened.sheet.adjuster, backed_off, OPEN)


def _found(state: State, stage: Stage) -> PadFinding | None:
    readings = counted(stage)
    bracket = bracket_of(readings)
    if not readings or bracket.clash or stage.backed_off is None:
        return None
    return pad_check(state.opened.sheet.adjuster, stage.backed_off, bracket)
