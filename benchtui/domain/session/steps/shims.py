"""Shims: which may be told or fitted, and what that makes of the valve."""

from __future__ import annotations

from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import check_touchable, valve_of
from benchtui.domain.session.facts.events import ShimFitted
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, ValveState

LARGEST_SHIM = Length.mm(20)


MOST_WORN = Length.mm("0.3")
"""Further apart, a stamp and a micrometer do not speak of one shim (design value)."""


MICROMETER_REPEATS = Length.um(10)
"""Further apart, two readings of a micrometer are not of one shim (design value)."""


def shim_fitted(state: State, command: ShimFitted) -> ShimFitted:
    """A shim put in, or told to be in.

    Told after readings it is a swap, unless it can only be what was in all along: the size was not
    known and a blade went, or it is the shim that is in now, measured (again).

    Raises:
        Refusal: no shims set this engine, the size is none, or the valve may not be touched now.
    """
    valve_of(state.opened.sheet, command.valve)
    check_shim(state, command.size, command.measured)
    stage = state.valves[command.valve].current
    found = command.found or _was_in(state, command)
    told = found or (stage.kind is StageKind.FOUND and stage.unread)
    # With the cams out there is no position to confirm, and no cam to hold a valve open.
    if not told and not state.opened.sheet.adjuster.set_by.cams_out:
        check_touchable(state, command.valve)
    return replace(command, found=found)


def _was_in(state: State, command: ShimFitted) -> bool:
    """Whether this can only be the shim that is in already, with the readings in hand if any."""
    history = state.valves[command.valve]
    if history.shim is None:
        # Where nothing goes, a thinner one is fitted blindly: then it is a swap.
        stage = history.current
        return stage.measure is not None or any(t.reading.answer.goes for t in stage.live)
    if command.size != history.shim or command.measured is None:
        return False
    before, now = history.shim_measured, command.measured
    if before is not None and abs(now - before) > MICROMETER_REPEATS:
        return False
    others = [(v.shim, v.shim_measured) for n, v in state.valves.items() if n != command.valve]
    in_drawer = any((s.size, s.measured) == (command.size, now) for s in state.spares)
    return not in_drawer and (command.size, now) not in others


def check_shim(state: State, size: Length, measured: Length | None) -> None:
    """Whether a shim of this stamp, measuring so, can be.

    Raises:
        Refusal: no shims set this engine, or stamp and micrometer do not speak of one shim.
    """
    if not state.opened.sheet.adjuster.set_by.shims:
        raise Refusal(Why.NOT_BY_SHIMS)
    if not ZERO < size <= LARGEST_SHIM:
        raise Refusal(Why.SHIM_SIZE, largest_shim=LARGEST_SHIM, size=size)
    if measured is not None and abs(measured - size) > MOST_WORN:
        raise Refusal(Why.SHIM_WORN, size=size, measured=measured, most_worn=MOST_WORN)


def went_in(valve: ValveState, fact: ShimFitted) -> bool:
    """Whether this shim was put in now; else it is only told of.

    A size told before any reading is what is fitted as found; after one, it is a swap, unless it is
    said to have been in all along.
    """
    if fact.found or not valve.current.unread:
        return not fact.found
    return valve.current.kind is not StageKind.FOUND and fact.size != valve.shim


def shimmed(valve: ValveState, fact: ShimFitted) -> ValveState:
    """The valve with this shim in; one that replaces another not read yet begins no new stage."""
    size, measured = fact.size, fact.measured
    unread = valve.current.kind is StageKind.SHIMMED and valve.current.unread
    if unread or not went_in(valve, fact):
        return valve.with_current(replace(valve.current, shim=size, shim_measured=measured))
    return valve.begun(Stage(StageKind.SHIMMED, shim=size, shim_measured=measured))
