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

from benchtui.domain.crank.angles import OVERLAP_TDC, crank_angle_of, wrapped
from benchtui.domain.crank.words import LOOK
from benchtui.domain.gauging.bracket import Bracket, Reading, bracket_of
from benchtui.domain.length import Length
from benchtui.domain.session.events import (
    AfterStep,
    AfterStepDone,
    BandChosen,
    CautionAcknowledged,
    Closed,
    Crank,
    CrankTurned,
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
    RepeatBegun,
    RepeatEnded,
    Resumed,
    RuleChosen,
    ScrewTurned,
    ShimFitted,
    Sign,
    SignSeen,
    SpareTold,
    SpotChecked,
    StepUndone,
    TorqueDone,
    WholePlayRead,
    WoundBack,
)
from benchtui.domain.session.pairing import base_of
from benchtui.domain.sheet import FULL_CYCLE


class StageKind(Enum):
    """What state the adjuster was in while these readings were taken."""

    FOUND = "as found"
    TURNED = "turned, nut slack"
    LOCKED = "locked"
    SHIMMED = "shim fitted"
    AGAIN = "doubted by the spot-check"


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
    """Readings between two touches of the adjuster; ``turns`` are those that began the stage.

    ``backed_off`` are the degrees from zero clearance where the stage began with a pad test.
    """

    kind: StageKind
    taken: tuple[Taken, ...] = ()
    turns: tuple[ScrewTurned, ...] = ()
    shim: Length | None = None
    shim_measured: Length | None = None
    backed_off: Fraction | None = None

    @property
    def live(self) -> tuple[Taken, ...]:
        """The readings that were not struck."""
        return tuple(t for t in self.taken if not t.struck)


@dataclass(frozen=True, slots=True)
class ValveState:
    """Everything done at one valve, stage by stage; the first stage is as found.

    ``spot`` are readings of the spot-check that agreed with what was left.
    """

    stages: tuple[Stage, ...] = (Stage(StageKind.FOUND),)
    shim: Length | None = None
    spot: tuple[Reading, ...] = ()
    shim_measured: Length | None = None

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
        return any(s.kind not in (StageKind.FOUND, StageKind.AGAIN) for s in self.stages)

    def with_current(self, stage: Stage) -> ValveState:
        """The same with another stage in hand."""
        return replace(self, stages=(*self.stages[:-1], stage))

    def begun(self, stage: Stage) -> ValveState:
        """The same with a new stage begun."""
        return replace(self, stages=(*self.stages, stage))


@dataclass(frozen=True, slots=True)
class Place:
    """A confirmed crank position; ``number`` is that of the event that confirmed it.

    ``looked``: the look past TDC, the time before, found every valve still.
    """

    number: int
    confirmed: PositionConfirmed
    looked: bool = False


@dataclass(frozen=True, slots=True)
class Repeat:
    """A blind repeat of one valve; ``stage`` counts the touches of its adjuster before it."""

    valve: str
    stage: int
    readings: tuple[Reading, ...] = ()

    @property
    def bracket(self) -> Bracket:
        """What it has left by itself."""
        return bracket_of(self.readings)


@dataclass(frozen=True, slots=True)
class State:
    """A session as it stands after its last event.

    ``crank`` is the crank angle as far as it is known: confirmed, or reckoned from the turns made
    since (``turned``). ``signs`` were seen since the last confirmed position. ``after`` are the steps
    done since a valve was last touched.
    """

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
    signs: tuple[SignSeen, ...] = ()
    crank: Fraction | None = None
    turned: bool = False
    after: frozenset[AfterStep] = frozenset()
    cautions: frozenset[str] = frozenset()
    tally: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    torques: frozenset[str] = frozenset()
    notes: tuple[Noted, ...] = ()
    paused: bool = False
    closed: Closed | None = None
    rule_chosen: RuleChosen | None = None
    last_valve: str | None = None
    undoable: tuple[int, ...] = ()
    whole: Mapping[str, tuple[Taken, ...]] = field(default_factory=dict)
    """The whole free play of valves with two gaps, by the valve's name without the gap."""
    spares: tuple[SpareTold, ...] = ()
    """Every shim that was told to lie in the drawer, those fitted since among them."""
    repeat: Repeat | None = None
    repeats: tuple[Repeat, ...] = ()

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
    for last in event.fact.fitted_last:
        if last.valve in valves:
            stage = Stage(StageKind.FOUND, shim=last.size, shim_measured=last.measured)
            valves[last.valve] = ValveState((stage,), shim=last.size, shim_measured=last.measured)
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


def apply(state: State, event: Event) -> State:  # noqa: C901, PLR0912, PLR0915  # one case a fact is the point
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
            after = _confirmed(after, event.number, fact)
        case PositionDoubted(cylinder):
            after = replace(
                _displaced(after), place=None, doubted=cylinder, signs=(), crank=None, turned=False
            )
            after = replace(after, repeat=None)
        case SignSeen():
            after = replace(_signed(after, fact), repeat=None)
        case CrankTurned(degrees):
            after = _turned_on(after, degrees)
        case ReadingTaken():
            after = _read(after, event.number, fact)
        case ReadingStruck(number):
            after = _each_taken(
                after, lambda t: replace(t, struck=True) if t.reading.number == number else t
            )
        case ReadingsMoved(valve, to):
            after = replace(_moved(after, valve, to), last_valve=to)
        case ScrewTurned(valve):
            after = _touched(after, valve, _turned(after.valves[valve], fact))
        case WoundBack(valve, degrees):
            wound = Stage(StageKind.TURNED, backed_off=degrees)
            after = _touched(after, valve, after.valves[valve].begun(wound))
        case Locked(valve):
            locked = after.valves[valve].begun(Stage(StageKind.LOCKED))
            after = _touched(after, valve, locked)
        case ShimFitted(valve):
            shimmed = _shimmed(after.valves[valve], fact)
            same = len(shimmed.stages) == len(after.valves[valve].stages)
            after = (_with_valve if same else _touched)(after, valve, shimmed)
        case SpareTold():
            after = replace(after, spares=(*state.spares, fact))
        case WholePlayRead():
            after = _whole_read(after, event.number, fact)
        case ItemCounted(item, count, inwards):
            went, came = state.tally.get(item, (0, 0))
            pair = (went + count, came) if inwards else (went, came + count)
            after = replace(after, tally={**state.tally, item: pair})
        case TorqueDone(what):
            after = replace(after, torques=state.torques | {what})
        case AfterStepDone(step):
            after = replace(after, after=state.after | {step})
            if step is AfterStep.TURNED_OVER:
                # Two turns by hand end near where they began, but who knows how near.
                after = replace(_turned_on(after, FULL_CYCLE), crank=None, turned=False)
        case SpotChecked(valve):
            after = _with_valve(after, valve, _spotted(after, event.number, fact))
        case RepeatBegun(valve):
            stage = len(state.valves[valve].stages)
            after = replace(after, repeat=Repeat(valve, stage), last_valve=valve)
        case RepeatEnded():
            ended = () if state.repeat is None else (state.repeat,)
            after = replace(after, repeat=None, repeats=(*state.repeats, *ended))
        case Noted():
            after = replace(after, notes=(*state.notes, fact))
        case Paused():
            return replace(after, paused=True)
        case Resumed(crank):
            after = replace(after, paused=False)
            if crank is not Crank.UNMOVED:
                after = replace(after, place=None, crank=None, turned=False, repeat=None)
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


def _touched(state: State, name: str, valve: ValveState) -> State:
    """A gap that was touched makes the whole free play of its valve unknown again.

    The steps after the setting, and the spot-check, are to be done over again too.
    """
    whole = {base: taken for base, taken in state.whole.items() if base != base_of(name)}
    after = _with_valve(state, name, replace(valve, spot=()))
    return replace(after, whole=whole, after=frozenset())


def _confirmed(state: State, number: int, fact: PositionConfirmed) -> State:
    looked = any(s.cylinder == fact.cylinder and s.sign is Sign.STAYS for s in state.signs)
    cylinder = state.opened.sheet.layout.cylinder(fact.cylinder)
    return replace(
        state,
        place=Place(number, fact, looked),
        places={**state.places, number: fact.valves},
        doubted=None,
        signs=(),
        crank=None if cylinder is None else crank_angle_of(cylinder, fact.angle),
        turned=False,
    )


def _signed(state: State, fact: SignSeen) -> State:
    """What speaks against a position stops the bench; after the look the crank stands past it."""
    cylinder = state.opened.sheet.layout.cylinder(fact.cylinder)
    others = tuple(s for s in state.signs if s.cylinder != fact.cylinder)
    mine = tuple(s for s in state.signs if s.cylinder == fact.cylinder)
    if fact.sign is Sign.STAYS:
        past = None if cylinder is None else crank_angle_of(cylinder, LOOK)
        return replace(
            state, place=None, doubted=None, signs=(*others, fact), crank=past, turned=False
        )
    past = None
    if fact.sign is not Sign.TIGHT and cylinder is not None:
        on = LOOK if fact.sign is Sign.OPENS else 0
        past = crank_angle_of(cylinder, OVERLAP_TDC + on)
    signs = (*others, *(s for s in mine if s.sign is not Sign.STAYS), fact)
    return replace(
        _displaced(state),
        place=None,
        doubted=fact.cylinder,
        signs=signs,
        crank=past,
        turned=False,
    )


def _turned_on(state: State, degrees: Fraction) -> State:
    """What was seen against the old position goes with it; what was read there still counts."""
    known = state.crank
    return replace(
        state,
        place=None,
        signs=tuple(s for s in state.signs if not s.sign.against),
        crank=None if known is None else wrapped(known + degrees),
        turned=known is not None,
    )


def _spotted(state: State, number: int, fact: SpotChecked) -> ValveState:
    """A reading that fits stands beside what was left; one that does not begins a new stage."""
    valve = state.valves[fact.valve]
    reading = Reading(fact.feeler, fact.answer, number=number)
    if fact.fits:
        return replace(valve, spot=(*valve.spot, reading))
    at = state.place.number if state.place is not None else None
    taken = Taken(reading, _place_for(state, fact.valve, at), state.particulars.metal_c, at=at)
    return replace(valve.begun(Stage(StageKind.AGAIN, (taken,))), spot=())


def _place_for(state: State, valve: str, at: int | None) -> int | None:
    return at if at is not None and valve in state.places[at] else None


def _taken(state: State, number: int, fact: ReadingTaken | WholePlayRead) -> Taken:
    reading = Reading(fact.feeler, fact.answer, fact.forced, number)
    at = state.place.number if state.place is not None else None
    place = _place_for(state, fact.valve, at)
    return Taken(reading, place, state.particulars.metal_c, at=at)


def _whole_read(state: State, number: int, fact: WholePlayRead) -> State:
    base = base_of(fact.valve)
    taken = (*state.whole.get(base, ()), _taken(state, number, fact))
    return replace(state, whole={**state.whole, base: taken}, last_valve=fact.valve)


def _read(state: State, number: int, fact: ReadingTaken) -> State:
    taken = _taken(state, number, fact)
    if state.repeat is not None and state.repeat.valve == fact.valve:
        reading = taken.reading
        repeat = replace(state.repeat, readings=(*state.repeat.readings, reading))
        return replace(state, repeat=repeat, last_valve=fact.valve)
    valve = state.valves[fact.valve]
    stage = replace(valve.current, taken=(*valve.current.taken, taken))
    return _with_valve(state, fact.valve, valve.with_current(stage))


def _turned(valve: ValveState, fact: ScrewTurned) -> ValveState:
    current = valve.current
    pad_test = current.backed_off is not None
    if current.kind is StageKind.TURNED and not current.live and not pad_test:
        return valve.with_current(replace(current, turns=(*current.turns, fact)))
    return valve.begun(Stage(StageKind.TURNED, turns=(fact,)))


def _shimmed(valve: ValveState, fact: ShimFitted) -> ValveState:
    """A size told before any reading is what is fitted as found; after one, it is a swap.

    Unless it is said to have been in all along.
    """
    size, measured = fact.size, fact.measured
    if fact.found or not valve.current.live:
        valve = valve.with_current(replace(valve.current, shim=size, shim_measured=measured))
    else:
        valve = valve.begun(Stage(StageKind.SHIMMED, shim=size, shim_measured=measured))
    return replace(valve, shim=size, shim_measured=measured)


def _each_taken(state: State, change: Callable[[Taken], Taken]) -> State:
    valves = {
        name: replace(
            valve,
            stages=tuple(replace(s, taken=tuple(change(t) for t in s.taken)) for s in valve.stages),
        )
        for name, valve in state.valves.items()
    }
    whole = {base: tuple(change(t) for t in taken) for base, taken in state.whole.items()}
    return replace(state, valves=valves, whole=whole)


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
