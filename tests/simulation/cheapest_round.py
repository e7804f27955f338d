"""The cheapest round of a stop by the leaf, by three prices: an insertion, a leaf changed, a move.

An estimate of effort, beside which the bench's own plain way round is measured.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.round_by_leaf import Serves, wanting


@dataclass(frozen=True, slots=True)
class Effort:
    """What things cost, in insertions; by plain defaults changing a leaf is half of trying one."""

    insertion: Fraction = Fraction(1)
    leaf_change: Fraction = Fraction(1, 2)
    move: Fraction = Fraction(1, 5)


@dataclass(frozen=True, slots=True)
class Round:
    """Try ``feeler`` at ``here``, and with the same blade in hand at each of ``then``, in that order.

    ``kept`` tells that it is the blade in hand already.
    """

    feeler: Feeler
    here: str
    then: tuple[str, ...]
    kept: bool


@dataclass(frozen=True, slots=True)
class _Offer:
    """A blade, the valves that it serves with what it loses at each, and whether it is in hand."""

    feeler: Feeler
    valves: tuple[tuple[str, Fraction], ...]
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


def at_one_valve(state: State, name: str, in_hand: Feeler | None) -> Feeler | None:
    """Valve by valve: the blade in hand where it loses little here, else the best; None: none is wanted."""
    serves = next((s for s in wanting(state) if s.valve == name), None)
    if serves is None:
        return None
    if in_hand is not None and serves.loss(in_hand) is not None:
        return in_hand
    return serves.losses[0][0]


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
