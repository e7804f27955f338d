"""What the tests ask of the next step: the blade that it wants tried."""

from __future__ import annotations

from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import Borrow, TryBlade
from benchtui.domain.session.valve.assessment import ValveView


def advise(state: State, view: ValveView) -> TryBlade | CannotDecide | None:
    """The blade to try, what the set lacks where none decides, None where another step comes first."""
    step = next_step(state, view.valve.name)
    if isinstance(step, Borrow):
        return step.lack
    return step if isinstance(step, TryBlade) else None
