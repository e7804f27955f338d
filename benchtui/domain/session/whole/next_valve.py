"""Which valve comes next: those of this crank position first, then those of the stops to come."""

from __future__ import annotations

from benchtui.domain.session.evidence.cams import cams_out_since
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.next_stop import stops_ahead
from benchtui.domain.session.whole.round_by_leaf import in_hand, then_for


def wants(state: State, name: str) -> bool:
    """Whether anything is still to be done at this valve before the cams come out, or the cover goes on."""
    return not look(state, name).done and not waits_for_cams(state, name)


def waits_for_cams(state: State, name: str) -> bool:
    """Whether a valve is out and its shim lies under the bucket: the others are measured first."""
    if not state.opened.sheet.adjuster.set_by.cams_out or cams_out_since(state, name):
        return False
    view = look(state, name)
    return view.verdict.kind.out and view.bracket.high is not None


def valves_in_order(state: State) -> tuple[str, ...]:
    """Every valve: those of this position, then by the stops to come, each in the plan's order."""

    def ordered() -> tuple[str, ...]:
        here = () if state.place is None else state.place.confirmed.valves
        ahead = [name for a in stops_ahead(state) for name in a.stop.valves]
        return tuple(dict.fromkeys([*here, *ahead, *state.valves]))

    return remembered(state, "valves in order", ordered)


def onward(state: State, after: str) -> str | None:
    """The valve to go on to: where the leaf in hand goes next at this stop, else the next."""
    leaf = in_hand(state)
    served = () if leaf is None else then_for(state, leaf, after)
    return served[0] if served else next_valve(state, after)


def next_valve(state: State, after: str = "") -> str | None:
    """The next valve that wants something; None where none does.

    The one last worked on first, while it stands at this position and is not ``after``.
    """
    order = valves_in_order(state)
    here = () if state.place is None else state.place.confirmed.valves
    last = state.last_valve
    if last is not None and last != after and last in here and wants(state, last):
        return last
    if after in here:  # round the valves of this position, from the one in hand on
        start = here.index(after) + 1
        order = tuple(dict.fromkeys([*here[start:], *here[:start], *order]))
    return next((n for n in order if n != after and wants(state, n)), None)
