"""What may happen at the crank: positions, signs, turns, and the steps after the setting."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.crank.windows import stop_valves
from benchtui.domain.errors import Refusal
from benchtui.domain.session.evidence.counting import check_position, valve_of
from benchtui.domain.session.evidence.position import check_evidence
from benchtui.domain.session.facts.commands import (
    ConfirmPosition,
    SeeSign,
    SpotCheck,
)
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    CrankTurned,
    PositionConfirmed,
    SignSeen,
    SpotChecked,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.whole.spot_check import NOT_TURNED_OVER, fits
from benchtui.domain.sheet import FULL_CYCLE

PIECES_WANTED = 2
"""Pieces of evidence that confirm a crank position."""

MOST_TURNED = 2 * FULL_CYCLE
"""So many degrees of crank are told in one step; further, nobody counts them."""


def check_cylinder(state: State, name: str) -> None:
    """Whether the engine has it.

    Raises:
        Refusal: it has not.
    """
    layout = state.opened.sheet.layout
    if layout.cylinder(name) is None:
        names = ", ".join(c.name for c in layout.cylinders)
        raise Refusal(f"This engine has no cylinder {name}.", f"It has {names}.")


def confirmed(state: State, command: ConfirmPosition) -> PositionConfirmed:
    """The position that this evidence confirms, and the valves that may be measured there.

    Raises:
        Refusal: no such cylinder, too little evidence or evidence against it, or a position in
            which no valve may be measured.
    """
    check_cylinder(state, command.cylinder)
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


def sign_seen(state: State, command: SeeSign) -> SignSeen:
    """What was seen at a cylinder.

    Raises:
        Refusal: no such cylinder, or a valve that is not its own.
    """
    check_cylinder(state, command.cylinder)
    for name in command.valves:
        if valve_of(state.opened.sheet, name).cylinder != command.cylinder:
            raise Refusal(f"{name} is no valve of cylinder {command.cylinder}.")
    return SignSeen(command.cylinder, command.sign, command.valves)


def crank_turned(state: State, degrees: Fraction) -> CrankTurned:
    """A turn forward by ``degrees`` of crank.

    Raises:
        Refusal: backwards, further than anybody counts, or a locknut is slack.
    """
    if not 0 < degrees <= MOST_TURNED:
        raise Refusal(
            f"The crank is turned forward, above 0 and up to {MOST_TURNED} degrees at a time, "
            f"not {float(degrees):g}.",
            "If you passed the mark, do not turn back: go on two whole turns.",
        )
    _check_nuts(state)
    return CrankTurned(degrees)


def slack_nuts(state: State) -> tuple[str, ...]:
    """The valves whose locknut is slack now."""
    return tuple(n for n, v in state.valves.items() if v.current.kind is StageKind.TURNED)


def _check_nuts(state: State) -> None:
    """Never crank with a valve screwed open, or its nut slack."""
    slack = slack_nuts(state)
    if slack:
        raise Refusal(
            f"The locknut of {', '.join(slack)} is slack: the crank is not turned so.",
            "Lock it first.",
        )


def after_step(state: State, step: AfterStep) -> AfterStepDone:
    """A step after the setting.

    Raises:
        Refusal: a locknut is slack, or something is still inside before the first run.
    """
    _check_nuts(state)
    if step is AfterStep.FIRST_RUN and state.short:
        inside = ", ".join(f"{item} ({count})" for item, count in state.short.items())
        raise Refusal(f"Not counted out yet: {inside}.", "Count it out before the engine runs.")
    return AfterStepDone(step)


def spot_checked(state: State, command: SpotCheck) -> SpotChecked:
    """A blade tried again, and whether it fits what was left.

    Raises:
        Refusal: the engine was not turned over, the position is not confirmed for this valve, or
            the valve is not done.
    """
    valve_of(state.opened.sheet, command.valve)
    if AfterStep.TURNED_OVER not in state.after:
        raise Refusal(NOT_TURNED_OVER, "Turn it over first.")
    check_position(state, command.valve, "Confirm it by two pieces of evidence, then check.")
    good = fits(state, command.valve, command.feeler, command.answer)
    return SpotChecked(command.valve, command.feeler, command.answer, good)
