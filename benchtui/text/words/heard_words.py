"""What is said at once of a reading that does not count."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.heard import Heard, HeardWhy
from benchtui.text.words.valve_words import FORCED


def heard_words(state: State, valve: str, heard: Heard) -> str:
    """Why the reading just taken at ``valve`` does not count, or by what it does; else empty."""
    metal = state.particulars.metal_c
    told = "" if metal is None else f"{float(round(metal, 1)):g} C, "
    match heard.why:
        case None | HeardWhy.BLIND:
            return ""
        case HeardWhy.FORCED:
            return FORCED
        case HeardWhy.CRANK_NOT_CONFIRMED:
            return "Noted, does not count: the crank is not confirmed."
        case HeardWhy.OTHER_STOP:
            return f"Noted, does not count: the crank is at {heard.stands_at}, not for {valve}."
        case HeardWhy.TOO_WARM:
            return f"Noted, does not count: {told}too warm."
        case HeardWhy.TOO_COOL:
            return f"Noted, does not count: {told}too cool."
        case HeardWhy.METAL_NOT_TOLD:
            return "Noted; it counts once the metal's temperature is told."
        case HeardWhy.CAMS_OUT:
            return "Noted, does not count: the cams are out."
