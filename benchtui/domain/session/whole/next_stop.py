"""Which stop of the plan comes next, as the session stands."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, wrapped
from benchtui.domain.crank.plan import Plan, Stop, plan
from benchtui.domain.crank.words import companion_of
from benchtui.domain.session.evidence.counting import no_slack
from benchtui.domain.session.evidence.position import NEAR_ENOUGH, looked_past
from benchtui.domain.session.facts.events import Evidence, Sign
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.sheet import FULL_CYCLE, Gear, Sheet


@dataclass(frozen=True, slots=True)
class StopAhead:
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
    opened = state.opened
    return remembered(state, "plan", lambda: plan(opened.sheet, fewest=opened.fewest))


def stops_ahead(state: State, *, wanted: str = "") -> tuple[StopAhead, ...]:
    """The stops in the order they come, turning forward from where the crank stands.

    Those with a valve that is not done yet come before the others; before all the one at which the
    valve ``wanted`` is measured. In the plan's order where nobody knows where the crank stands.
    """
    return remembered(state, ("stops ahead", wanted), lambda: _stops_ahead(state, wanted))


def _stops_ahead(state: State, wanted: str) -> tuple[StopAhead, ...]:
    ahead = [StopAhead(stop, _forward(state, stop)) for stop in plan_of(state).stops]

    def rank(pair: tuple[int, StopAhead]) -> tuple[bool, bool, Fraction]:
        place, found = pair
        # A turn told a little too long has not passed the stop by.
        far = Fraction(place) if found.forward is None else wrapped(found.forward + NEAR_ENOUGH)
        return wanted not in found.stop.valves, settled(state, found.stop), far

    return tuple(found for _, found in sorted(enumerate(ahead), key=rank))


def settled(state: State, stop: Stop) -> bool:
    """Whether every valve of a stop is done."""
    return all(look(state, name).done for name in stop.valves)


_LOOSE = {Gear.ROCKERS: Evidence.SLACK, Gear.PUSHRODS: Evidence.SPIN, Gear.BUCKETS: Evidence.LOBES}
"""What shows by itself that both valves are off their cams (common practice)."""


def evidence_for(state: State, stop: Stop) -> tuple[Evidence, ...]:
    """What can show that the crank stands at this stop as the session stands, the mark first.

    Where no clearance was found, or after the look for it, nothing is told by what feels loose.
    """
    cylinder = stop.cylinder
    tight = any(s.cylinder == cylinder and s.sign is Sign.TIGHT for s in state.signs)
    own = (v.name for v in state.opened.sheet.layout.valves if v.cylinder == cylinder)
    moving = looked_past(state, cylinder) or tight or any(no_slack(state, name) for name in own)
    return signs_of(state.opened.sheet, stop, looked=moving)


def signs_of(sheet: Sheet, stop: Stop, *, looked: bool = False) -> tuple[Evidence, ...]:
    """What can show on this engine that the crank stands at a stop, the mark first."""
    own = (v for v in sheet.layout.valves if v.cylinder == stop.cylinder)
    if stop.angle == OVERLAP_TDC and not any(v.name in stop.valves for v in own):
        return (Evidence.MARK, Evidence.ROCKS)
    if stop.angle != 0:
        return (Evidence.MARK, Evidence.TURNED)
    if looked:
        return (Evidence.MARK, Evidence.INLET, Evidence.STILL)
    loose = _LOOSE[sheet.adjuster.gear]
    companion = (Evidence.COMPANION,) if companion_of(sheet, stop.cylinder) else ()
    return (Evidence.MARK, loose, Evidence.INLET, Evidence.STILL, *companion)


def _forward(state: State, stop: Stop) -> Fraction | None:
    return None if state.crank is None else wrapped(stop.crank_angle - state.crank)
