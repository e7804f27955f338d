"""What may happen at a valve: readings struck and moved, the adjuster touched."""

from __future__ import annotations

from benchtui.domain.adjusting.pad import pad_check
from benchtui.domain.adjusting.turns import FULL_TURN
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.evidence.counting import check_touchable, valve_of
from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.commands import (
    FitShim,
    StrikeReading,
    TurnScrew,
    WindBack,
)
from benchtui.domain.session.facts.events import (
    Locked,
    ReadingsMoved,
    ReadingStruck,
    ScrewTurned,
    ShimFitted,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.sheet import AdjusterKind

LARGEST_SHIM = Length.mm(20)
MOST_WORN = Length.mm("0.3")
"""Further apart, a stamp and a micrometer do not speak of one shim (design value)."""
MICROMETER_REPEATS = Length.um(10)
"""Further apart, two readings of a micrometer are not of one shim (design value)."""


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


def turned(state: State, command: TurnScrew) -> ScrewTurned:
    """The adjuster turned.

    Raises:
        Refusal: it is not turned at all, by too much, or it may not be touched now.
    """
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


def locked(state: State, valve: str) -> Locked:
    """The locknut tightened.

    Raises:
        Refusal: there is none, or it is tight already.
    """
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


def shim_fitted(state: State, command: FitShim) -> ShimFitted:
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
    told = found or (stage.kind is StageKind.FOUND and not stage.live)
    # With the cams out there is no position to confirm, and no cam to hold a valve open.
    if not told and not state.opened.sheet.adjuster.under_bucket:
        check_touchable(state, command.valve)
    return ShimFitted(command.valve, command.size, command.measured, found)


def _was_in(state: State, command: FitShim) -> bool:
    """Whether this can only be the shim that is in already, with the readings in hand if any."""
    history = state.valves[command.valve]
    if history.shim is None:
        # Where nothing goes, a thinner one is fitted blindly: then it is a swap.
        return any(t.reading.answer.goes for t in history.current.live)
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
    if state.opened.sheet.adjuster.kind is not AdjusterKind.SHIM:
        raise Refusal("This engine is not set by shims.", "Turn its adjuster instead.")
    if not ZERO < size <= LARGEST_SHIM:
        raise Refusal(f"A shim is above 0 and up to {LARGEST_SHIM}, not {size}.")
    if measured is not None and abs(measured - size) > MOST_WORN:
        raise Refusal(
            f"A shim stamped {size} does not measure {measured}.",
            f"Read both again: more than {MOST_WORN} apart is another shim.",
        )


def wound_back(state: State, command: WindBack) -> WoundBack:
    """The screw wound to zero clearance and backed off by so many degrees: the pad test.

    Raises:
        Refusal: it may not be touched now, or the angle would tell nothing.
    """
    valve_of(state.opened.sheet, command.valve)
    check_touchable(state, command.valve)
    pad_check(state.opened.sheet.adjuster, command.degrees, OPEN)
    return WoundBack(command.valve, command.degrees)
