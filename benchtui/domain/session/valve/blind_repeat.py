"""The blind repeat: one valve measured again, what was read before hidden, to see one's own spread."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.feel import OwnSpread, own_spread
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.gauging.verdict import VerdictKind, no_verdict
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import check_position
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.commands import Command, Undo
from benchtui.domain.session.facts.events import (
    Noted,
    ParticularsEntered,
    Paused,
    PositionDoubted,
    ReadingTaken,
    RepeatEnded,
    Resumed,
    SignSeen,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.session.valve.assessment import ValveView, look

_MEANWHILE = (
    ReadingTaken,
    RepeatEnded,
    ParticularsEntered,
    PositionDoubted,
    SignSeen,
    Noted,
    Paused,
    Resumed,
    Undo,
)


@dataclass(frozen=True, slots=True)
class Repeated:
    """What was read first, and in each blind repeat of the same gap; ``spread`` is what they show."""

    brackets: tuple[Bracket, ...]
    spread: OwnSpread


def check_while_repeating(state: State, command: Command) -> None:
    """Whether this may be done while a valve is being measured blind.

    Raises:
        Refusal: it is about another valve, or would move the gap.
    """
    repeat = state.repeat
    if repeat is None:
        return
    elsewhere = isinstance(command, ReadingTaken) and command.valve != repeat.valve
    if elsewhere or not isinstance(command, _MEANWHILE):
        raise Refusal(Why.REPEAT_OPEN, valve=repeat.valve)


def check_repeat(state: State, valve: str) -> None:
    """Whether a blind repeat may begin.

    Raises:
        Refusal: the crank does not stand for this valve, it has not been measured yet, or a nut is
            slack: that is locked first, and locking moves the gap.
    """
    slack = slack_nuts(state)
    if slack:
        raise Refusal(Why.NUT_SLACK, valves=slack)
    view = look(state, valve)
    check_position(state, valve, "Confirm it, then repeat.")
    unsound = view.verdict.kind in (VerdictKind.NONE, VerdictKind.CONTRADICTION)
    if unsound or not view.bracket.closed:
        raise Refusal(Why.NOTHING_TO_REPEAT, valve=valve)


def check_repeat_open(state: State, valve: str) -> None:
    """Whether the blind repeat may end.

    Raises:
        Refusal: none is open for this valve.
    """
    if state.repeat is None or state.repeat.valve != valve:
        raise Refusal(Why.NO_REPEAT, valve=valve)


def next_blind(state: State) -> NextBlade | None:
    """The blade to try next in the open repeat, as if nothing had been read; None: enough."""
    repeat = state.repeat
    if repeat is None:
        return None
    view = look(state, repeat.valve)
    if view.judged is None:
        return None
    advice = next_blade(
        repeat.bracket,
        state.opened.blades,
        view.judged,
        window=view.judged.width,
        tried=frozenset(r.feeler for r in repeat.readings),
    )
    return advice if isinstance(advice, NextBlade) else None


def repeated(state: State, valve: str) -> Repeated | None:
    """What the blind repeats of this valve show; None without any since it was last touched.

    A repeat that left nothing at all says nothing and is passed over.
    """
    stage = len(state.valves[valve].stages)
    again = [
        r.bracket for r in state.repeats if r.valve == valve and r.stage == stage and r.readings
    ]
    if not again:
        return None
    brackets = (look(state, valve).bracket, *again)
    spread = own_spread(brackets)
    return None if spread is None else Repeated(brackets, spread)


def as_blind(state: State, view: ValveView) -> ValveView:
    """The valve as it may be shown: while a blind repeat of it is open, only what that has read."""
    repeat = state.repeat
    if repeat is None or repeat.valve != view.valve.name:
        return view
    place = None if state.place is None else state.place.number
    return replace(
        view,
        bracket=repeat.bracket,
        verdict=no_verdict("blind repeat: what was read before is hidden, and counts all the same"),
        readings=tuple(Taken(r, place, state.particulars.metal_c) for r in repeat.readings),
        done=False,
    )
