"""What the setting screen says of one adjuster: tall figures, steps in words, the slot, doubts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.adjusting.shims import UNDER_BUCKET
from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.next_blade import Advice, advise
from benchtui.domain.session.valve.shims import ShimPlan, fitted_shim
from benchtui.domain.sheet import AdjusterKind, Rotation
from benchtui.text.quantities.show import bracket_words, degrees, flats
from benchtui.text.words.shim_words import placed_words
from benchtui.text.words.stamped import inch_set, told
from benchtui.text.words.torque_words import locknut, torque_told
from benchtui.text.words.valve_words import (
    Aside,
    no_turn_words,
    turn_spans,
    verdict_words,
)
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.slot import Slot

_PART = {
    AdjusterKind.SCREW: "screw",
    AdjusterKind.PILLAR_NUT: "nut",
    AdjusterKind.ECCENTRIC: "eccentric",
}
_BACK_TO_BENCH = "L: back to the bench."


@dataclass(frozen=True, slots=True)
class Setting:
    """Tall figures, a headline, lines below it, the picture, and doubts to be read first."""

    big: Big
    headline: str
    lines: tuple[str, ...] = ()
    slot: Slot | None = None
    doubts: tuple[str, ...] = ()


def screw_setting(state: State, view: ValveView, aside: Aside) -> Setting:
    """An adjuster that is turned."""
    if view.turn is not None:
        return _to_turn(state, view, view.turn, aside)
    stage = state.valves[view.valve.name].current
    if view.slack_nut:
        if stage.backed_off is not None and not view.readings:
            return _pad_test(view, stage.backed_off)
        return _to_lock(state, view, aside)
    reason, instead = no_turn_words(view)
    lines = [instead] if instead else []
    return Setting(
        Big(f"{_name(view)} NO TURN", Role.UNDECIDED),
        reason,
        (*lines, "", _BACK_TO_BENCH),
        doubts=aside.doubts,
    )


def _to_turn(state: State, view: ValveView, turn: Turn, aside: Aside) -> Setting:
    adjuster = state.opened.sheet.adjuster
    part = _PART.get(adjuster.kind, "adjuster")
    way = f"{turn.way.value.upper()}, " if adjuster.turned else ""
    gap = "closes" if turn.closes else "opens"
    now = bracket_words(view.bracket) if view.readings else ""
    aim = f"Now {now} mm; to be " if now else "To be "
    lines = [*turn_spans(turn)]
    if adjuster.turned:
        lines.append(f"On the nut: {flats(turn.degrees)}.")
    lines.append(f"{aim}{turn.aim}.")
    if turn.small:
        lines.append("Under 8 degrees: less than a hand turns reliably.")
    if view.turn_note:
        lines.append(view.turn_note)
    if view.shift is not None:
        lines.append(f"Aimed off by {-view.shift.middle}: locking is known to take it.")
    steps = [
        *([] if view.slack_nut else [f"Slacken the lock, holding the {part}."]),
        "Turn as shown. Space: turned. E: another turn.",
        _lock_words(state, part),
        "Enter: locked. Then measure again.",
    ]
    lines += ["", *(f"{number}  {step}" for number, step in enumerate(steps, start=1))]
    text = f"{turn.way.value}, {turn.rotation.value}" if adjuster.turned else turn.rotation.value
    big = turn.way.value.upper() if adjuster.turned else "TURN"
    return Setting(
        Big(f"{_name(view)} {big} {degrees(turn.degrees)}", Role.STRONG),
        f"Turn the {part} {way}{turn.rotation.value}: the gap {gap}.",
        tuple(lines),
        Slot(_signed(turn), text=text, nut=adjuster.kind is not AdjusterKind.ECCENTRIC),
        (*aside.doubts, *aside.notes),
    )


def _to_lock(state: State, view: ValveView, aside: Aside) -> Setting:
    done = state.valves[view.valve.name].current.turns
    made = ", then ".join(f"{t.way.value} {degrees(t.degrees)}" for t in done)
    headline = f"Turned {made} degrees; the nut is slack." if made else "The nut is slack."
    part = _PART.get(state.opened.sheet.adjuster.kind, "adjuster")
    advice = advise(state, view)
    lines = [""]
    if view.no_turn:
        return _not_yet(state, view, headline, advice, aside)
    if isinstance(advice, NextBlade):
        lines += [f"L: back to the bench first, and try {_stamped(state, advice)}.", ""]
    lines += [
        f"1  {_lock_words(state, part)}",
        "2  Enter: locked. Then measure again:",
        "   locking moves it, and only a reading tells.",
    ]
    if not isinstance(advice, NextBlade):
        lines += ["", "Or L: back to the bench, to measure before locking."]
    return Setting(
        Big(f"{_name(view)} LOCK IT", Role.CAUTION), headline, tuple(lines), doubts=aside.doubts
    )


def _not_yet(state: State, view: ValveView, headline: str, advice: Advice, aside: Aside) -> Setting:
    """Turned, read, and out of range still: nothing to lock, and no turn to tell."""
    lines = ["", view.no_turn, ""]
    if isinstance(advice, NextBlade):
        lines.append(f"L: back to the bench, and try {_stamped(state, advice)}.")
    else:
        lines.append(_BACK_TO_BENCH)
    big = Big(f"{_name(view)} MEASURE", Role.CAUTION)
    return Setting(big, headline, tuple(lines), doubts=aside.doubts)


def _pad_test(view: ValveView, backed_off: Fraction) -> Setting:
    return Setting(
        Big(f"{_name(view)} MEASURE", Role.CAUTION),
        f"Wound to zero, backed off {degrees(backed_off)} degrees.",
        (
            "L: back to the bench, and measure this valve.",
            "What the blades miss of the gap that the thread made",
            "is a dished pad, or slack in the thread.",
        ),
    )


def shim_setting(state: State, view: ValveView, aside: Aside, plan: ShimPlan | None) -> Setting:
    """A shim to be changed."""
    fitted = fitted_shim(state.valves[view.valve.name])
    lines = [f"In now: {fitted or 'not known. G: enter its size'}."]
    size, (headline, instead) = "---", no_turn_words(view)
    if view.verdict.kind is VerdictKind.IN:
        headline, instead = f"{verdict_words(view.verdict)}: no other shim is called for.", ""
    elif view.unread_after_lock:
        headline, instead = "The shim was changed: measure this valve again.", ""
    if instead and not aside.no_shim:
        lines.append(instead)
    if aside.no_shim:
        headline = aside.no_shim
    if aside.shim is not None:
        fit = aside.shim.fit
        headline = aside.shim.sentence
        if aside.shim.size is not None:
            size = str(aside.shim.size).removesuffix(" mm")
        if fit.sure_ends is not None:
            low, high = fit.sure_ends
            lines.append(f"Sure to land in range: {low} to {high}.")
        lines.append("G: enter the size that was fitted; then measure again.")
    placed = (
        None
        if plan is None
        else next((p for p in plan.swap.placed if p.valve == view.valve.name), None)
    )
    if placed is not None and placed in (() if plan is None else plan.moves):
        lines.append(f"To buy the fewest: {placed_words(placed)}.")
    lines += ["S: all shims, what to swap and what to order.", "", _BACK_TO_BENCH]
    notes = (UNDER_BUCKET,) if state.opened.sheet.adjuster.under_bucket else ()
    return Setting(
        Big(f"{_name(view)} {size}"), headline, tuple(lines), doubts=(*aside.doubts, *notes)
    )


def _stamped(state: State, advice: NextBlade) -> str:
    """Why a blade comes next, with what is stamped on it, as the bench says it."""
    return told(advice.why, advice.feeler, inch=inch_set(state.opened.blades))


def _lock_words(state: State, part: str) -> str:
    torque = locknut(state.opened.sheet)
    figure = " it" if torque is None else f": {torque_told(torque)}"
    return f"Hold the {part}, lock{figure}."


def _name(view: ValveView) -> str:
    return view.valve.name.upper()


def _signed(turn: Turn) -> Fraction:
    return turn.degrees if turn.rotation is Rotation.CLOCKWISE else -turn.degrees
