"""The sentences of the crank screen: where to turn, what came of a doubt, why each valve."""

from __future__ import annotations

from benchtui.domain.crank.angles import ONE_TURN, OVERLAP_TDC, degrees, wrapped
from benchtui.domain.crank.plan import Stop, place_name
from benchtui.domain.crank.windows import Authority, permissions
from benchtui.domain.crank.words import (
    companion_words,
    decompressor_words,
    look_words,
    rule_of_nine,
    to_compression,
)
from benchtui.domain.session.evidence.position import finding
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    CrankTurned,
    PositionConfirmed,
    PositionDoubted,
    SignSeen,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.next_stop import StopAhead, plan_of, settled, stops_ahead
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.domain.sheet import Sheet, ValveKind
from benchtui.text.words.stamped import inch_set, printed

THEN = "Then:"
"""How the last line of the way begins: what comes after this stop."""

AUTHORITIES = {
    Authority.PRINTED: "the manual's own table, which outranks the timing",
    Authority.GEOMETRY: "the valve timing in the sheet; no table is printed",
    Authority.COMPRESSION_ONLY: "compression TDC only, since no valve timing is given",
}


def place_tall(stop: Stop | PositionConfirmed) -> tuple[str, str]:
    """The one name of a place in tall letters, in two rows: ``CYL 1``, ``COMPRESSION``."""
    return f"CYL {stop.cylinder}", place_name(stop.angle)


def place_told(confirmed: PositionConfirmed) -> str:
    """The same in a sentence, on a card and in a past session: ``CYL 1 COMPRESSION``."""
    return " ".join(place_tall(confirmed))


def listed(names: tuple[str, ...]) -> str:
    """``1I, 1E and 2I``."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def stop_title(state: State, ahead: StopAhead) -> str:
    """``stop 1 of 2``, in the plan's order; empty where the plan has one."""
    stops = plan_of(state).stops
    return f"stop {stops.index(ahead.stop) + 1} of {len(stops)}" if len(stops) > 1 else ""


def way_words(state: State, ahead: StopAhead) -> list[str]:
    """How to get to a stop, what may be measured there, and what comes after it."""
    stop, sheet = ahead.stop, state.opened.sheet
    lines = [_way(state, ahead), f"Check here: {' '.join(stop.valves)} ({_BY[stop.authority]})."]
    if stop.rocking:
        rock, them = ("rock", "them") if len(stop.rocking) > 1 else ("rocks", "it")
        lines.append(f"Cylinder {listed(stop.rocking)} {rock} there: leave {them} alone.")
    lines += [p.doubt for p in stop.permissions if p.doubt]
    if sheet.layout.decompressor:
        lines.insert(0, f"Decompressor: {sheet.layout.decompressor}.")
    then = _then(state, stop)
    return [*lines, *([then] if then else [])]


def _way(state: State, ahead: StopAhead) -> str:
    stop, sheet = ahead.stop, state.opened.sheet
    turns = sheet.layout.turns
    way = f"{turns[:1].upper()}{turns[1:]}. " if turns else ""
    if ahead.here:
        return f"It should stand here: {stop.mark}."
    if ahead.forward is not None:
        told = "Space: say the turn made."
        return f"{degrees(ahead.forward)} degrees on, forward, to: {stop.mark}. {told}"
    if stop.angle == 0:
        inlets = inlets_of(sheet, stop.cylinder)
        it, opens, closes = (
            ("it", "opens", "closes") if len(inlets) == 1 else ("they", "open", "close")
        )
        watched = listed(inlets) if inlets else "its inlet valve"
        return f"{way}Watch {watched}: {it} {opens}, then {closes}; next comes: {stop.mark}."
    own = " Its valves rock here." if stop.angle == OVERLAP_TDC else ""
    return f"{way}Forward to: {stop.mark}.{own}"


_BY = {
    Authority.PRINTED: "the sheet's own table",
    Authority.GEOMETRY: "by the valve timing",
    Authority.COMPRESSION_ONLY: "no timing is given",
}


def inlets_of(sheet: Sheet, cylinder: str) -> tuple[str, ...]:
    """The inlet valves of a cylinder."""
    valves = sheet.layout.valves
    return tuple(v.name for v in valves if v.cylinder == cylinder and v.kind is ValveKind.INLET)


def _then(state: State, stop: Stop) -> str:
    """Which stop with work left comes after this one; empty where there is none."""
    left = [s for s in plan_of(state).stops if s != stop and not settled(state, s)]
    if not left:
        return ""
    far = {s.name: wrapped(s.crank_angle - stop.crank_angle) for s in left}
    name = min(far, key=lambda n: far[n])
    return f"{THEN} {name}, {'one turn' if far[name] == ONE_TURN else degrees(far[name])} on."


def doubt_words(state: State, doubted: str) -> list[str]:
    """What the signs seen at a doubted cylinder come to, and the way out."""
    sheet = state.opened.sheet
    found = finding(state, doubted)
    lever = sheet.layout.decompressor
    first = [f"Decompressor: {lever}."] if lever else []
    if found is not None:
        # The lever is named first; all that it may do is told by the reasons.
        way_out = found.next_step.replace(decompressor_words(sheet.layout), "").strip()
        return [*first, f"Looks like: {found.looks.value}. {found.because}", way_out]
    return [w for w in (look_words(sheet, doubted), to_compression(sheet, doubted)) if w]


def reason_words(state: State, stop: Stop) -> list[str]:
    """Why each valve may be measured at a stop or not; then the rules that some know by heart."""
    sheet = state.opened.sheet
    own = set(stop.valves)
    yes = [f"► {p.reason}" + (f". {p.doubt}" if p.doubt else "") for p in stop.permissions]
    others = [p for p in permissions(sheet, stop.crank_angle) if p.valve not in own]
    waiting = [f"  {p.reason}" + ("; it has its own stop" if p.allowed else "") for p in others]
    paragraphs = [f"At {stop.name}, by {AUTHORITIES[stop.authority]}:", "\n".join(yes)]
    if waiting:
        paragraphs.append("Not here:\n" + "\n".join(waiting))
    rules = (companion_words(sheet.layout), rule_of_nine(sheet), decompressor_words(sheet.layout))
    return [*paragraphs, *(rule for rule in rules if rule)]


def step_words(state: State, step: object) -> str:
    """What came of a step at the crank, or of turning the engine over; empty for any other."""
    match step:
        case ConfirmPosition() if state.place is not None:
            placed = state.place.confirmed
            return f"You may check {listed(placed.valves)} here, by {placed.why}."
        case PositionDoubted(cylinder) | SignSeen(cylinder):
            return " ".join(doubt_words(state, cylinder))
        case CrankTurned():
            nearest = stops_ahead(state)[0]
            if nearest.forward is None:
                return "Where the crank stands is not known: confirm it."
            if nearest.here:
                return f"This should be {nearest.stop.name}: {nearest.stop.mark}. Confirm it."
            return f"{degrees(nearest.forward)} degrees on to {nearest.stop.name}."
        case AfterStepDone(AfterStep.TURNED_OVER):
            spot = riskiest(state)
            if spot is None:
                return ""
            inch = inch_set(state.opened.blades)
            wanted, why = (printed(t, inch=inch) for t in (spot.wanted, spot.why))
            return f"Spot-check {spot.valve}: {wanted}; {why}."
        case _:
            return ""
