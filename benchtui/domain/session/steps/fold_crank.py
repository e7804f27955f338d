"""The fold at the crank: positions confirmed, signs seen, turns made."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, crank_angle_of, wrapped
from benchtui.domain.crank.words import LOOK
from benchtui.domain.session.facts.events import PositionConfirmed, Sign, SignSeen
from benchtui.domain.session.facts.state import Place, State
from benchtui.domain.session.steps.fold_valve import displaced


def confirmed(state: State, number: int, fact: PositionConfirmed) -> State:
    """The crank stands where this says; what spoke against it is settled.

    Confirmed again at the same angle, with no turn of it known between, it stands where it stood.
    """
    looked = any(s.cylinder == fact.cylinder and s.sign is Sign.STAYS for s in state.signs)
    cylinder = state.opened.sheet.layout.cylinder(fact.cylinder)
    crank = None if cylinder is None else crank_angle_of(cylinder, fact.angle)
    same = state.since is not None and crank == state.stood_at
    return replace(
        state,
        since=state.since if same else number,
        stood_at=crank,
        place=Place(number, fact, looked),
        places={**state.places, number: fact.valves},
        doubted=None,
        signs=(),
        crank=crank,
        turned=False,
    )


def signed(state: State, fact: SignSeen) -> State:
    """What speaks against a position stops the bench; after the look the crank stands past it."""
    cylinder = state.opened.sheet.layout.cylinder(fact.cylinder)
    others = tuple(s for s in state.signs if s.cylinder != fact.cylinder)
    mine = tuple(s for s in state.signs if s.cylinder == fact.cylinder)
    if fact.sign is Sign.STAYS:
        past = None if cylinder is None else crank_angle_of(cylinder, LOOK)
        return replace(
            state,
            place=None,
            since=None,
            doubted=None,
            signs=(*others, fact),
            crank=past,
            turned=False,
        )
    past = None
    if fact.sign is not Sign.TIGHT and cylinder is not None:
        on = LOOK if fact.sign is Sign.OPENS else 0
        past = crank_angle_of(cylinder, OVERLAP_TDC + on)
    signs = (*others, *(s for s in mine if s.sign is not Sign.STAYS), fact)
    return replace(
        displaced(state),
        place=None,
        doubted=fact.cylinder,
        signs=signs,
        crank=past,
        turned=False,
    )


def turned_on(state: State, degrees: Fraction) -> State:
    """What was seen against the old position goes with it; what was read there still counts."""
    known = state.crank
    return replace(
        state,
        place=None,
        since=None,
        signs=tuple(s for s in state.signs if not s.sign.against),
        crank=None if known is None else wrapped(known + degrees),
        turned=known is not None,
    )


def lost(state: State, *, moved: bool) -> State:
    """Nobody knows where the crank stands.

    A look past the mark tells nothing of the mark that comes next once the crank may have moved;
    what was seen against the position goes with it only where it surely has, and only then are
    the readings taken there out of reach of a doubt.
    """
    since = None if moved else state.since
    signs = () if moved else tuple(s for s in state.signs if s.sign.against)
    return replace(
        state, place=None, since=since, signs=signs, crank=None, turned=False, repeat=None
    )
