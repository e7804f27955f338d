"""What may happen next: a command against the state gives facts, or is refused with the reason."""

from __future__ import annotations

from typing import assert_never

from benchtui.domain.length import ZERO
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.evidence.decision_rule import check_rule
from benchtui.domain.session.evidence.pairs import pair_of
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import (
    CheckSpot,
    CloseSession,
    Command,
    ConfirmPosition,
    Correct,
    StrikeReading,
    Undo,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.adjuster import (
    check_cams_step,
    check_lock,
    check_set_on,
    check_turn,
    check_wound_back,
)
from benchtui.domain.session.steps.amend import decide_amendment, ended
from benchtui.domain.session.steps.crank import (
    check_cams_in,
    check_crank_turn,
    check_cylinder,
    check_sign,
    confirmed,
)
from benchtui.domain.session.steps.ending import check_after_step, spot_checked
from benchtui.domain.session.steps.readings import check_measure, check_move, struck
from benchtui.domain.session.steps.shims import check_shim, shim_fitted
from benchtui.domain.session.valve.blind_repeat import (
    check_repeat,
    check_repeat_open,
    check_while_repeating,
)
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.sheet import Sheet
from benchtui.domain.spelling import did_you_mean, meant
from benchtui.domain.work_steps import line_of


def check_sheet(sheet: Sheet) -> None:
    """Whether this engine can be measured at all.

    Raises:
        Refusal: its adjusters are hydraulic.
    """
    if not sheet.adjuster.set_by.measured:
        raise Refusal(Why.HYDRAULIC)


def check_opening(opened: facts.Opened) -> None:
    """Whether a session may be opened so.

    Raises:
        Refusal: hydraulic adjusters, a negative odometer, hour meter or time stood, or a rule that
            wants a practised hand where there is none.
    """
    check_sheet(opened.sheet)
    _check_particulars(opened.particulars)
    check_rule(opened.rule, opened)


def decide(state: State, command: Command) -> facts.Fact:  # noqa: C901, PLR0912, PLR0915  # one case a command
    """The fact that this command leads to.

    Raises:
        Refusal: it may not happen now; nothing has changed.
    """
    if ended(state) or isinstance(command, Correct | facts.SetAside):
        return decide_amendment(state, command)
    if state.paused:
        _check_while_paused(state, command)
    else:
        check_while_repeating(state, command)
    if isinstance(command, ConfirmPosition | facts.CrankTurned | facts.SignSeen):
        check_cams_in(state)
    match command:
        case facts.ParticularsEntered(particulars):
            _check_particulars(particulars)
        case facts.RuleChosen(rule):
            check_rule(rule, state.opened)
        case facts.BandChosen(tolerance):
            if tolerance <= ZERO:
                raise Refusal(Why.BAND_WIDTH)
        case facts.CautionAcknowledged(caution):
            return facts.CautionAcknowledged(line_of(state.opened.sheet.work, caution))
        case ConfirmPosition():
            return confirmed(state, command)
        case facts.PositionDoubted(cylinder):
            check_cylinder(state, cylinder)
        case facts.SignSeen():
            check_sign(state, command)
        case facts.CrankTurned(degrees):
            check_crank_turn(state, degrees)
        case facts.ReadingTaken(valve) | facts.LookedOver(valve):
            valve_of(state.opened.sheet, valve)
        case facts.ClearanceMeasured():
            check_measure(state, command)
        case StrikeReading():
            return struck(state, command)
        case facts.ReadingsMoved(valve, to):
            check_move(state, valve, to)
        case facts.ScrewTurned():
            check_turn(state, command)
        case facts.ScrewSetOn():
            check_set_on(state, command)
        case facts.CamsStepDone():
            check_cams_step(state, command)
        case facts.Locked():
            check_lock(state, command)
        case facts.ShimFitted():
            return shim_fitted(state, command)
        case facts.SpareTold(size, measured):
            check_shim(state, size, measured)
        case facts.WoundBack():
            check_wound_back(state, command)
        case facts.WholePlayRead(valve):
            if pair_of(state.opened.sheet, valve_of(state.opened.sheet, valve)) is None:
                raise Refusal(Why.ONE_GAP, valve=valve)
        case facts.ItemCounted():
            return _counted(state, command)
        case facts.TorqueDone(what):
            _check_torque(state, what)
        case facts.AfterStepDone(step):
            check_after_step(state, step)
        case CheckSpot():
            return spot_checked(state, command)
        case facts.RepeatBegun(valve):
            check_repeat(state, valve)
        case facts.RepeatEnded(valve):
            check_repeat_open(state, valve)
        case facts.Noted(text, valve):
            if not text.strip():
                raise Refusal(Why.EMPTY_NOTE)
            if valve:
                valve_of(state.opened.sheet, valve)
        case facts.Resumed():
            if not state.paused:
                raise Refusal(Why.NOT_PAUSED)
        case Undo():
            if not state.undoable:
                raise Refusal(Why.NOTHING_TO_UNDO)
            return facts.StepUndone(state.undoable[-1])
        case CloseSession():
            lacking = missing(state)
            return facts.Closed(complete=not lacking, missing=lacking)
        case facts.FigureChosen() | facts.WayChosen() | facts.Paused():
            pass
        case _:
            assert_never(command)
    return command  # asked for just as it is recorded


def _check_while_paused(state: State, command: Command) -> None:
    """Whoever comes back to a slack nut locks it before anything else; the rest waits for the crank."""
    slack = slack_nuts(state)
    if isinstance(command, facts.Resumed | facts.Noted):
        return
    if slack and not (isinstance(command, facts.Locked) and command.valve in slack):
        raise Refusal(Why.PAUSED_SLACK, valves=slack)
    if not slack:
        raise Refusal(Why.PAUSED)


def _check_particulars(particulars: facts.Particulars) -> None:
    shown = (
        ("odometer", particulars.odometer_km),
        ("hour meter", particulars.hours),
        ("clock, for how long it stood,", particulars.stood_hours),
    )
    for what, value in shown:
        if value is not None and value < 0:
            raise Refusal(Why.BELOW_ZERO, what=what, value=value)


def _counted(state: State, command: facts.ItemCounted) -> facts.ItemCounted:
    if command.count < 1 or not command.item.strip():
        raise Refusal(Why.COUNT_NOTHING)
    item = meant(command.item, state.tally) or command.item
    if not command.inwards:
        there = state.short.get(item, 0)
        if command.count > there:
            near = did_you_mean(item, state.short).capitalize()
            raise Refusal(Why.MORE_THAN_INSIDE, item=item, there=there, meant=near)
    return facts.ItemCounted(item, command.count, command.inwards)


def _check_torque(state: State, what: str) -> None:
    listed = [t.what for t in state.opened.sheet.torques]
    if what not in listed:
        raise Refusal(Why.NO_TORQUE, what=what, listed=tuple(listed) or "none")
