"""Where a valve was left, and how far apart one hand's own readings lie, in sentences."""

from __future__ import annotations

from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.session.facts.events import LeftLast
from benchtui.domain.session.valve.blind_repeat import Repeated
from benchtui.text.quantities.show import figure, length
from benchtui.text.words.bracket_words import bracket_words


def repeated_sentence(told: Repeated) -> str:
    """``Blind repeat: 0.06 to 0.10, then 0.07 to 0.10; ...``: one's own spread."""
    order = ", then ".join(bracket_words(b) for b in told.brackets)
    spread = told.spread
    if spread.least:
        apart = f"your readings lie at least {length(spread.least)} apart"
        most = "" if spread.most is None else f", at most {length(spread.most)}"
    else:
        apart = "no spread that these blades can see"
        most = "" if spread.most is None else f"; it is at most {length(spread.most)}"
    return f"Blind repeat: {order}: {apart}{most}."


def left_sentence(last: LeftLast) -> str:
    """Where it was left last time, and how far past checks let one expect it to have moved."""
    if last.high is None:
        return f"Left over {length(last.low)} last time."
    left = f"Left {figure(last.low)} to {length(last.high)} last time"
    moved = ""
    if last.drift_low is not None and last.drift_high is not None:
        low, high = figure(last.drift_low, signed=True), figure(last.drift_high, signed=True)
        moved = f", moved {low} to {high} since as past checks have it"
    return f"{left}{moved}."


def feel_words(band: FeelBand) -> str:
    """``drag from -0.004 to +0.010 mm (gap less blade)``, the outermost ends."""
    low, high = figure(band.floor, signed=True), figure(band.ceiling, signed=True)
    return f"drag from {low} to {high} mm (gap less blade)"
