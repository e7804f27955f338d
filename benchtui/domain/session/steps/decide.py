"""What may happen next: a command against the state gives facts, or is refused with the reason."""

from __future__ import annotations

from typing import assert_never

from benchtui.domain.adjusting.turns import HYDRAULIC_INSTEAD, HYDRAULIC_REASON
from benchtui.domain.errors import Refusal
from benchtui.domain.length import ZERO
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.evidence.decision_rule import check_rule
from benchtui.domain.session.evidence.pairs import pair_of
from benchtui.domain.session.facts.commands import (
    AcknowledgeCaution,
    AddNote,
    BeginRepeat,
    ChooseBand,
    ChooseRule,
    CloseSession,
    Command,
    ConfirmPosition,
    Correct,
    CountItem,
    DoubtPosition,
    EndRepeat,
    EnterParticulars,
    FitShim,
    LayAside,
    LockNut,
    MoveReadings,
    Pause,
    ReadWholePlay,
    Resume,
    SeeSign,
    SpotCheck,
    StrikeReading,
    TakeReading,
    TellSpare,
    TickAfterStep,
    TickTorque,
    TurnCrank,
    TurnScrew,
    Undo,
    WindBack,
)
from benchtui.domain.session.facts.events import (
    BandChosen,
    CamsStepDone,
    CautionAcknowledged,
    ClearanceMeasured,
    Closed,
    Fact,
    FigureChosen,
    ItemCounted,
    LookedOver,
    Noted,
    Opened,
    Particulars,
    ParticularsEntered,
    Paused,
    PositionDoubted,
    ReadingTaken,
    Resumed,
    RuleChosen,
    ScrewSetOn,
    SpareTold,
    StepUndone,
    TorqueDone,
    WayChosen,
    WholePlayRead,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.adjuster import (
    cams_step_done,
    locked,
    looked_over,
    set_on,
    turned,
    wound_back,
)
from benchtui.domain.session.steps.amend import decide_amendment, ended
from benchtui.domain.session.steps.crank import (
    check_cylinder,
    confirmed,
    crank_turned,
    sign_seen,
)
from benchtui.domain.session.steps.ending import after_step, spot_checked
from benchtui.domain.session.steps.readings import checked_measure, moved, struck
from benchtui.domain.session.steps.shims import check_shim, shim_fitted
from benchtui.domain.session.valve.blind_repeat import (
    check_while_repeating,
    repeat_begun,
    repeat_ended,
)
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.sheet import AdjusterKind, Sheet
from benchtui.domain.spelling import did_you_mean, meant
from benchtui.domain.work_steps import line_of


def check_sheet(sheet: Sheet) -> None:
    """Whether this engine can be measured at all.

    Raises:
        Refusal: its adjusters are hydraulic.
    """
    if sheet.adjuster.kind is AdjusterKind.HYDRAULIC:
        raise Refusal(HYDRAULIC_REASON, HYDRAULIC_INSTEAD)


def check_opening(opened: Opened) -> None:
    """Whether a session may be opened so.

    Raises:
        Refusal: hydraulic adjusters, a negative odometer, hour meter or time stood, or a rule that
            wants a practised hand where there is none.
    """
    check_sheet(opened.sheet)
    _check_particulars(opened.particulars)
    check_rule(opened.rule, opened)


def decide(state: State, command: Command) -> Fact:  # noqa: C901, PLR0912, PLR0915  # one case a command
    """The fact that this command leads to.

    Raises:
        Refusal: it may not happen now; nothing has changed.
    """
    if ended(state) or isinstance(command, Correct | LayAside):
        return decide_amendment(state, command)
    if state.paused and not isinstance(command, Resume | AddNote):
        raise Refusal("This session is paused.", "Resume it first: has the crank moved?")
    check_while_repeating(state, command)
    match command:
        case EnterParticulars(particulars):
            _check_particulars(particulars)
            return ParticularsEntered(particulars)
        case ChooseRule(rule):
            check_rule(rule, state.opened)
            return RuleChosen(rule)
        case ChooseBand(tolerance):
            if tolerance <= ZERO:
                raise Refusal("A band has a width above zero.")
            return BandChosen(tolerance)
        case FigureChosen():
            return command
        case AcknowledgeCaution(caution):
            return CautionAcknowledged(line_of(state.opened.sheet.work, caution))
        case ConfirmPosition():
            return confirmed(state, command)
        case DoubtPosition(cylinder):
            check_cylinder(state, cylinder)
            return PositionDoubted(cylinder)
        case SeeSign():
            return sign_seen(state, command)
        case TurnCrank(degrees):
            return crank_turned(state, degrees)
        case TakeReading(valve, feeler, answer, forced):
            valve_of(state.opened.sheet, valve)
            return ReadingTaken(valve, feeler, answer, forced)
        case ClearanceMeasured():
            return checked_measure(state, command)
        case StrikeReading():
            return struck(state, command)
        case MoveReadings(valve, to):
            return moved(state, valve, to)
        case TurnScrew():
            return turned(state, command)
        case ScrewSetOn():
            return set_on(state, command)
        case WayChosen():
            return command
        case LookedOver():
            return looked_over(state, command)
        case CamsStepDone():
            return cams_step_done(state, command)
        case LockNut():
            return locked(state, command)
        case FitShim():
            return shim_fitted(state, command)
        case TellSpare(size, measured):
            check_shim(state, size, measured)
            return SpareTold(size, measured)
        case WindBack():
            return wound_back(state, command)
        case ReadWholePlay(valve, feeler, answer, forced):
            if pair_of(state.opened.sheet, valve_of(state.opened.sheet, valve)) is None:
                raise Refusal(f"{valve} has no opener and closer, so it has one gap only.")
            return WholePlayRead(valve, feeler, answer, forced)
        case CountItem():
            return _counted(state, command)
        case TickTorque(what):
            return _torque(state, what)
        case TickAfterStep(step):
            return after_step(state, step)
        case SpotCheck():
            return spot_checked(state, command)
        case BeginRepeat(valve):
            return repeat_begun(state, valve)
        case EndRepeat(valve):
            return repeat_ended(state, valve)
        case AddNote(text, valve):
            if not text.strip():
                raise Refusal("An empty note says nothing.")
            if valve:
                valve_of(state.opened.sheet, valve)
            return Noted(text, valve)
        case Pause():
            return Paused()
        case Resume(crank):
            if not state.paused:
                raise Refusal("The session is not paused.")
            return Resumed(crank)
        case Undo():
            if not state.undoable:
                raise Refusal("There is no step to take back.")
            return StepUndone(state.undoable[-1])
        case CloseSession():
            lacking = missing(state)
            return Closed(complete=not lacking, missing=lacking)
        case _:
            assert_never(command)


def _check_particulars(particulars: Particulars) -> None:
    shown = (
        ("odometer", particulars.odometer_km),
        ("hour meter", particulars.hours),
        ("clock, for how long it stood,", particulars.stood_hours),
    )
    for what, value in shown:
        if value is not None and value < 0:
            raise Refusal(f"The {what} shows zero or more, not {float(value):g}.")


def _counted(state: State, command: CountItem) -> ItemCounted:
    if command.count < 1 or not command.item.strip():
        raise Refusal("Count at least one of something.")
    item = meant(command.item, state.tally) or command.item
    if not command.inwards:
        there = state.short.get(item, 0)
        if command.count > there:
            near = did_you_mean(item, state.short).capitalize()
            raise Refusal(
                f"Of {item}, only {there} can come out: no more are inside.", near.strip()
            )
    return ItemCounted(item, command.count, command.inwards)


def _torque(state: State, what: str) -> TorqueDone:
    listed = [t.what for t in state.opened.sheet.torques]
    if what not in listed:
        raise Refusal(
            f"The sheet lists no torque for {what}.", f"It lists {', '.join(listed) or 'none'}."
        )
    return TorqueDone(what)
