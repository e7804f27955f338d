"""The adjuster: turned, set on a blade, locked, wound back; each step's check, then what it does."""

from __future__ import annotations

from benchtui.domain.adjusting.pad import pad_check
from benchtui.domain.adjusting.turns import FULL_TURN
from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import check_touchable, valve_of
from benchtui.domain.session.facts.events import (
    CamsStep,
    CamsStepDone,
    Locked,
    ScrewSetOn,
    ScrewTurned,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, ValveState


def check_turn(state: State, fact: ScrewTurned) -> None:
    """Whether the adjuster may be turned so.

    Raises:
        Refusal: it is not turned at all, by too much, or it may not be touched now.
    """
    valve_of(state.opened.sheet, fact.valve)
    adjuster = state.opened.sheet.adjuster
    if not adjuster.set_by.locked:
        raise Refusal(Why.NO_SCREW, set_by=adjuster.kind)
    if not 0 < fact.degrees <= FULL_TURN:
        raise Refusal(Why.TURN_SIZE, degrees=fact.degrees)
    check_touchable(state, fact.valve)


def after_turn(valve: ValveState, fact: ScrewTurned) -> ValveState:
    """A turn goes with those before it until something is read; then it begins a new stage."""
    current = valve.current
    set_otherwise = current.backed_off is not None or current.held is not None
    if current.kind is StageKind.TURNED and current.unread and not set_otherwise:
        return valve.with_current(replace(current, turns=(*current.turns, fact)))
    return valve.begun(Stage(StageKind.TURNED, turns=(fact,)))


def check_set_on(state: State, fact: ScrewSetOn) -> None:
    """Whether the screw may be set on this blade held in.

    Raises:
        Refusal: nothing here is set so, more than one leaf was held, or it may not be touched now.
    """
    valve_of(state.opened.sheet, fact.valve)
    adjuster = state.opened.sheet.adjuster
    if not adjuster.set_by.locked:
        raise Refusal(Why.NO_SCREW_FOR_BLADE, set_by=adjuster.kind)
    if len(fact.feeler.leaves) > 1:
        raise Refusal(Why.STACK_HELD, feeler=fact.feeler)
    check_touchable(state, fact.valve)


def set_on_blade(valve: ValveState, fact: ScrewSetOn) -> ValveState:
    """Nut slack, the gap a light drag on this blade; what was turned before it counts no more."""
    return valve.begun(Stage(StageKind.TURNED, held=fact.feeler))


def check_cams_step(state: State, fact: CamsStepDone) -> None:
    """Whether this step around the cams may be done.

    Raises:
        Refusal: no shims lie under buckets here, or the cams are not out.
    """
    if not state.opened.sheet.adjuster.set_by.cams_out:
        raise Refusal(Why.CAMS_STAY)
    if fact.step is not CamsStep.OUT and CamsStep.OUT not in state.cams_done:
        raise Refusal(Why.CAMS_NOT_OUT)


def check_lock(state: State, fact: Locked) -> None:
    """Whether the locknut may be tightened.

    Raises:
        Refusal: there is none, or it is tight already.
    """
    valve = fact.valve
    valve_of(state.opened.sheet, valve)
    if not state.opened.sheet.adjuster.set_by.locked:
        raise Refusal(Why.NO_LOCKNUT)
    stage = state.valves[valve].current
    if stage.kind is StageKind.LOCKED and stage.unread:
        raise Refusal(Why.LOCKED_ALREADY, valve=valve)


def check_wound_back(state: State, fact: WoundBack) -> None:
    """Whether the screw may be wound to zero clearance and backed off so far: the pad test.

    Raises:
        Refusal: it may not be touched now, or the angle would tell nothing.
    """
    valve_of(state.opened.sheet, fact.valve)
    check_touchable(state, fact.valve)
    pad_check(state.opened.sheet.adjuster, fact.degrees, OPEN)
