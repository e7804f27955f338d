"""The fold: the state of a session after its events.

Applying an event never fails on an event that was decided: all refusing is done in ``decide``.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from benchtui.domain.remembering import replace
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.state import Repeat, State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, ValveState
from benchtui.domain.session.steps.adjuster import after_turn, set_on_blade
from benchtui.domain.session.steps.amend import apply_amendment, ended
from benchtui.domain.session.steps.crank import after_confirming, lost, signed, turned_on
from benchtui.domain.session.steps.readings import (
    after_move,
    displaced,
    heat_told,
    read,
    spotted,
    whole_read,
    with_measure,
    without,
)
from benchtui.domain.session.steps.shims import shimmed, went_in
from benchtui.domain.session.steps.touching import touched, with_valve
from benchtui.domain.sheet import FULL_CYCLE

CAMS_OUT = frozenset({facts.CamsStep.OUT})


def begin(event: facts.Event) -> State:
    """The state right after a session was opened.

    Raises:
        ValueError: the event is not an ``Opened``.
    """
    if not isinstance(event.fact, facts.Opened):
        raise ValueError(  # noqa: TRY004  # a wrong order of events, not a wrong type of argument
            f"a session begins with its opening, not {type(event.fact).__name__}"
        )
    valves = {v.name: ValveState() for v in event.fact.sheet.layout.valves}
    for last in event.fact.fitted_last:
        if last.valve in valves:
            stage = Stage(StageKind.FOUND, shim=last.size, shim_measured=last.measured)
            valves[last.valve] = ValveState((stage,))
    return State(
        opened=event.fact,
        started=event.at,
        particulars=event.fact.particulars,
        number=event.number,
        valves=valves,
        at=event.at,
        metal_at=event.at if event.fact.particulars.tells_heat else None,
        band=event.fact.band,
        on_figure=event.fact.on_figure,
        by_blade=event.fact.by_blade,
    )


def fold(events: Iterable[facts.Event]) -> State:
    """The state after all these events; a step that was undone leaves no trace in it.

    Raises:
        ValueError: no events, or the first is not the opening.
    """
    taken = list(events)
    if not taken:
        raise ValueError("a session has at least its opening")
    undone = {e.fact.number for e in taken if isinstance(e.fact, facts.StepUndone)}
    state = begin(taken[0])
    for event in taken[1:]:
        if event.number not in undone:
            state = apply(state, event)
    return replace(state, number=taken[-1].number)


def apply(state: State, event: facts.Event) -> State:  # noqa: C901, PLR0912, PLR0915  # one case a fact is the point
    """The state after one more event (an undo only counts; ``fold`` takes the step back)."""
    fact = event.fact
    over = ended(state)
    if isinstance(fact, facts.Corrected | facts.SetAside) or (
        over and isinstance(fact, facts.Noted)
    ):
        return apply_amendment(state, event)
    # What comes after its end does not change when it ended.
    at = state.at if over else event.at
    after = replace(state, number=event.number, at=at, undoable=(*state.undoable, event.number))
    match fact:
        case facts.Opened():
            raise ValueError("a session is opened once")
        case facts.ParticularsEntered(particulars):
            after = heat_told(after, particulars)
        case facts.RuleChosen():
            after = replace(after, rule_chosen=fact)
        case facts.BandChosen(tolerance):
            after = replace(after, band=tolerance, on_figure=False)
        case facts.FigureChosen():
            after = replace(after, band=None, on_figure=True)
        case facts.CautionAcknowledged(caution):
            after = replace(after, cautions=state.cautions | {caution})
        case facts.PositionConfirmed():
            after = after_confirming(after, event.number, fact)
        case facts.PositionDoubted(cylinder):
            after = replace(
                displaced(after), place=None, doubted=cylinder, signs=(), crank=None, turned=False
            )
            after = replace(after, repeat=None)
        case facts.SignSeen():
            after = replace(signed(after, fact), repeat=None)
        case facts.CrankTurned(degrees):
            after = turned_on(after, degrees)
        case facts.ReadingTaken():
            after = read(after, event.number, fact)
        case facts.ClearanceMeasured():
            after = with_measure(after, event.number, fact)
        case facts.ReadingStruck(number):
            after = without(after, number)
        case facts.ReadingsMoved(valve, to):
            after = replace(after_move(after, valve, to), last_valve=to)
        case facts.ScrewTurned(valve):
            after = touched(after, valve, after_turn(after.valves[valve], fact))
        case facts.WoundBack(valve, degrees):
            wound = Stage(StageKind.TURNED, backed_off=degrees)
            after = touched(after, valve, after.valves[valve].begun(wound))
        case facts.ScrewSetOn(valve):
            after = touched(after, valve, set_on_blade(after.valves[valve], fact))
        case facts.WayChosen(by_blade):
            after = replace(after, by_blade=by_blade)
        case facts.LookedOver(valve):
            after = replace(after, looked_over=state.looked_over | {valve})
        case facts.CamsStepDone(facts.CamsStep.OUT):
            after = replace(
                lost(after, moved=True),
                cams_out=event.number,
                cams_done=frozenset({facts.CamsStep.OUT}),
            )
        case facts.CamsStepDone(step):
            after = replace(after, cams_done=state.cams_done | {step})
        case facts.Locked(valve, torqued):
            locked = after.valves[valve].begun(Stage(StageKind.LOCKED, torqued=torqued))
            after = touched(after, valve, locked)
        case facts.ShimFitted(valve):
            fitted = went_in(state.valves[valve], fact)
            now = shimmed(state.valves[valve], fact)
            after = (touched if fitted else with_valve)(after, valve, now)
            if fitted and state.opened.sheet.adjuster.set_by.cams_out:
                after = replace(after, cams_out=event.number, cams_done=CAMS_OUT)
        case facts.SpareTold():
            after = replace(after, spares=(*state.spares, fact))
        case facts.WholePlayRead():
            after = whole_read(after, event.number, fact)
        case facts.ItemCounted(item, count, inwards):
            went, came = state.tally.get(item, (0, 0))
            pair = (went + count, came) if inwards else (went, came + count)
            after = replace(after, tally={**state.tally, item: pair})
        case facts.TorqueDone(what):
            after = replace(after, torques=state.torques | {what})
        case facts.AfterStepDone(step):
            after = replace(after, after=state.after | {step})
            if step is facts.AfterStep.TURNED_OVER:
                # Two turns by hand end near where they began, but who knows how near.
                after = replace(turned_on(after, FULL_CYCLE), crank=None, turned=False)
        case facts.SpotChecked(valve):
            after = with_valve(after, valve, spotted(after, event.number, fact))
        case facts.RepeatBegun(valve):
            stage = len(state.valves[valve].stages)
            after = replace(after, repeat=Repeat(valve, stage), last_valve=valve)
        case facts.RepeatEnded():
            made = () if state.repeat is None else (state.repeat,)
            after = replace(after, repeat=None, repeats=(*state.repeats, *made))
        case facts.Noted():
            after = replace(after, notes=(*state.notes, fact))
        case facts.Paused():
            return replace(after, paused=True, undoable=state.undoable)
        case facts.Resumed(crank):
            after = replace(after, paused=False, undoable=state.undoable)
            return (
                after
                if crank is facts.Crank.UNMOVED
                else lost(after, moved=crank is facts.Crank.MOVED)
            )
        case facts.StepUndone():
            return replace(after, undoable=state.undoable)
        case facts.Closed():
            return replace(after, closed=fact, undoable=())
        case _:
            assert_never(fact)
    return after
