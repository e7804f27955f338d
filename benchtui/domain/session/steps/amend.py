"""Putting right what was filed: events after the end of a session. What stood there stays in the file."""

from __future__ import annotations

from datetime import timedelta
from typing import TypeVar

from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.metal import metal_standing
from benchtui.domain.session.facts.commands import Command, Correct, Undo
from benchtui.domain.session.facts.events import (
    Closed,
    Corrected,
    Event,
    Fact,
    Noted,
    Opened,
    Particulars,
    SetAside,
    StepUndone,
)
from benchtui.domain.session.facts.state import Amendment, State, WrittenDown
from benchtui.domain.session.facts.valve_history import StageKind, ValveState
from benchtui.domain.session.steps.readings import AnyTaken, each_taken
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.sheet import Sheet

T = TypeVar("T")

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Days outside these years are slips of the finger (design value)."""


def ended(state: State) -> bool:
    """Whether nothing more is done at the engine in this session."""
    return state.closed is not None or state.aside is not None


def decide_amendment(state: State, command: Command) -> Fact:
    """What becomes of a command after the end of a session.

    Raises:
        Refusal: it is not one that puts something right, it gives no reason, or it changes nothing.
    """
    match command:
        case Correct():
            return _corrected(state, command)
        case SetAside(why):
            if state.aside is not None:
                raise Refusal(Why.ALREADY_SO)
            return SetAside(_reason(why))
        case Noted(text, valve):
            if not text.strip():
                raise Refusal(Why.EMPTY_NOTE)
            if valve and state.opened.sheet.layout.valve(valve) is None:
                raise Refusal(Why.NO_VALVE_THERE, engine=state.opened.sheet.name, valve=valve)
            made = Noted(text.strip(), valve)
            if made in (a.fact for a in state.amendments):
                raise Refusal(Why.ALREADY_SO)
            return made
        case Undo():
            if not state.undoable:
                raise Refusal(Why.NOTHING_PUT_RIGHT)
            return StepUndone(state.undoable[-1])
        case _:
            raise Refusal(Why.CLOSED)


def apply_amendment(state: State, event: Event) -> State:
    """The session as it stands after this event; when it ended does not change by it."""
    fact = event.fact
    if not isinstance(fact, Corrected | SetAside | Noted):
        raise TypeError(f"{type(fact).__name__} puts nothing right")
    made = Amendment(event.number, event.at, fact, written_down(state))
    after = state
    if isinstance(fact, Corrected):
        after = _as_corrected(state, fact)
    elif isinstance(fact, SetAside):
        after = replace(state, aside=fact)
    return replace(
        after,
        number=event.number,
        amendments=(*state.amendments, made),
        undoable=(*state.undoable, event.number),
    )


def written_down(state: State) -> WrittenDown:
    """What the session is written down with now."""
    return WrittenDown(state.started.date(), state.opened.sheet.name, state.particulars)


def fits(sheet: Sheet, other: Sheet) -> bool:
    """Whether what was read at one engine can have been read at the other.

    The cylinders with their firing angles and valves must be the same, or it is not known that a
    reading was taken on the base circle; and the adjuster must be of one kind.
    """
    return (
        sheet.layout.cylinders == other.layout.cylinders
        and sheet.adjuster.kind is other.adjuster.kind
    )


def _corrected(state: State, command: Correct) -> Corrected:
    if state.closed is None:
        raise Refusal(Why.NOT_CLOSED)
    why = _reason(command.why)
    _check_counters(command.particulars)
    if command.day is not None and not FIRST_YEAR <= command.day.year <= LAST_YEAR:
        raise Refusal(Why.YEAR, year=command.day.year)
    sheet = command.sheet
    if sheet is not None:
        _check_engine(state.opened.sheet, sheet)
    made = Corrected(
        why,
        day=_new(command.day, state.started.date()),
        particulars=_newly(command.particulars, state.particulars),
        sheet=_new(sheet, state.opened.sheet),
    )
    if made == Corrected(why):
        raise Refusal(Why.ALREADY_SO)
    if made.sheet is not None or made.particulars.metal_c is not None:
        made = replace(made, ending=_ending(_as_corrected(state, made)))
    return made


def _check_engine(here: Sheet, sheet: Sheet) -> None:
    if not sheet.adjuster.set_by.measured:
        raise Refusal(Why.MEASURED_NOTHING, engine=sheet.name)
    if not fits(here, sheet):
        raise Refusal(Why.OTHER_VALVES, engine=sheet.name, here=here.name)


def _check_counters(told: Particulars) -> None:
    for what, value in (("odometer", told.odometer_km), ("hour meter", told.hours)):
        if value is not None and value < 0:
            raise Refusal(Why.BELOW_ZERO, what=what, value=value)


def _reason(why: str) -> str:
    if not why.strip():
        raise Refusal(Why.NO_REASON)
    return why.strip()


def _new(told: T | None, stands: T) -> T | None:
    return None if told == stands else told


def _newly(told: Particulars, stands: Particulars) -> Particulars:
    return Particulars(
        odometer_km=_new(told.odometer_km, stands.odometer_km),
        hours=_new(told.hours, stands.hours),
        metal_c=_new(told.metal_c, stands.metal_c),
        who=_new(told.who, stands.who),
        stood_hours=_new(told.stood_hours, stands.stood_hours),
        at_heat=_new(told.at_heat, stands.at_heat),
    )


def _as_corrected(state: State, fact: Corrected) -> State:
    after = replace(state, particulars=state.particulars.updated(fact.particulars))
    if fact.day is not None:
        by = timedelta(days=(fact.day - state.started.date()).days)
        after = replace(after, started=state.started + by, at=state.at + by)
    if fact.sheet is not None:
        after = replace(
            after,
            opened=_at_engine(state.opened, fact.sheet),
            valves={name: _untaught(state, name, v) for name, v in after.valves.items()},
        )
    told = fact.particulars
    if fact.sheet is not None or told.tells_heat or told.stood_hours is not None:
        after = _metal_anew(after, fact)
    return after if fact.ending is None else replace(after, closed=fact.ending)


def _at_engine(opened: Opened, sheet: Sheet) -> Opened:
    """What the past of the other engine had taught is let go."""
    return replace(opened, sheet=sheet, left_last=(), past_shifts=(), fitted_last=(), past_runs=())


def _untaught(state: State, name: str, valve: ValveState) -> ValveState:
    """A shim that was only known from the other engine's past is not known to be in."""
    taught = {(last.valve, last.size) for last in state.opened.fitted_last}
    first = valve.found
    if first.kind is not StageKind.FOUND or (name, first.shim) not in taught:
        return valve
    return replace(valve, stages=(replace(first, shim=None, shim_measured=None), *valve.stages[1:]))


def _metal_anew(state: State, fact: Corrected) -> State:
    """Every reading judged by the temperature as it is now, and by what the sheet asks."""
    clearances = state.opened.sheet.clearances
    told = fact.particulars.metal_c

    def judged(taken: AnyTaken) -> AnyTaken:
        metal = taken.metal_c if told is None else told
        known = replace(state.particulars, metal_c=metal)
        return replace(taken, metal_c=metal, metal=metal_standing(clearances, known))

    return each_taken(state, judged)


def _ending(state: State) -> Closed:
    if state.closed is not None and state.closed.complete:
        state = replace(state, cams_out=None)  # as ``record_of`` has it
    lacking = missing(state)
    return Closed(complete=not lacking, missing=lacking)
