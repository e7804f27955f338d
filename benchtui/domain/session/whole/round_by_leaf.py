"""Going round by the leaf: at one stop a blade in hand serves every valve that can do with it.

An estimate of effort that orders the work; it settles nothing. Any blade will do that loses little
beside the best one at its valve. The plan is the cheapest by three prices: an insertion, a change of
what is in hand, and a move to another valve.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.next_blade import deciding


@dataclass(frozen=True, slots=True)
class Effort:
    """What things cost, in insertions; by plain defaults changing a leaf is half of trying one."""

    insertion: Fraction = Fraction(1)
    leaf_change: Fraction = Fraction(1, 2)
    move: Fraction = Fraction(1, 5)


@dataclass(frozen=True, slots=True)
class Serves:
    """A valve that wants a blade, and the blades that serve it: each with what it loses, in insertions."""

    valve: str
    losses: tuple[tuple[Feeler, Fraction], ...]

    def loss(self, feeler: Feeler) -> Fraction | None:
        """What this blade loses here; None where it does not serve."""
        return next((lost for f, lost in self.losses if f.marks == feeler.marks), None)


@dataclass(frozen=True, slots=True)
class Round:
    """Try ``feeler`` at ``here``, and with the same blade in hand at each of ``then``, in that order.

    ``kept`` tells that it is the blade in hand already.
    """

    feeler: Feeler
    here: str
    then: tuple[str, ...]
    kept: bool


def round_by_leaf(
    state: State,
    in_hand: Feeler | None = None,
    *,
    at: str | None = None,
    effort: Effort | None = None,
) -> Round | None:
    """The blade to take now and the valves of this stop that it goes to; None where none wants a blade.

    Args:
        state: the session; its confirmed stop tells which valves.
        in_hand: the blade in hand, None where there is none.
        at: the valve last worked on: where it wants a blade, staying there costs no move.
        effort: the prices; plain defaults where None.
    """
    return plan_round(wanting(state), in_hand, at=at, effort=effort)


def then_for(state: State, feeler: Feeler, after: str) -> tuple[str, ...]:
    """The other valves of this stop that the blade in hand serves too, from ``after`` on round the stop."""
    place = state.place
    if place is None:
        return ()
    here = place.confirmed.valves
    start = here.index(after) + 1 if after in here else 0
    serving = {s.valve for s in wanting(state) if s.loss(feeler) is not None}
    return tuple(n for n in (*here[start:], *here[:start]) if n != after and n in serving)


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


def at_one_valve(state: State, name: str, in_hand: Feeler | None) -> Feeler | None:
    """Valve by valve: the blade in hand where it loses little here, else the best; None: none is wanted."""
    serves = _serves(state, look(state, name))
    if serves is None:
        return None
    if in_hand is not None and serves.loss(in_hand) is not None:
        return in_hand
    return serves.losses[0][0]


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


def plan_round(
    valves: Sequence[Serves],
    in_hand: Feeler | None = None,
    *,
    at: str | None = None,
    effort: Effort | None = None,
) -> Round | None:
    """The first step of the cheapest way to try one more blade at each of these valves.

    Blades are taken up one after another, each serving every valve that it serves and that is left:
    which of them in which order is chosen greedily by what it costs a valve, the blade in hand without a
    change. Of two as cheap the one that serves more valves comes first, then the thinner one.
    """
    if not valves:
        return None
    prices = effort or Effort()
    offers = list(_offers(valves, in_hand))
    ranked = [(_a_valve(offer, prices, at), offer) for offer in offers]
    _, best = min(ranked, key=lambda pair: (pair[0], -_count(pair[1]), pair[1].feeler.nominal))
    return _from(best, at)


def _offers(valves: Sequence[Serves], in_hand: Feeler | None) -> Iterator[_Offer]:
    seen: dict[tuple[Length, ...], Feeler] = {}
    for serves in valves:
        for feeler, _ in serves.losses:
            seen.setdefault(feeler.marks, feeler)
    for feeler in seen.values():
        taken = [(s.valve, lost) for s in valves if (lost := s.loss(feeler)) is not None]
        kept = in_hand is not None and feeler.marks == in_hand.marks
        yield _Offer(feeler, tuple(taken), kept)


@dataclass(frozen=True, slots=True)
class _Offer:
    """A blade, the valves that it serves with what it loses at each, and whether it is in hand."""

    feeler: Feeler
    valves: tuple[tuple[str, Fraction], ...]
    kept: bool


def _count(offer: _Offer) -> int:
    return len(offer.valves)


def _a_valve(offer: _Offer, prices: Effort, at: str | None) -> Fraction:
    """What one valve costs with this blade, on the mean over those that it serves."""
    lost = sum((lost for _, lost in offer.valves), Fraction(0))
    moves = len(offer.valves) - any(name == at for name, _ in offer.valves)
    whole = prices.insertion * (len(offer.valves) + lost) + prices.move * moves
    return (whole + (0 if offer.kept else prices.leaf_change)) / len(offer.valves)


def _from(offer: _Offer, at: str | None) -> Round:
    """Beginning at the valve last worked on, if it is one of them."""
    names = [name for name, _ in offer.valves]
    if at in names:
        names.remove(at)
        names.insert(0, at)
    return Round(offer.feeler, names[0], tuple(names[1:]), offer.kept)
