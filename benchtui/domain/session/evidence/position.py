"""The overlap guard: what was seen at the crank, weighed before a position counts.

The weighing is that of ``crank.overlap``; here the session's facts are put before it.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchtui.domain.crank.angles import (
    HALF_TURN,
    ONE_TURN,
    crank_angle_of,
    cylinder_angle,
    standing,
    wrapped,
)
from benchtui.domain.crank.other_stops import judge_stop
from benchtui.domain.crank.overlap import LooksLike, OverlapFinding, SeenAtMark, SeenPast, judge
from benchtui.domain.crank.windows import named_cylinder
from benchtui.domain.crank.words import companion_of, to_compression
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.remembering import replace
from benchtui.domain.session.facts.events import Evidence, Sign
from benchtui.domain.session.facts.state import State
from benchtui.domain.sheet import FULL_CYCLE

NEAR_ENOUGH = Fraction(30)
"""A turn made by hand may be told so far out, in degrees, and still fit a mark (design value)."""


def seen_of(state: State, cylinder: str, evidence: Iterable[Evidence] = ()) -> SeenAtMark:
    """Everything seen at a cylinder since its position was last sure, with fresh ``evidence``.

    Whoever saw the inlet open and close has come round since, so what was seen against the old
    position goes; so it does where the look has shown overlap, for the crank is past the mark then.
    """
    layout = state.opened.sheet.layout
    every = frozenset(v.name for v in layout.valves if v.cylinder == cylinder)
    fresh = frozenset(evidence)
    signs = [s for s in state.signs if s.cylinder == cylinder]
    kinds = {s.sign for s in signs}
    if fresh and (Evidence.INLET in fresh or Sign.OPENS in kinds):
        # What was seen after the look is none of the old position's.
        looks = [n for n, s in enumerate(signs) if s.sign is Sign.OPENS]
        kept = len(signs) if Evidence.INLET in fresh else looks[-1] + 1
        signs = [s for n, s in enumerate(signs) if n >= kept or not s.sign.against]
        kinds = {s.sign for s in signs}
    tight: frozenset[str] = frozenset()
    moving: frozenset[str] = every if Evidence.ROCKS in fresh else frozenset()
    loose = any(e.felt_loose for e in fresh)
    if loose and layout.decompressor:
        # Released since: what is felt now outranks what was felt while it held the valve.
        signs = [s for s in signs if s.sign is not Sign.TIGHT]
    for sign in signs:
        told = frozenset(sign.valves) or every
        tight |= told if sign.sign is Sign.TIGHT else frozenset()
        moving |= told if sign.sign is Sign.MOVES else frozenset()
    looked = Sign.STAYS in kinds
    look = SeenPast.INLET_OPENS if Sign.OPENS in kinds else None
    return SeenAtMark(
        at_mark=Evidence.MARK in fresh,
        slack=every if loose else frozenset(),
        no_slack=tight,
        moving=moving,
        still=every if Evidence.STILL in fresh else frozenset(),
        inlet_closed_before=True
        if Evidence.INLET in fresh
        else (False if Sign.OPEN in kinds else None),
        look=SeenPast.ALL_STILL if looked and not fresh else look,
        looked=looked and bool(fresh),
        lobes_away=Evidence.LOBES in fresh,
        companion=companion_of(state.opened.sheet, cylinder) if Evidence.COMPANION in fresh else "",
    )


def finding(state: State, cylinder: str) -> OverlapFinding | None:
    """What the signs seen at a cylinder come to; None where there are none.

    Raises:
        Refusal: the sheet has no such cylinder.
    """
    if not any(s.cylinder == cylinder for s in state.signs):
        return None
    # Signs are looked for with the mark in place.
    seen = replace(seen_of(state, cylinder), at_mark=True)
    return judge(state.opened.sheet, cylinder, seen)


def check_evidence(
    state: State, cylinder: str, angle: Fraction, evidence: tuple[Evidence, ...]
) -> None:
    """Whether this evidence may confirm that the cylinder stands ``angle`` after compression TDC.

    Raises:
        Refusal: something seen, or the turn made, speaks against it; or, at a stop that is no
            compression TDC, the evidence does not show it.
    """
    sheet = state.opened.sheet
    _check_turn(state, cylinder, angle)
    _check_kind(state, cylinder, evidence)
    seen = seen_of(state, cylinder, evidence)
    if wrapped(angle) != 0:
        made = Evidence.TURNED in evidence and _turned_to(state, cylinder, angle)
        found = judge_stop(sheet, cylinder, angle, seen, turn_made=made)
        if not found.measure:
            raise Refusal(Why.EVIDENCE_AGAINST, because=found.because, instead=found.next_step)
        return
    found = judge(sheet, cylinder, seen)
    if found.looks in (LooksLike.OVERLAP, LooksLike.CONTRADICTORY):
        raise Refusal(Why.EVIDENCE_AGAINST, because=found.because, instead=found.next_step)
    if seen.no_slack and not found.measure:
        raise Refusal(Why.EVIDENCE_AGAINST, because=found.because, instead=found.next_step)
    if Evidence.TURNED in evidence and not _turned_to(state, cylinder, angle):
        raise Refusal(Why.NO_TURN_LEADS_HERE)


def looked_past(state: State, cylinder: str) -> bool:
    """Whether the look past the mark found no valve moving, since the crank was last confirmed."""
    return any(s.cylinder == cylinder and s.sign is Sign.STAYS for s in state.signs)


def seen_rocking(state: State, cylinder: str, evidence: Iterable[Evidence] = ()) -> frozenset[str]:
    """The cylinders seen to rock since the crank last moved; ``evidence`` is fresh, of ``cylinder``.

    None of their valves may be measured, whatever timing or table say.
    """
    fresh = frozenset(evidence)
    rock = {s.cylinder for s in state.signs if s.sign in (Sign.MOVES, Sign.OPENS)}
    if state.place is not None and Evidence.ROCKS in state.place.confirmed.evidence:
        rock.add(state.place.confirmed.cylinder)
    if fresh & {Evidence.INLET, Evidence.TURNED}:  # the crank has come round since
        rock.clear()
    rock.discard(cylinder)  # what was seen there is weighed by ``check_evidence``
    if Evidence.ROCKS in fresh:
        rock.add(cylinder)
    if Evidence.COMPANION in fresh:
        rock.add(companion_of(state.opened.sheet, cylinder))
    return frozenset(rock)


def _check_kind(state: State, cylinder: str, evidence: tuple[Evidence, ...]) -> None:
    """Evidence that can tell nothing here is refused, so that nobody is led round for it."""
    if Evidence.COMPANION in evidence and not companion_of(state.opened.sheet, cylinder):
        raise Refusal(Why.NO_COMPANION, cylinder=cylinder)
    if looked_past(state, cylinder) and any(e.felt_loose for e in evidence):
        raise Refusal(Why.FELT_TELLS_NOTHING)


def stroke_is_sure(state: State, tight: str) -> bool:
    """Whether the position holds although the valve ``tight`` has no slack to show for it.

    Away from compression TDC the valves must have been seen to rock; there, two signs of
    compression besides the mark are wanted.
    """
    if state.place is None:
        return False
    placed = state.place.confirmed
    evidence = frozenset(placed.evidence)
    if placed.angle != 0:
        return Evidence.ROCKS in evidence
    found = _tight_here(state, tight)
    return found is not None and found.measure


def what_to_do(state: State, tight: str) -> str:
    """What to do about a valve without slack in the position confirmed; empty where none is."""
    found = _tight_here(state, tight)
    if found is not None:
        return found.next_step
    if state.place is None:
        return ""
    return to_compression(state.opened.sheet, state.place.confirmed.cylinder)


def _tight_here(state: State, tight: str) -> OverlapFinding | None:
    """A blade that does not go outranks the slack that was felt."""
    if state.place is None or state.place.confirmed.angle != 0:
        return None
    placed = state.place.confirmed
    sheet = state.opened.sheet
    every = frozenset(v.name for v in named_cylinder(sheet, placed.cylinder).valves)
    seen = SeenAtMark(
        at_mark=True,
        slack=every - {tight} if any(e.felt_loose for e in placed.evidence) else frozenset(),
        no_slack=frozenset({tight}),
        still=every if Evidence.STILL in placed.evidence else frozenset(),
        inlet_closed_before=True if Evidence.INLET in placed.evidence else None,
        looked=state.place.looked,
        lobes_away=Evidence.LOBES in placed.evidence,
        companion=companion_of(sheet, placed.cylinder)
        if Evidence.COMPANION in placed.evidence
        else "",
    )
    return judge(sheet, placed.cylinder, seen)


def _turned_to(state: State, cylinder: str, angle: Fraction) -> bool:
    wanted = crank_angle_of(named_cylinder(state.opened.sheet, cylinder), angle)
    return state.turned and state.crank == wanted


def off_by(state: State, cylinder: str, angle: Fraction = Fraction(0)) -> Fraction | None:
    """How far forward the place wanted still is, by the turns made; 0 <= x < 720.

    None where nobody knows where the crank stands.
    """
    if state.crank is None:
        return None
    wanted = crank_angle_of(named_cylinder(state.opened.sheet, cylinder), angle)
    return wrapped(wanted - state.crank)


def _check_turn(state: State, cylinder: str, angle: Fraction) -> None:
    ahead = off_by(state, cylinder, angle)
    if ahead is None or not state.turned or state.crank is None:
        return
    short = min(ahead, FULL_CYCLE - ahead)
    if short <= NEAR_ENOUGH:
        return
    sheet = state.opened.sheet
    now = standing(cylinder_angle(named_cylinder(sheet, cylinder), state.crank))
    one_out = abs(ahead - ONE_TURN) < HALF_TURN / 2
    why = Why.ONE_TURN_OUT if one_out else Why.NOT_BY_THE_TURN
    raise Refusal(why, cylinder=cylinder, stands=now, ahead=ahead)
