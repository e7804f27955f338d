"""The state of a session: a fold over its events.

Applying an event never fails on an event that was decided: all refusing is done in ``decide``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import Enum
from fractions import Fraction
from typing import assert_never

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.length import Length
from benchtui.domain.session.events import (
    BandChosen,
    CautionAcknowledged,
    Closed,
    Crank,
    Event,
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
    StepUndone,
    TorqueDone,
)


class StageKind(Enum):
    """What state the adjuster was in while these readings were taken."""

    FOUND = "as found"
    TURNED = "turned, nut slack"
    LOCKED = "locked"
    SHIMMED = "shim fitted"


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading with its circumstances.

    ``place`` is the number of the event that confirmed the crank position it was taken in, None
    where none was confirmed for this valve (or it was doubted since): then it counts for nothing.
    ``at`` is the position in force whatever the valve, for readings that turn out to be another's.
    """

    reading: Reading
    place: int | None
    metal_c: Fraction | None
    struck: bool = False
    at: int | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """Readings between two touches of the adjuster; ``turns`` are those that began the stage."""

    kind: StageKind
    taken: tuple[Taken, ...] = ()
    turns: tuple[ScrewTurned, ...] = ()
    shim: Length | None = None

    @property
    def live(self) -> tuple[Taken, ...]:
        """The readings that were not struck."""
        return tuple(t for t in self.taken if not t.struck)


@dataclass(frozen=True, slots=True)
class ValveState:
    """Everything done at one valve, stage by stage; the first stage is as found."""

    stages: tuple[Stage, ...] = (Stage(StageKind.FOUND),)
    shim: Length | None = None

    @property
    def found(self) -> Stage:
        """As found, before anything was touched."""
        return self.stages[0]

    @property
    def current(self) -> Stage:
        """The stage in hand."""
        return self.stages[-1]

    @property
    def touched(self) -> bool:
        """Whether anything was turned, locked or swapped."""
        return len(self.stages) > 1

    def with_current(self, stage: Stage) -> ValveState:
        """The same with another stage in hand."""
        return replace(self, stages=(*self.stages[:-1], stage))

    def begun(self, stage: Stage) -> ValveState:
        """The same with a new stage begun."""
        return replace(self, stages=(*self.stages, stage))


@dataclass(frozen=True, slots=True)
class Place:
    """A confirmed crank position; ``number`` is that of the event that confirmed it."""

    number: int
    confirmed: PositionConfirmed


@dataclass(frozen=True, slots=True)
class State:
    """A session as it stands after its last event."""

    opened: Opened
    started: datetime
    particulars: Particulars
    number: int
    valves: Mapping[str, ValveState]
    at: datetime
    band: Length | None = None
    place: Place | None = None
    places: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    doubted: str | None = None
    cautions: frozenset[str] = frozenset()
    tally: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    torques: frozenset[str] = frozenset()
    notes: tuple[Noted, ...] = ()
    paused: bool = False
    closed: Closed | None = None
    rule_chosen: RuleChosen | None = None
    last_valve: str | None = None
    undoable: tuple[int, ...] = ()

    @property
    def short(self) -> Mapping[str, int]:
        """Items that went in and have not come out, with how many."""
        return {item: i - o for item, (i, o) in self.tally.items() if i > o}


def begin(event: Event) -> State:
    """The state right after a session was opened.

    Raises:
        ValueError: the event is not an ``Opened``.
    """
    if not isinstance(event.fact, Opened):
        raise ValueError(  # noqa: TRY004  # a wrong order of events, not a wrong type of argument
            f"a session begins with its opening, not {type(event.fact).__name__}"
        )
    valves = {v.name: ValveState() for v in event.fact.sheet.layout.valves}
    return State(
        opened=event.fact,
        started=event.at,
        particulars=event.fact.particulars,
        number=event.number,
        valves=valves,
        at=event.at,
    )


def fold(events: Iterable[Event]) -> State:
    """The state after all these events; a step that was undone leaves no trace in it.

    Raises:
        ValueError: no events, or the first is not the opening.
    """
    taken = list(events)
    if not taken:
        raise ValueError("a session has at least its opening")
    undone = {e.fact.number for e in taken if isinstance(e.fact, StepUndone)}
    state = begin(taken[0])
    for event in taken[1:]:
        if event.number not in undone:
            state = apply(state, event)
    return replace(state, number=taken[-1].number)


def apply(state: State, event: Event) -> State:  # noqa: C901, PLR0912  # one case a fact is the point
    """The state after one more event (an undo only counts; ``fold`` takes the step back)."""
    fact = event.fact
    after = replace(state, number=event.number, at=event.at)
    match fact:
        case Opened():
            raise ValueError("a session is opened once")
        case ParticularsEntered(particulars):
            after = replace(after, particulars=state.particulars.updated(particulars))
        case RuleChosen():
            after = replace(after, rule_chosen=fact)
        case BandChosen(tolerance):
            after = replace(after, band=tolerance)
        case CautionAcknowledged(caution):
            return replace(after, cautions=state.cautions | {caution})
        case PositionConfirmed():
            places = {**state.places, event.number: fact.valves}
            after = replace(after, place=Place(event.number, fact), places=places, doubted=None)
        case PositionDoubted(cylinder):
            after = replace(_displaced(after), place=None, doubted=cylinder)
        case ReadingTaken():
            after = _read(after, event.number, fact)
        case ReadingStruck(number):
            after = _each_taken(
                after, lambda t: replace(t, struck=True) if t.reading.number == number else t
            )
        case ReadingsMoved(valve, to):
            after = replace(_moved(after, valve, to), last_valve=to)
        case ScrewTurned(valve):
            after = _with_valve(after, valve, _turned(after.valves[valve], fact))
        case Locked(valve):
            locked = after.valves[valve].begun(Stage(StageKind.LOCKED))
            after = _with_valve(after, valve, locked)
        case ShimFitted(valve, size):
            after = _with_valve(after, valve, _shimmed(after.valves[valve], size))
        case ItemCounted(item, count, inwards):
            went, came = state.tally.get(item, (0, 0))
            pair = (went + count, came) if inwards else (went, came + count)
            after = replace(after, tally={**state.tally, item: pair})
        case TorqueDone(what):
            after = replace(after, torques=state.torques | {what})
        case Noted():
            after = replace(after, notes=(*state.notes, fact))
        case Paused():
            return replace(after, paused=True)
        case Resumed(crank):
            after = replace(after, paused=False)
            if crank is not Crank.UNMOVED:
                after = replace(after, place=None)
            return after
        case StepUndone():
            return after
        case Closed():
            return replace(after, closed=fact)
        case _:
            assert_never(fact)
    return replace(after, undoable=(*state.undoable, event.number))


def _with_valve(state: State, name: str, valve: ValveState) -> State:
    return replace(state, valves={**state.valves, name: valve}, last_valve=name)


def _place_for(state: State, valve: str, at: int | None) -> int | None:
    return at if at is not None and valve in state.places[at] else None


def _read(state: State, number: int, fact: ReadingTaken) -> State:
    reading = Reading(fact.feeler, fact.answer, fact.forced, number)
    at = state.place.number if state.place is not None else None
    place = _place_for(state, fact.valve, at)
    taken = Taken(reading, place, state.particulars.metal_c, at=at)
    valve = state.valves[fact.valve]
    stage = replace(valve.current, taken=(*valve.current.taken, taken))
    return _with_valve(state, fact.valve, valve.with_current(stage))


def _turned(valve: ValveState, fact: ScrewTurned) -> ValveState:
    current = valve.current
    if current.kind is StageKind.TURNED and not current.live:
        return valve.with_current(replace(current, turns=(*current.turns, fact)))
    return valve.begun(Stage(StageKind.TURNED, turns=(fact,)))


def _shimmed(valve: ValveState, size: Length) -> ValveState:
    """A size told before any reading is what is fitted as found; after one, it is a swap."""
    if not valve.current.live:
        valve = valve.with_current(replace(valve.current, shim=size))
    else:
        valve = valve.begun(Stage(StageKind.SHIMMED, shim=size))
    return replace(valve, shim=size)


def _each_taken(state: State, change: Callable[[Taken], Taken]) -> State:
    valves = {
        name: replace(
            valve,
            stages=tuple(replace(s, taken=tuple(change(t) for t in s.taken)) for s in valve.stages),
        )
        for name, valve in state.valves.items()
    }
    return replace(state, valves=valves)


def _displaced(state: State) -> State:
    """What was read in the position that is doubted now counts no more."""
    if state.place is None:
        return state
    doubted = state.place.number
    return _each_taken(state, lambda t: replace(t, place=None, at=None) if t.at == doubted else t)


def _moved(state: State, valve: str, to: str) -> State:
    source, goal = state.valves[valve], state.valves[to]
    # A moved reading counts if its new valve could be measured where the crank stood then.
    moving = tuple(replace(t, place=_place_for(state, to, t.at)) for t in source.current.live)
    kept = tuple(t for t in source.current.taken if t.struck)
    state = _with_valve(state, valve, source.with_current(replace(source.current, taken=kept)))
    stage = replace(goal.current, taken=(*goal.current.taken, *moving))
    return _with_valve(state, to, goal.with_current(stage))
