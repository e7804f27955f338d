"""The adjuster: turned, set on a blade, locked, wound back; each step's check, then what it does."""

from __future__ import annotations

from dataclasses import replace

from benchtui.domain.adjusting.pad import pad_check
from benchtui.domain.adjusting.turns import FULL_TURN
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.session.evidence.counting import check_touchable, valve_of
from benchtui.domain.session.facts.commands import LockNut, TurnScrew, WindBack
from benchtui.domain.session.facts.events import (
    CamsStep,
    CamsStepDone,
    Locked,
    LookedOver,
    ScrewSetOn,
    ScrewTurned,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, ValveState
from benchtui.domain.sheet import AdjusterKind


def turned(state: State, command: TurnScrew) -> ScrewTurned:
    """The adjuster turned.

    Raises:
        Refusal: it is not turned at all, by too much, or it may not be touched now.
    """
    valve_of(state.opened.sheet, command.valve)
    kind = state.opened.sheet.adjuster.kind
    if kind in (AdjusterKind.SHIM, AdjusterKind.HYDRAULIC):
        raise Refusal(f"This engine has no screw to turn: it is set by {kind.value}s.")
    if not 0 < command.degrees <= FULL_TURN:
        raise Refusal(
            f"A turn is above 0 and up to 360 degrees, not {float(command.degrees):g}.",
            "Turn less, measure, and turn again.",
        )
    check_touchable(state, command.valve)
    return ScrewTurned(command.valve, command.way, command.degrees)


def after_turn(valve: ValveState, fact: ScrewTurned) -> ValveState:
    """A turn goes with those before it until something is read; then it begins a new stage."""
    current = valve.current
    set_otherwise = current.backed_off is not None or current.held is not None
    if current.kind is StageKind.TURNED and current.unread and not set_otherwise:
        return valve.with_current(replace(current, turns=(*current.turns, fact)))
    return valve.begun(Stage(StageKind.TURNED, turns=(fact,)))


def set_on(state: State, fact: ScrewSetOn) -> ScrewSetOn:
    """The screw set on a blade held in.

    Raises:
        Refusal: nothing here is set so, more than one leaf was held, or it may not be touched now.
    """
    valve_of(state.opened.sheet, fact.valve)
    kind = state.opened.sheet.adjuster.kind
    if kind in (AdjusterKind.SHIM, AdjusterKind.HYDRAULIC):
        raise Refusal(f"This engine has no screw to set on a blade: it is set by {kind.value}s.")
    if len(fact.feeler.leaves) > 1:
        raise Refusal(
            f"A stack is springy: {fact.feeler} is not held in to set a screw on.",
            "Hold one leaf in, the one nearest the size aimed at.",
        )
    check_touchable(state, fact.valve)
    return fact


def set_on_blade(valve: ValveState, fact: ScrewSetOn) -> ValveState:
    """Nut slack, the gap a light drag on this blade; what was turned before it counts no more."""
    return valve.begun(Stage(StageKind.TURNED, held=fact.feeler))


def looked_over(state: State, fact: LookedOver) -> LookedOver:
    """The parts of a valve looked at.

    Raises:
        Refusal: there is no such valve.
    """
    valve_of(state.opened.sheet, fact.valve)
    return fact


def cams_step_done(state: State, fact: CamsStepDone) -> CamsStepDone:
    """A step around the cams.

    Raises:
        Refusal: no shims lie under buckets here, or the cams are not out.
    """
    if not state.opened.sheet.adjuster.under_bucket:
        raise Refusal("No cams come out on this engine to set its valves.")
    if fact.step is not CamsStep.OUT and CamsStep.OUT not in state.cams_done:
        raise Refusal("The cams are not out.", "Say first that they were taken out.")
    return fact


def locked(state: State, command: LockNut) -> Locked:
    """The locknut tightened.

    Raises:
        Refusal: there is none, or it is tight already.
    """
    valve = command.valve
    valve_of(state.opened.sheet, valve)
    kind = state.opened.sheet.adjuster.kind
    if kind in (AdjusterKind.SHIM, AdjusterKind.HYDRAULIC):
        raise Refusal("This engine has no locknut on its valves.")
    stage = state.valves[valve].current
    if stage.kind is StageKind.LOCKED and stage.unread:
        raise Refusal(f"{valve} is locked already.", "Measure it again now.")
    return Locked(valve, command.torqued)


def wound_back(state: State, command: WindBack) -> WoundBack:
    """The screw wound to zero clearance and backed off by so many degrees: the pad test.

    Raises:
        Refusal: it may not be touched now, or the angle would tell nothing.
    """
    valve_of(state.opened.sheet, command.valve)
    check_touchable(state, command.valve)
    pad_check(state.opened.sheet.adjuster, command.degrees, OPEN)
    return WoundBack(command.valve, command.degrees)
