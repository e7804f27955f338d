"""Which stop of the plan comes next, as the session stands."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, wrapped
from benchtui.domain.crank.plan import Plan, Stop, plan
from benchtui.domain.session.evidence.position import NEAR_ENOUGH
from benchtui.domain.session.facts.events import Evidence
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.sheet import FULL_CYCLE


@dataclass(frozen=True, slots=True)
class Ahead:
    """A stop and how far forward it is, 0 to 720; None where nobody knows where the crank stands.

    ``here`` is whether the crank was turned to it, or was confirmed there.
    """

    stop: Stop
    forward: Fraction | None

    @property
    def here(self) -> bool:
        """Whether the crank should stand there, as near as a hand tells a turn."""
        return self.forward is not None and (
            self.forward <= NEAR_ENOUGH or self.forward >= FULL_CYCLE - NEAR_ENOUGH
        )


def plan_of(state: State) -> Plan:
    """The plan of the session.

    Raises:
        Refusal: the sheet has a fault.
    """
    return plan(state.opened.sheet, fewest=state.opened.fewest)


def stops_ahead(state: State, *, wanted: str = "") -> tuple[Ahead, ...]:
    """The stops in the order they come, turning forward from where the crank stands.

    Those with a valve that is not done yet come before the others; before all the one at which the
    valve ``wanted`` is measured. In the plan's order where nobody knows where the crank stands.
    """
    ahead = [Ahead(stop, _forward(state, stop)) for stop in plan_of(state).stops]

    def rank(pair: tuple[int, Ahead]) -> tuple[bool, bool, Fraction]:
        place, found = pair
        settled = all(look(state, name).done for name in found.stop.valves)
        # A turn told a little too long has not passed the stop by.
        far = Fraction(place) if found.forward is None else wrapped(found.forward + NEAR_ENOUGH)
        return wanted not in found.stop.valves, settled, far

    return tuple(found for _, found in sorted(enumerate(ahead), key=rank))


def evidence_for(stop: Stop) -> tuple[Evidence, ...]:
    """What can show that the crank stands at this stop, the mark first."""
    if stop.angle == 0:
        return (Evidence.MARK, Evidence.SLACK, Evidence.INLET, Evidence.STILL)
    if stop.angle == OVERLAP_TDC:
        return (Evidence.MARK, Evidence.ROCKS)
    return (Evidence.MARK, Evidence.TURNED)


def _forward(state: State, stop: Stop) -> Fraction | None:
    return None if state.crank is None else wrapped(stop.crank_angle - state.crank)
