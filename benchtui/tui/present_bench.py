"""What to do now at a valve: in tall letters, and in a sentence that says the same."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from textwrap import wrap

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.session.evidence.cams import cams_back
from benchtui.domain.session.evidence.counting import no_slack, slack_unseen, thinnest_leaf
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import next_blind
from benchtui.domain.session.valve.next_blade import Advice
from benchtui.text.quantities.show import degrees, inert
from benchtui.text.words.stamped import blade_both, inch_set, inch_words, tall_figures, told
from benchtui.text.words.valve_words import aside_of, turn_words, verdict_words, view_message
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role

ASKED = {
    "BAND?": "0, then 5: name your own band; the sheet prints one figure without tolerance.",
    "COLD?": "0, then 1 or 6: tell the metal's temperature, or the hours it stood.",
    "HOT?": "0, then 1 or 7: tell the metal's temperature, or that it is at running heat.",
}

Do = tuple[Big, str]
"""What to do in tall letters, and in a sentence."""


@dataclass(frozen=True, slots=True)
class InHand:
    """What the program advises, and the blade taken instead, ``typed`` where it was typed."""

    advice: Advice
    chosen: Feeler | None = None
    typed: str = ""


def lacking(state: State, view: ValveView) -> str:
    """What must be told before any blade can be judged, in a tall word; empty for nothing."""
    if view.setting is None:
        return "BAND?"
    metal = metal_now(state)
    if metal.right:
        return ""
    return "HOT?" if metal.hot_set else "COLD?"


def feeler_in_hand(view: ValveView, hand: InHand) -> Feeler | None:
    """The blade chosen, else the one advised, else the first one to doubt."""
    if hand.chosen is not None:
        return hand.chosen
    if isinstance(hand.advice, NextBlade):
        return hand.advice.feeler
    return view.clash.doubted.feeler if view.clash is not None else None


def to_do(state: State, view: ValveView, hand: InHand, *, shims: bool = False) -> Do:
    """The one thing to do now; ``shims``: there is a shim to fit, or a reason against it."""
    name, inch = view.valve.name, inch_set(state.opened.blades)
    wanted = lacking(state, view)
    if wanted:
        return Big(wanted, Role.CAUTION), ASKED[wanted]
    if hand.chosen is not None:
        return _chosen(hand.chosen, hand.typed, inch=inch)
    if state.place is None or name not in state.place.confirmed.valves:
        words = f"P: the crank position is not confirmed for {name}."
        return (Big("OK", Role.IN) if view.done else Big("CRANK?", Role.CAUTION)), words
    if view.turn is not None and not isinstance(hand.advice, NextBlade):
        words = f"{view.turn.way.value.upper()} {degrees(view.turn.degrees)}"
        turn = Big(words, Role.OUT, small=f"turn it {words} degrees", rows=tuple(words.split()))
        return replace(turn, unit="deg"), f"Enter: {turn_words(view.turn)}"
    if view.cams_out and not cams_back(state) and not shims:
        words = f"P: with the cams back in, confirm the crank position, and gauge {name} again."
        return Big("CRANK?", Role.CAUTION), words
    if isinstance(hand.advice, NextBlade):
        return big_blade(hand.advice.feeler, inch=inch), _try(state, view, hand.advice, inch=inch)
    if shims:
        return Big("SHIM", Role.OUT), "Enter: the shim to fit."
    return _without_blade(state, view, hand)


def _without_blade(state: State, view: ValveView, hand: InHand) -> Do:
    """No blade is advised, and no turn."""
    if no_slack(state, view.valve.name):
        words = "No screw yet. P, then X: say what 45 degrees on has shown."
        return Big("NO SLACK", Role.CAUTION), words
    feeler = feeler_in_hand(view, hand)
    if feeler is not None:
        inch = inch_set(state.opened.blades)
        return big_blade(feeler, inch=inch), "Wipe it, try this one again."
    if view.done:
        return Big("OK", Role.IN), ""
    if view.slack_nut and hand.advice is None:
        return Big("LOCK IT", Role.CAUTION), "Enter: lock it; then measure it again."
    words = "B: type a borrowed blade. Up and Down: choose one of the set."
    if isinstance(hand.advice, CannotDecide):
        return Big("BORROW", Role.UNDECIDED, small="borrow a blade"), words
    if view.no_turn:
        return Big("NO TURN", Role.CAUTION), words
    return Big("BLADE?", Role.CAUTION), words


def _try(state: State, view: ValveView, advice: NextBlade, *, inch: bool) -> str:
    feeler = advice.feeler
    if feeler.leaves != (thinnest_leaf(state),) and _nothing_goes(state, view):
        blade = blade_both(feeler, inch=inch)
        return f"Try {blade}: nothing has gone in yet, and no screw is touched before a blade goes."
    return f"Try {told(advice.why, feeler, inch=inch)}"


def _nothing_goes(state: State, view: ValveView) -> bool:
    return view.verdict.kind.out and slack_unseen(state, view.valve.name)


_ONE_TYPED = re.compile(r"\s*([\d.,]+)\s*([a-z]+)\s*", re.IGNORECASE)


def _chosen(feeler: Feeler, typed: str, *, inch: bool) -> Do:
    """The blade as it was typed, where its unit was typed too."""
    found = _ONE_TYPED.fullmatch(typed)
    if found is None or found[2].lower() == "mm":
        return big_blade(feeler, inch=inch), f"your own choice: {blade_both(feeler, inch=inch)}"
    big = Big(found[1], Role.NEXT, small=typed, unit=found[2], aside=str(feeler))
    return big, f"your own choice: {typed.strip()} ({feeler})"


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


def blind_do(state: State) -> Do:
    """The same in a blind repeat."""
    advice, inch = next_blind(state), inch_set(state.opened.blades)
    if advice is None:
        return Big("ENOUGH", Role.IN), "Enough: 9 ends the blind repeat."
    return (
        big_blade(advice.feeler, inch=inch),
        f"Try {told(advice.why, advice.feeler, inch=inch)}",
    )


def do_and_why(state: State, view: ValveView, hand: InHand) -> tuple[Big, str, str]:
    """What to do in tall letters and in a sentence, and all that is to be said of the valve."""
    aside = aside_of(state, view, setting=False)
    shims = aside.shim is not None or bool(aside.no_shim)
    big, first = to_do(state, view, hand, shims=shims)
    # One advice only: with a blade to try, why there is no turn would be a second.
    shown = replace(view, no_turn="") if isinstance(hand.advice, NextBlade) else view
    message = view_message(shown, hand.advice, aside)
    if inch_set(state.opened.blades):
        message = inch_words(message)
    return big, first, f"{verdict_words(view.verdict)}: {message}"


_MORE = " ... I: all of it."


def within(text: str, width: int, rows: int) -> str:
    """``text`` as far as so many rows hold it; where it goes on, which key tells the rest."""
    if len(wrap(text, width)) <= rows:
        return text
    kept = text.split(" ")
    while kept and len(wrap(" ".join(kept) + _MORE, width)) > max(1, rows):
        kept.pop()
    return " ".join(kept) + _MORE
