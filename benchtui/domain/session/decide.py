"""What may happen next: a command against the state gives facts, or is refused with the reason."""

from __future__ import annotations

from fractions import Fraction
from typing import assert_never

from benchtui.domain.adjusting.pad import pad_check
from benchtui.domain.adjusting.turns import FULL_TURN, HYDRAULIC_INSTEAD, HYDRAULIC_REASON
from benchtui.domain.crank.windows import stop_valves
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.commands import (
    AcknowledgeCaution,
    AddNote,
    BeginRepeat,
    ChooseBand,
    ChooseRule,
    CloseSession,
    Command,
    ConfirmPosition,
    CountItem,
    DoubtPosition,
    EndRepeat,
    EnterParticulars,
    FitShim,
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
from benchtui.domain.session.events import (
    AfterStep,
    AfterStepDone,
    BandChosen,
    CautionAcknowledged,
    Closed,
    CrankTurned,
    Fact,
    ItemCounted,
    Locked,
    Noted,
    Opened,
    Particulars,
    ParticularsEntered,
    Paused,
    PositionConfirmed,
    PositionDoubted,
    ReadingsMoved,
    ReadingStruck,
    ReadingTaken,
    Resumed,
    RuleChosen,
    ScrewTurned,
    ShimFitted,
    SignSeen,
    SpareTold,
    SpotChecked,
    StepUndone,
    TorqueDone,
    WholePlayRead,
    WoundBack,
)
from benchtui.domain.session.gates import check_touchable, valve_of
from benchtui.domain.session.look import look
from benchtui.domain.session.pairing import pair_of
from benchtui.domain.session.position import check_evidence
from benchtui.domain.session.repeating import check_while_repeating, repeat_begun, repeat_ended
from benchtui.domain.session.ruling import check_rule
from benchtui.domain.session.spot import NOT_TURNED_OVER, fits
from benchtui.domain.session.state import StageKind, State
from benchtui.domain.sheet import FULL_CYCLE, AdjusterKind, Sheet

PIECES_WANTED = 2
"""Pieces of evidence that confirm a crank position."""

LARGEST_SHIM = Length.mm(20)
MOST_TURNED = 2 * FULL_CYCLE
"""So many degrees of crank are told in one step; further, nobody counts them."""

SPOT_MISFIT = "the spot-check did not fit what was left, so measure it afresh"
MOST_WORN = Length.mm("0.3")
"""Further apart, a stamp and a micrometer do not speak of one shim (design value)."""


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
        Refusal: hydraulic adjusters, or a negative odometer or hour meter.
    """
    check_sheet(opened.sheet)
    _check_particulars(opened.particulars)
    check_rule(opened.rule, opened)


def decide(state: State, command: Command) -> Fact:  # noqa: C901, PLR0912, PLR0915  # one case a command
    """The fact that this command leads to.

    Raises:
        Refusal: it may not happen now; nothing has changed.
    """
    if state.closed is not None:
        raise Refusal("This session is closed.", "Open a new one.")
    if state.paused and not isinstance(command, Resume):
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
        case AcknowledgeCaution(caution):
            return CautionAcknowledged(caution)
        case ConfirmPosition():
            return _confirmed(state, command)
        case DoubtPosition(cylinder):
            _cylinder(state, cylinder)
            return PositionDoubted(cylinder)
        case SeeSign():
            return _sign(state, command)
        case TurnCrank(degrees):
            return _crank(state, degrees)
        case TakeReading(valve, feeler, answer, forced):
            valve_of(state.opened.sheet, valve)
            return ReadingTaken(valve, feeler, answer, forced)
        case StrikeReading():
            return _struck(state, command)
        case MoveReadings(valve, to):
            return _moved(state, valve, to)
        case TurnScrew():
            return _turned(state, command)
        case LockNut(valve):
            return _locked(state, valve)
        case FitShim():
            return _shim(state, command)
        case TellSpare(size, measured):
            _check_shim(state, size, measured)
            return SpareTold(size, measured)
        case WindBack():
            return _wound_back(state, command)
        case ReadWholePlay(valve, feeler, answer, forced):
            if pair_of(state.opened.sheet, valve_of(state.opened.sheet, valve)) is None:
                raise Refusal(f"{valve} has no opener and closer, so it has one gap only.")
            return WholePlayRead(valve, feeler, answer, forced)
        case CountItem():
            return _counted(state, command)
        case TickTorque(what):
            return _torque(state, what)
        case TickAfterStep(step):
            return _after(state, step)
        case SpotCheck():
            return _spot_checked(state, command)
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


def missing(state: State) -> tuple[str, ...]:
    """What stands between this session and a complete check, valve by valve, then the tally."""
    lacking = []
    for name in state.valves:
        view = look(state, name)
        if view.done:
            continue
        if view.slack_nut:
            lacking.append(f"{name}: the locknut is slack")
        elif view.unread_after_lock:
            lacking.append(f"{name}: not measured since it was {view.stage.value}")
        elif view.stage is StageKind.AGAIN:
            said = f"now {view.verdict.kind.value}, {view.verdict.because}"
            lacking.append(f"{name}: {SPOT_MISFIT}; {said}")
        elif not view.readings:
            lacking.append(f"{name}: not measured")
        else:
            lacking.append(f"{name}: {view.verdict.kind.value}, {view.verdict.because}")
    lacking += [f"{count} {item} not counted out" for item, count in state.short.items()]
    return tuple(lacking)


def unticked(state: State) -> tuple[str, ...]:
    """The fastenings of the sheet's torque list that nobody has ticked."""
    return tuple(t.what for t in state.opened.sheet.torques if t.what not in state.torques)


def _check_particulars(particulars: Particulars) -> None:
    shown = (("odometer", particulars.odometer_km), ("hour meter", particulars.hours))
    for what, value in shown:
        if value is not None and value < 0:
            raise Refusal(f"The {what} shows zero or more, not {float(value):g}.")


def _cylinder(state: State, name: str) -> None:
    layout = state.opened.sheet.layout
    if layout.cylinder(name) is None:
        names = ", ".join(c.name for c in layout.cylinders)
        raise Refusal(f"This engine has no cylinder {name}.", f"It has {names}.")


def _confirmed(state: State, command: ConfirmPosition) -> PositionConfirmed:
    _cylinder(state, command.cylinder)
    pieces = tuple(dict.fromkeys(command.evidence))
    if len(pieces) < PIECES_WANTED:
        raise Refusal(
            "A position is confirmed by two different pieces of evidence.",
            "The mark and both rockers slack; or the inlet seen to open and close, then the mark.",
        )
    check_evidence(state, command.cylinder, command.angle, pieces)
    permissions = stop_valves(
        state.opened.sheet, command.cylinder, command.angle, fewest=state.opened.fewest
    )
    if not permissions:
        raise Refusal(
            "No valve may be measured in this position.",
            "Use the positions of the sheet's own table, or compression TDC of a cylinder.",
        )
    return PositionConfirmed(
        command.cylinder,
        command.angle,
        pieces,
        tuple(p.valve for p in permissions),
        permissions[0].authority.value,
    )


def _sign(state: State, command: SeeSign) -> SignSeen:
    _cylinder(state, command.cylinder)
    for name in command.valves:
        if valve_of(state.opened.sheet, name).cylinder != command.cylinder:
            raise Refusal(f"{name} is no valve of cylinder {command.cylinder}.")
    return SignSeen(command.cylinder, command.sign, command.valves)


def _crank(state: State, degrees: Fraction) -> CrankTurned:
    if not 0 < degrees <= MOST_TURNED:
        raise Refusal(
            f"The crank is turned forward, above 0 and up to {MOST_TURNED} degrees at a time, "
            f"not {float(degrees):g}.",
            "If you passed the mark, do not turn back: go on two whole turns.",
        )
    _check_nuts(state)
    return CrankTurned(degrees)


def _check_nuts(state: State) -> None:
    """Never crank with a valve screwed open, or its nut slack."""
    slack = [name for name, v in state.valves.items() if v.current.kind is StageKind.TURNED]
    if slack:
        raise Refusal(
            f"The locknut of {', '.join(slack)} is slack: the crank is not turned so.",
            "Lock it first.",
        )


def _after(state: State, step: AfterStep) -> AfterStepDone:
    _check_nuts(state)
    if step is AfterStep.FIRST_RUN and state.short:
        inside = ", ".join(f"{count} {item}" for item, count in state.short.items())
        raise Refusal(f"Not counted out yet: {inside}.", "Count it out before the engine runs.")
    return AfterStepDone(step)


def _spot_checked(state: State, command: SpotCheck) -> SpotChecked:
    valve_of(state.opened.sheet, command.valve)
    if AfterStep.TURNED_OVER not in state.after:
        raise Refusal(NOT_TURNED_OVER, "Turn it over first.")
    if state.place is None or command.valve not in state.place.confirmed.valves:
        raise Refusal(
            f"The crank position is not confirmed for {command.valve}.",
            "Confirm it by two pieces of evidence, then check.",
        )
    good = fits(state, command.valve, command.feeler, command.answer)
    return SpotChecked(command.valve, command.feeler, command.answer, good)


def _struck(state: State, command: StrikeReading) -> ReadingStruck:
    valve_of(state.opened.sheet, command.valve)
    for taken in reversed(state.valves[command.valve].current.live):
        if command.feeler is None or taken.reading.feeler.marks == command.feeler.marks:
            return ReadingStruck(taken.reading.number)
    what = "reading" if command.feeler is None else f"reading with {command.feeler}"
    raise Refusal(f"{command.valve} has no {what} that could be struck.")


def _moved(state: State, valve: str, to: str) -> ReadingsMoved:
    valve_of(state.opened.sheet, valve)
    valve_of(state.opened.sheet, to)
    if valve == to:
        raise Refusal("Readings cannot be moved to the valve they are on.")
    if not state.valves[valve].current.live:
        raise Refusal(f"{valve} has no readings to move.")
    return ReadingsMoved(valve, to)


def _turned(state: State, command: TurnScrew) -> ScrewTurned:
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


def _locked(state: State, valve: str) -> Locked:
    valve_of(state.opened.sheet, valve)
    kind = state.opened.sheet.adjuster.kind
    if kind in (AdjusterKind.SHIM, AdjusterKind.HYDRAULIC):
        raise Refusal("This engine has no locknut on its valves.")
    if (
        state.valves[valve].current.kind is StageKind.LOCKED
        and not state.valves[valve].current.live
    ):
        raise Refusal(f"{valve} is locked already.", "Measure it again now.")
    return Locked(valve)


def _shim(state: State, command: FitShim) -> ShimFitted:
    valve_of(state.opened.sheet, command.valve)
    _check_shim(state, command.size, command.measured)
    return ShimFitted(command.valve, command.size, command.measured, command.found)


def _check_shim(state: State, size: Length, measured: Length | None) -> None:
    if state.opened.sheet.adjuster.kind is not AdjusterKind.SHIM:
        raise Refusal("This engine is not set by shims.", "Turn its adjuster instead.")
    if not ZERO < size <= LARGEST_SHIM:
        raise Refusal(f"A shim is above 0 and up to {LARGEST_SHIM}, not {size}.")
    if measured is not None and abs(measured - size) > MOST_WORN:
        raise Refusal(
            f"A shim stamped {size} does not measure {measured}.",
            f"Read both again: more than {MOST_WORN} apart is another shim.",
        )


def _wound_back(state: State, command: WindBack) -> WoundBack:
    valve_of(state.opened.sheet, command.valve)
    check_touchable(state, command.valve)
    pad_check(state.opened.sheet.adjuster, command.degrees, OPEN)
    return WoundBack(command.valve, command.degrees)


def _counted(state: State, command: CountItem) -> ItemCounted:
    if command.count < 1 or not command.item.strip():
        raise Refusal("Count at least one of something.")
    if not command.inwards:
        there = state.short.get(command.item, 0)
        if command.count > there:
            raise Refusal(f"Only {there} {command.item} went in and can come out.")
    return ItemCounted(command.item, command.count, command.inwards)


def _torque(state: State, what: str) -> TorqueDone:
    listed = [t.what for t in state.opened.sheet.torques]
    if what not in listed:
        raise Refusal(
            f"The sheet lists no torque for {what}.", f"It lists {', '.join(listed) or 'none'}."
        )
    return TorqueDone(what)
