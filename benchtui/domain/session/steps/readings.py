"""Readings: taken, struck, moved to another valve, and which of them still count."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from datetime import timedelta

from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.session.evidence.cams import cams_out_since
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.evidence.pairs import base_of, whole_play
from benchtui.domain.session.facts.commands import (
    StrikeReading,
)
from benchtui.domain.session.facts.events import (
    Particulars,
    ReadingsMoved,
    ReadingStruck,
    ReadingTaken,
    SpotChecked,
    WholePlayRead,
)
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, Taken, ValveState
from benchtui.domain.session.steps.touching import with_valve


def struck(state: State, command: StrikeReading) -> ReadingStruck:
    """The last live reading of this valve, or its whole free play, with that blade, to be struck out.

    Raises:
        Refusal: there is none.
    """
    valve_of(state.opened.sheet, command.valve)
    in_hand = state.valves[command.valve].current.live
    if command.whole:
        in_hand = whole_play(state, command.valve)
    for taken in reversed(in_hand):
        if command.feeler is None or taken.reading.feeler.marks == command.feeler.marks:
            return ReadingStruck(taken.reading.number)
    what = "reading" if command.feeler is None else f"reading with {command.feeler}"
    where = " of its whole free play" if command.whole else ""
    raise Refusal(f"{command.valve} has no {what}{where} that could be struck.")


def each_taken_of(state: State, names: Collection[str], change: Callable[[Taken], Taken]) -> State:
    """Every reading of these valves, changed so."""
    valves = {
        name: replace(
            valve,
            stages=tuple(replace(s, taken=tuple(change(t) for t in s.taken)) for s in valve.stages),
        )
        if name in names
        else valve
        for name, valve in state.valves.items()
    }
    return replace(state, valves=valves)


def each_taken(state: State, change: Callable[[Taken], Taken]) -> State:
    """Every reading of the session, changed so."""
    state = each_taken_of(state, state.valves, change)
    whole = {base: tuple(change(t) for t in taken) for base, taken in state.whole.items()}
    return replace(state, whole=whole)


def moved(state: State, valve: str, to: str) -> ReadingsMoved:
    """The readings in hand, to be moved to another valve.

    Raises:
        Refusal: there are none, or it is the same valve.
    """
    valve_of(state.opened.sheet, valve)
    valve_of(state.opened.sheet, to)
    if valve == to:
        raise Refusal("Readings cannot be moved to the valve they are on.")
    if not state.valves[valve].current.live:
        raise Refusal(f"{valve} has no readings to move.")
    return ReadingsMoved(valve, to)


def after_move(state: State, valve: str, to: str) -> State:
    """The live readings in hand, taken from one valve and given to another."""
    source, goal = state.valves[valve], state.valves[to]
    # A moved reading counts if its new valve could be measured where the crank stood then.
    moving = tuple(replace(t, place=_place_for(state, to, t.at)) for t in source.current.live)
    kept = tuple(t for t in source.current.taken if t.struck)
    state = with_valve(state, valve, source.with_current(replace(source.current, taken=kept)))
    stage = replace(goal.current, taken=(*goal.current.taken, *moving))
    return with_valve(state, to, goal.with_current(stage))


def _place_for(state: State, valve: str, at: int | None) -> int | None:
    return at if at is not None and valve in state.places[at] else None


def _taken(state: State, valve: str, reading: Reading) -> Taken:
    at = state.place.number if state.place is not None else None
    metal = state.particulars.metal_c
    return Taken(reading, _place_for(state, valve, at), metal, at=at, metal=metal_now(state))


def read(state: State, number: int, fact: ReadingTaken) -> State:
    """A reading in the valve's stage in hand, or, while it is measured blind, in the repeat."""
    reading = Reading(fact.feeler, fact.answer, fact.forced, number)
    if state.repeat is not None and state.repeat.valve == fact.valve:
        repeat = replace(state.repeat, readings=(*state.repeat.readings, reading))
        return replace(state, repeat=repeat, last_valve=fact.valve)
    valve = state.valves[fact.valve]
    if cams_out_since(state, fact.valve):
        valve = valve.begun(Stage(StageKind.REFITTED))
    taken = _taken(state, fact.valve, reading)
    stage = replace(valve.current, taken=(*valve.current.taken, taken))
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

    def change(t: Taken) -> Taken:
        return t if t.at is None or t.at < since else replace(t, place=None, at=None)

    return replace(each_taken(state, change), since=None)


def metal_told(state: State) -> State:
    """A heat told for the first time, or once it had gone stale, holds for what was read before it."""
    now, metal = metal_now(state), state.particulars.metal_c
    if now.kind is MetalKind.NOT_TOLD:
        return state

    def change(t: Taken) -> Taken:
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
