"""What the bench says in tall letters, and what it asks for first."""

from __future__ import annotations

from benchtui.domain.blades import Feeler
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.metal import temperature_fault
from benchtui.domain.session.state import State
from benchtui.text.show import degrees
from benchtui.tui.present import blade_words
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role

ASKED = {
    "BAND?": "0, then 5: name your own band; the sheet prints one figure without tolerance.",
    "COLD?": "0, then 1: take the metal's temperature; no verdict is given without it.",
}


def lacking(state: State, view: ValveView) -> str:
    """What must be told before any blade can be judged, in a tall word; empty for nothing."""
    if view.setting is None:
        return "BAND?"
    metal = state.particulars.metal_c
    return "COLD?" if temperature_fault(state.opened.sheet.clearances, metal) else ""


def big_step(state: State, view: ValveView, feeler: Feeler | None) -> Big:
    """What to do now, to be read from afar: the blade to try, the turn to make, or nothing more."""
    wanted = lacking(state, view)
    if wanted:
        return Big(wanted, Role.CAUTION)
    if feeler is not None:
        words = blade_words(feeler.marks)
        return Big(words, Role.NEXT, small=f"try {words}")
    if view.turn is not None:
        words = f"{view.turn.way.value.upper()} {degrees(view.turn.degrees)}"
        return Big(words, Role.OUT, small=f"turn it {words} degrees")
    place = state.place
    if place is None or view.valve.name not in place.confirmed.valves:
        return Big("OK", Role.IN) if view.done else Big("CRANK?", Role.CAUTION)
    return Big("OK", Role.IN) if view.done else Big("---", Role.FAINT)
