"""Readings: taken, struck, moved to another valve, and which of them still count."""

from __future__ import annotations

from collections.abc import Collection
from datetime import timedelta
from fractions import Fraction
from typing import NamedTuple, Protocol, TypeVar

from benchtui.domain.gauging.bracket import Measured, Reading
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.cams import cams_out_since
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.evidence.pairs import base_of, whole_play
from benchtui.domain.session.facts.commands import StrikeReading
from benchtui.domain.session.facts.events import (
    ClearanceMeasured,
    Particulars,
    ReadingStruck,
    ReadingTaken,
    SpotChecked,
    WholePlayRead,
)
from benchtui.domain.session.facts.metal_standing import MetalKind, MetalStanding
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import (
    Stage,
    StageKind,
    Taken,
    TakenMeasure,
    ValveState,
)
from benchtui.domain.session.steps.touching import with_valve

MOST_MEASURED = Length.mm(5)
"""More than any valve gear has (design value)."""
LARGEST_ERROR = Length.mm("0.1")
"""What is off by more than so much measures no clearance (design value)."""


def struck(state: State, command: StrikeReading) -> ReadingStruck:
    """The last live reading of this valve, or its whole free play, with that blade, to be struck out.

    Raises:
        Refusal: there is none.
    """
    valve_of(state.opened.sheet, command.valve)
    stage = state.valves[command.valve].current
    if command.measured:
        last = next((t for t in reversed(stage.measures) if not t.struck), None)
        if last is None:
            raise Refusal(Why.NO_MEASURE_TO_STRIKE, valve=command.valve)
        return ReadingStruck(last.measured.number)
    in_hand = stage.live
    if command.whole:
        in_hand = whole_play(state, command.valve)
    for taken in reversed(in_hand):
        if command.feeler is None or taken.reading.feeler.marks == command.feeler.marks:
            return ReadingStruck(taken.reading.number)
    what = "reading" if command.feeler is None else f"reading with {command.feeler}"
    where = " of its whole free play" if command.whole else ""
    raise Refusal(Why.NO_READING_TO_STRIKE, valve=command.valve, what=what, where=where)


AnyTaken = TypeVar("AnyTaken", Taken, TakenMeasure)


class Change(Protocol):
    """What becomes of a reading, or of a measured value."""

    def __call__(self, t: AnyTaken, /) -> AnyTaken:
        """The same, changed."""


def each_taken_of(state: State, names: Collection[str], change: Change) -> State:
    """Every reading, and every measured value, of these valves, changed so."""

    def changed(stage: Stage) -> Stage:
        taken, measures = (change(t) for t in stage.taken), (change(t) for t in stage.measures)
        return replace(stage, taken=tuple(taken), measures=tuple(measures))

    valves = {
        name: replace(valve, stages=tuple(changed(stage) for stage in valve.stages))
        if name in names
        else valve
        for name, valve in state.valves.items()
    }
    return replace(state, valves=valves)


def each_taken(state: State, change: Change) -> State:
    """Every reading of the session, changed so."""
    state = each_taken_of(state, state.valves, change)
    whole = {base: tuple(change(t) for t in taken) for base, taken in state.whole.items()}
    return replace(state, whole=whole)


def without(state: State, number: int) -> State:
    """The session with the reading, or measured value, of that event struck out."""

    def change(t: AnyTaken) -> AnyTaken:
        return replace(t, struck=True) if _number(t) == number else t

    return each_taken(state, change)


def _number(taken: Taken | TakenMeasure) -> int:
    return taken.reading.number if isinstance(taken, Taken) else taken.measured.number


def check_move(state: State, valve: str, to: str) -> None:
    """Whether the readings in hand may be moved to another valve.

    Raises:
        Refusal: there are none, or it is the same valve.
    """
    valve_of(state.opened.sheet, valve)
    valve_of(state.opened.sheet, to)
    if valve == to:
        raise Refusal(Why.SAME_VALVE)
    if state.valves[valve].current.unread:
        raise Refusal(Why.NONE_TO_MOVE, valve=valve)


def after_move(state: State, valve: str, to: str) -> State:
    """The live readings in hand, taken from one valve and given to another."""
    source, goal = state.valves[valve], state.valves[to]
    # A moved reading counts if its new valve could be measured where the crank stood then.
    here, there = source.current, goal.current
    moving = tuple(replace(t, place=_place_for(state, to, t.at)) for t in here.live)
    measures = tuple(
        replace(t, place=_place_for(state, to, t.at)) for t in here.measures if not t.struck
    )
    kept = replace(
        here,
        taken=tuple(t for t in here.taken if t.struck),
        measures=tuple(t for t in here.measures if t.struck),
    )
    state = with_valve(state, valve, source.with_current(kept))
    stage = replace(there, taken=(*there.taken, *moving), measures=(*there.measures, *measures))
    return with_valve(state, to, goal.with_current(stage))


def _place_for(state: State, valve: str, at: int | None) -> int | None:
    return at if at is not None and valve in state.places[at] else None


class _Here(NamedTuple):
    """The circumstances of what is read now (see ``Taken``)."""

    place: int | None
    metal_c: Fraction | None
    at: int | None
    metal: MetalStanding


def _here(state: State, valve: str) -> _Here:
    at = state.place.number if state.place is not None else None
    metal = state.particulars.metal_c
    return _Here(_place_for(state, valve, at), metal, at, metal_now(state))


def _taken(state: State, valve: str, reading: Reading) -> Taken:
    here = _here(state, valve)
    return Taken(reading, here.place, here.metal_c, at=here.at, metal=here.metal)


def read(state: State, number: int, fact: ReadingTaken) -> State:
    """A reading in the valve's stage in hand, or, while it is measured blind, in the repeat."""
    reading = Reading(fact.feeler, fact.answer, fact.forced, number)
    if state.repeat is not None and state.repeat.valve == fact.valve:
        repeat = replace(state.repeat, readings=(*state.repeat.readings, reading))
        return replace(state, repeat=repeat, last_valve=fact.valve)
    valve = _in_hand(state, fact.valve)
    taken = _taken(state, fact.valve, reading)
    stage = replace(valve.current, taken=(*valve.current.taken, taken))
    return with_valve(state, fact.valve, valve.with_current(stage))


def _in_hand(state: State, name: str) -> ValveState:
    """The valve as the next reading finds it: with the cams back in, it is measured afresh."""
    valve = state.valves[name]
    return valve.begun(Stage(StageKind.REFITTED)) if cams_out_since(state, name) else valve


def check_measure(state: State, fact: ClearanceMeasured) -> None:
    """Whether this can be a clearance that was measured.

    Raises:
        Refusal: the figure, or its error, is none.
    """
    valve_of(state.opened.sheet, fact.valve)
    if not ZERO <= fact.value <= MOST_MEASURED:
        raise Refusal(Why.CLEARANCE_SIZE, most_measured=MOST_MEASURED, value=fact.value)
    if not ZERO < fact.error <= LARGEST_ERROR:
        raise Refusal(Why.ERROR_SIZE, largest_error=LARGEST_ERROR, error=fact.error)


def with_measure(state: State, number: int, fact: ClearanceMeasured) -> State:
    """A measured value beside the readings of the stage in hand."""
    valve = _in_hand(state, fact.valve)
    told = Measured(fact.value, fact.error, number)
    here = _here(state, fact.valve)
    taken = TakenMeasure(told, here.place, here.metal_c, at=here.at, metal=here.metal)
    stage = replace(valve.current, measures=(*valve.current.measures, taken))
    return with_valve(state, fact.valve, valve.with_current(stage))


def whole_read(state: State, number: int, fact: WholePlayRead) -> State:
    """A reading in the whole free play of the valve that this gap belongs to."""
    base = base_of(fact.valve)
    reading = Reading(fact.feeler, fact.answer, fact.forced, number)
    taken = (*state.whole.get(base, ()), _taken(state, fact.valve, reading))
    return replace(state, whole={**state.whole, base: taken}, last_valve=fact.valve)


def displaced(state: State) -> State:
    """What was read since the crank last moved counts no more: where it stands is doubted now."""
    since = state.since
    if since is None:
        return state
    begun = since  # not None, in the function below too

    def change(t: AnyTaken) -> AnyTaken:
        return t if t.at is None or t.at < begun else replace(t, place=None, at=None)

    return replace(each_taken(state, change), since=None)


def metal_told(state: State) -> State:
    """A heat told for the first time, or once it had gone stale, holds for what was read before it."""
    now, metal = metal_now(state), state.particulars.metal_c
    if now.kind is MetalKind.NOT_TOLD:
        return state

    def change(t: AnyTaken) -> AnyTaken:
        known = metal if t.metal_c is None else t.metal_c
        if t.metal.kind is MetalKind.NOT_TOLD:
            return replace(t, metal_c=known, metal=now)
        return replace(t, metal_c=known)

    return each_taken(state, change)


def heat_told(state: State, told: Particulars) -> State:
    """The circumstances told; a temperature from before it stood so long outranks it no more."""
    now = state.particulars.updated(told)
    if told.tells_heat:
        return metal_told(replace(state, particulars=now, metal_at=state.at))
    wanted, stood, known_at = metal_now(state).stood_wanted, told.stood_hours, state.metal_at
    if wanted is not None and stood is not None and known_at is not None:
        long_ago = state.at - known_at >= timedelta(hours=float(wanted))
        if long_ago and stood >= wanted:
            now = replace(now, metal_c=None, at_heat=None)
    return metal_told(replace(state, particulars=now))


def spotted(state: State, number: int, fact: SpotChecked) -> ValveState:
    """A reading that fits stands beside what was left; one that does not begins a new stage."""
    valve = state.valves[fact.valve]
    reading = Reading(fact.feeler, fact.answer, number=number)
    if fact.fits:
        return replace(valve, spot=(*valve.spot, reading))
    again = Stage(StageKind.AGAIN, (_taken(state, fact.valve, reading),))
    return replace(valve.begun(again), spot=())
