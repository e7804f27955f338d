"""The sentences of the crank screen: where to turn, what came of a doubt, why each valve."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, degrees, from_dead_centre
from benchtui.domain.crank.plan import Stop
from benchtui.domain.crank.windows import Authority, permissions
from benchtui.domain.crank.words import (
    companion_words,
    decompressor_words,
    look_words,
    rule_of_nine,
    stop_words,
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
from benchtui.domain.session.whole.next_stop import Ahead, stops_ahead
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.text.words.stamped import inch_set, printed

AUTHORITIES = {
    Authority.PRINTED: "the manual's own table, which outranks the timing",
    Authority.GEOMETRY: "the valve timing in the sheet; no table is printed",
    Authority.COMPRESSION_ONLY: "compression TDC only, since no valve timing is given",
}


def place_tall(stop: Stop | PositionConfirmed) -> tuple[str, str]:
    """The one name of a place in tall letters, in two rows: ``CYL 1``, ``COMPRESSION``."""
    named = {Fraction(0): "COMPRESSION", OVERLAP_TDC: "OVERLAP"}
    return f"CYL {stop.cylinder}", named.get(stop.angle, f"+{degrees(stop.angle)}")


def listed(names: tuple[str, ...]) -> str:
    """``1I, 1E and 2I``."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def place_words(stop: Stop) -> str:
    """``compression TDC``, ``overlap TDC``, ``45 after compression TDC``."""
    return from_dead_centre(stop.angle)


def way_words(state: State, ahead: Ahead) -> list[str]:
    """How to get to a stop, and what may be touched there."""
    stop, sheet = ahead.stop, state.opened.sheet
    touch = f"You may check {listed(stop.valves)} here, by {AUTHORITIES[stop.authority]}."
    lifter = [w for w in (decompressor_words(sheet.layout),) if w]
    if ahead.here:
        return [f"At {stop.at}: {stop.mark}.", touch, *_left_alone(stop), *lifter]
    if stop.angle == 0 and ahead.forward is None:
        lever = sheet.layout.decompressor
        first = [f"Decompressor: {lever}."] if lever else []
        return [touch, *first, *_left_alone(stop), to_compression(sheet, stop.cylinder)]
    there = stop_words(replace(stop, forward=ahead.forward))
    told = [] if ahead.forward is None else ["Space: say the turn made."]
    return [there, *told, touch, *lifter]


def next_words(stops: tuple[Ahead, ...], stop: Stop) -> str:
    """What comes after this stop; empty where it is the only one."""
    if len(stops) == 1:
        return ""
    order = sorted(stops, key=lambda a: (a.stop.crank_angle - stop.crank_angle) % (2 * OVERLAP_TDC))
    after = order[1].stop
    far = (after.crank_angle - stop.crank_angle) % (2 * OVERLAP_TDC)
    return f"Then {after.at}, {degrees(far)} on"


def doubt_words(state: State, doubted: str) -> list[str]:
    """What the signs seen at a doubted cylinder come to, and the way out."""
    sheet = state.opened.sheet
    found = finding(state, doubted)
    lever = sheet.layout.decompressor
    first = [f"Decompressor: {lever}."] if lever else []
    if found is not None:
        return [*first, f"Looks like: {found.looks.value}. {found.because}", found.next_step]
    return [w for w in (look_words(sheet, doubted), to_compression(sheet, doubted)) if w]


def reason_words(state: State, stop: Stop) -> list[str]:
    """Why each valve may be measured at a stop or not; then the rules that some know by heart."""
    sheet = state.opened.sheet
    own = set(stop.valves)
    yes = [f"► {p.reason}" + (f". {p.doubt}" if p.doubt else "") for p in stop.permissions]
    others = [p for p in permissions(sheet, stop.crank_angle) if p.valve not in own]
    waiting = [f"  {p.reason}" + ("; it has its own stop" if p.allowed else "") for p in others]
    paragraphs = [
        f"At {stop.at}, by {AUTHORITIES[stop.authority]}:",
        "\n".join(yes),
    ]
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
                return f"This should be {nearest.stop.at}: {nearest.stop.mark}. Confirm it."
            return f"{degrees(nearest.forward)} degrees on to {nearest.stop.at}."
        case AfterStepDone(AfterStep.TURNED_OVER):
            spot = riskiest(state)
            if spot is None:
                return ""
            inch = inch_set(state.opened.blades)
            wanted, why = (printed(t, inch=inch) for t in (spot.wanted, spot.why))
            return f"Spot-check {spot.valve}: {wanted}; {why}."
        case _:
            return ""


def _left_alone(stop: Stop) -> list[str]:
    if not stop.rocking:
        return []
    plural = "s" if len(stop.rocking) > 1 else ""
    return [f"Leave cylinder{plural} {' and '.join(stop.rocking)} alone: in overlap."]
