"""What the bench shows: the step in hand in tall letters and a sentence, or the blade taken instead."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from benchtui.domain.blades import Feeler
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import Purpose, TryBlade
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.sheet import Valve
from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.stamped import blade_both, inch_set, label, tall_figures
from benchtui.text.words.steps import sentence
from benchtui.text.words.told import Told, feeler_of
from benchtui.text.words.valve_words import aside_of, verdict_words, view_because
from benchtui.tui.present_step import big_step
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role


@dataclass(frozen=True, slots=True)
class InHand:
    """What the program says, and the blade taken instead, ``typed`` where it was typed."""

    told: Told
    chosen: Feeler | None = None
    typed: str = ""

    @property
    def feeler(self) -> Feeler | None:
        """The blade chosen, else the one that the step wants tried."""
        return self.chosen if self.chosen is not None else feeler_of(self.told.step)


def to_do(hand: InHand) -> tuple[Big, str]:
    """The one thing to do now, in tall letters and in a sentence with its key."""
    if hand.chosen is not None:
        return _chosen(hand.chosen, hand.typed, inch=hand.told.inch)
    return big_step(hand.told), _alone(hand.told)


def _alone(told: Told) -> str:
    """The sentence without what the answers make of the valve: that stands at their keys."""
    # Before a lock the sentence itself says what the answers are for.
    if (
        isinstance(told.step, TryBlade)
        and told.step.leads is not None
        and told.step.purpose is not Purpose.BEFORE_LOCK
    ):
        alone = sentence(replace(told.step, leads=None), inch=told.inch)
        return f"{told.first} {alone}".strip()
    return told.sentence


_ONE_TYPED = re.compile(r"\s*([\d.,]+)\s*([a-z]+)\s*", re.IGNORECASE)


def _chosen(feeler: Feeler, typed: str, *, inch: bool) -> tuple[Big, str]:
    """The blade as it was typed, where its unit was typed too."""
    found = _ONE_TYPED.fullmatch(typed)
    if found is None or found[2].lower() == "mm":
        return big_blade(feeler, inch=inch), f"Your own choice: {blade_both(feeler, inch=inch)}"
    big = Big(found[1], Role.NEXT, small=typed, unit=found[2], aside=str(feeler))
    return big, f"Your own choice: {typed.strip()} ({feeler})"


def big_name(valve: str) -> Big:
    """A valve's name; ``2I-left`` may be broken at its dash."""
    name = inert(valve).upper()
    kind, dash, side = name.partition("-")
    return Big(name, small=name, rows=(f"{kind}-", side) if dash and side else ())


def big_blade(feeler: Feeler, *, inch: bool) -> Big:
    """A blade or stack in tall figures as stamped, with its unit; a stack may be broken in two."""
    figures, unit = tall_figures(feeler, inch=inch)
    whole = "+".join(figures)
    rows = ("+".join(figures[:-1]) + "+", figures[-1]) if len(figures) > 1 else ()
    aside = str(feeler) if unit == "in" else ""
    return Big(whole, Role.NEXT, small=f"try {whole} {unit}", rows=rows, unit=unit, aside=aside)


def last_time(state: State, valve: Valve) -> str:
    """What it is, and its gap last time: ``inlet. Last time left 0.15 to 0.20``."""
    here = f"{valve.kind.value}."
    left = next((x for x in state.opened.left_last if x.valve == valve.name), None)
    if left is None:
        return here
    inch = inch_set(state.opened.blades)
    low = label(left.low, inch=inch)
    gap = f"{low} goes" if left.high is None else f"{low} to {label(left.high, inch=inch)}"
    return f"{here} Last time left {gap}"


def step_and_why(state: State, view: ValveView, hand: InHand) -> tuple[Big, str, str]:
    """The step in tall letters and in a sentence, and why: the verdict and what is doubtful."""
    big, first = to_do(hand)
    why = view_because(view, hand.told, aside_of(state, view))
    # A verdict by one's own feel is said to be that, whatever else there is no room for.
    told = f"{verdict_words(view.verdict)}: " if view.verdict.by_feel else ""
    return big, first, f"{told}{why}"


_MORE = " ... Y: all of it."


def within(text: str, width: int, rows: int) -> str:
    """``text`` as far as so many rows hold it; where it goes on, which key tells the rest."""
    if len(wrap(text, width)) <= rows:
        return text
    kept = text.split(" ")
    while kept and len(wrap(" ".join(kept) + _MORE, width)) > max(1, rows):
        kept.pop()
    return " ".join(kept) + _MORE
