"""Going round by the leaf: at one stop a blade in hand serves every valve that can do with it.

Any blade will do that loses little beside the best one at its valve: an estimate that orders the work
and settles nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.session.facts.events import Effort
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.next_blade import deciding


@dataclass(frozen=True, slots=True)
class Serves:
    """A valve that wants a blade, and the blades that serve it: each with what it loses, in insertions."""

    valve: str
    losses: tuple[tuple[Feeler, Fraction], ...]

    def loss(self, feeler: Feeler) -> Fraction | None:
        """What this blade loses here; None where it does not serve."""
        return next((lost for f, lost in self.losses if f.marks == feeler.marks), None)


def then_for(state: State, feeler: Feeler, after: str) -> tuple[str, ...]:
    """The other valves of this stop that the blade in hand serves too, from ``after`` on round the stop."""
    place, effort = state.place, state.opened.effort or Effort()
    if place is None or not effort.by_leaf:
        return ()
    here = place.confirmed.valves
    start = here.index(after) + 1 if after in here else 0
    serving = {s.valve for s in wanting(state) if _keeps(effort, s.loss(feeler), moved=True)}
    return tuple(n for n in (*here[start:], *here[:start]) if n != after and n in serving)


def kept(state: State, name: str) -> Feeler | None:
    """The leaf in hand, where it loses less at this valve than it costs to change it; else None."""
    effort, held = state.opened.effort, in_hand(state)
    serves = next((s for s in wanting(state) if s.valve == name), None)
    if effort is None or held is None or serves is None:
        return None
    return held if _keeps(effort, serves.loss(held), moved=False) else None


def _keeps(effort: Effort, lost: Fraction | None, *, moved: bool) -> bool:
    return lost is not None and effort.keeps(lost, moved=moved)


def in_hand(state: State) -> Feeler | None:
    """The blade of the reading taken last at this stop; None where none was."""
    place = state.place
    if place is None:
        return None
    taken = (
        t.reading
        for valve in state.valves.values()
        for t in valve.current.live
        if t.at == place.number
    )
    last = max(taken, key=lambda r: r.number, default=None)
    return None if last is None or len(last.feeler.leaves) > 1 else last.feeler


def wanting(state: State) -> tuple[Serves, ...]:
    """The valves of the confirmed stop that want a blade, in its order, the best blade of each first."""
    if state.place is None:
        return ()
    names = state.place.confirmed.valves
    return remembered(
        state,
        "wanting a blade",
        lambda: tuple(s for name in names if (s := _serves(state, look(state, name))) is not None),
    )


def _serves(state: State, view: ValveView) -> Serves | None:
    if view.done or view.slack_nut or view.clash is not None or view.verdict.kind.out:
        return None
    best = deciding(state, view)
    if not isinstance(best, NextBlade):
        return None
    return Serves(view.valve.name, ((best.feeler, Fraction(0)), *best.as_good))
