"""The crank: positions confirmed, signs seen, turns made; each step's check, then what it does."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, crank_angle_of, wrapped
from benchtui.domain.crank.windows import stop_valves
from benchtui.domain.crank.words import LOOK
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.cams import steps_left
from benchtui.domain.session.evidence.counting import valve_of
from benchtui.domain.session.evidence.position import check_evidence, seen_rocking
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import PositionConfirmed, Sign, SignSeen
from benchtui.domain.session.facts.state import Place, State
from benchtui.domain.session.steps.nuts import check_nuts
from benchtui.domain.session.steps.readings import displaced, each_taken_of
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
        known = tuple(c.name for c in layout.cylinders)
        raise Refusal(Why.NO_CYLINDER, cylinder=name, known=known)


def confirmed(state: State, command: ConfirmPosition) -> PositionConfirmed:
    """The position that this evidence confirms, and the valves that may be measured there.

    Raises:
        Refusal: no such cylinder, too little evidence or evidence against it, or a position in
            which no valve may be measured.
    """
    check_cylinder(state, command.cylinder)
    pieces = tuple(dict.fromkeys(command.evidence))
    if len(pieces) < PIECES_WANTED:
        raise Refusal(Why.ONE_PIECE)
    check_evidence(state, command.cylinder, command.angle, pieces)
    rocking = seen_rocking(state, command.cylinder, pieces)
    permissions = tuple(
        p
        for p in stop_valves(
            state.opened.sheet, command.cylinder, command.angle, fewest=state.opened.fewest
        )
        if valve_of(state.opened.sheet, p.valve).cylinder not in rocking
    )
    if not permissions:
        raise Refusal(Why.NO_VALVE_HERE)
    return PositionConfirmed(
        command.cylinder,
        command.angle,
        pieces,
        tuple(p.valve for p in permissions),
        permissions[0].authority.value,
    )


def after_confirming(state: State, number: int, fact: PositionConfirmed) -> State:
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


def check_sign(state: State, fact: SignSeen) -> None:
    """Whether this can have been seen at this cylinder.

    Raises:
        Refusal: no such cylinder, or a valve that is not its own.
    """
    check_cylinder(state, fact.cylinder)
    for name in fact.valves:
        if valve_of(state.opened.sheet, name).cylinder != fact.cylinder:
            raise Refusal(Why.NOT_OF_CYLINDER, valve=name, cylinder=fact.cylinder)


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
    if _held_by_decompressor(state, fact):
        return _without(state, fact)
    past = None
    if fact.sign is not Sign.TIGHT and cylinder is not None:
        on = LOOK if fact.sign is Sign.OPENS else 0
        past = crank_angle_of(cylinder, OVERLAP_TDC + on)
    signs = (*others, *(s for s in mine if s.sign is not Sign.STAYS), fact)
    return replace(
        displaced(state), place=None, doubted=fact.cylinder, signs=signs, crank=past, turned=False
    )


def _held_by_decompressor(state: State, fact: SignSeen) -> bool:
    """Whether one valve without clearance may be the decompressor's doing, the others being loose."""
    layout, place = state.opened.sheet.layout, state.place
    if not layout.decompressor or fact.sign is not Sign.TIGHT or place is None:
        return False
    others = set(place.confirmed.valves) - set(fact.valves)
    return place.confirmed.cylinder == fact.cylinder and bool(fact.valves) and bool(others)


def _without(state: State, fact: SignSeen) -> State:
    """The position holds for the other valves; what was read at the one held counts no more."""
    assert state.place is not None
    confirmed, number = state.place.confirmed, state.place.number
    left = tuple(v for v in confirmed.valves if v not in fact.valves)
    after = each_taken_of(
        state, fact.valves, lambda t: replace(t, place=None) if t.place == number else t
    )
    return replace(
        after,
        place=replace(state.place, confirmed=replace(confirmed, valves=left)),
        signs=(*state.signs, fact),
    )


def check_cams_in(state: State) -> None:
    """Whether the crank may be turned at all.

    Raises:
        Refusal: the cams are out, or not back in whole.
    """
    if left := steps_left(state):
        raise Refusal(Why.CAMS_OUT, left=tuple(step.value for step in left))


def check_crank_turn(state: State, degrees: Fraction) -> None:
    """Whether the crank may be turned forward by so many degrees.

    Raises:
        Refusal: backwards, further than anybody counts, or a locknut is slack.
    """
    if not 0 < degrees <= MOST_TURNED:
        raise Refusal(Why.CRANK_SIZE, most_turned=MOST_TURNED, degrees=degrees)
    check_nuts(state)


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
