"""The steps after the setting: turned over, run, looked for leaks, spot-checked."""

from __future__ import annotations

from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.evidence.counting import check_position, valve_of
from benchtui.domain.session.facts.commands import CheckSpot
from benchtui.domain.session.facts.events import AfterStep, SpotChecked
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.nuts import check_nuts
from benchtui.domain.session.whole.spot_check import fits


def check_after_step(state: State, step: AfterStep) -> None:
    """Whether this step after the setting may be done.

    Raises:
        Refusal: a locknut is slack, or something is still inside before the first run.
    """
    check_nuts(state)
    if step is AfterStep.FIRST_RUN and state.short:
        inside = ", ".join(f"{item} ({count})" for item, count in state.short.items())
        raise Refusal(Why.STILL_INSIDE, items=inside)


def spot_checked(state: State, command: CheckSpot) -> SpotChecked:
    """A blade tried again, and whether it fits what was left.

    Raises:
        Refusal: the engine was not turned over, the position is not confirmed for this valve, or
            the valve is not done.
    """
    valve_of(state.opened.sheet, command.valve)
    if AfterStep.TURNED_OVER not in state.after:
        raise Refusal(Why.NOT_TURNED_OVER)
    check_position(state, command.valve, "Confirm it by two pieces of evidence, then check.")
    good = fits(state, command.valve, command.feeler, command.answer)
    return SpotChecked(command.valve, command.feeler, command.answer, good)
