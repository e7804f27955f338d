"""What the setting screen says of one adjuster: tall figures, steps in words, the slot, doubts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.adjusting.kinds import SetBy
from benchtui.domain.adjusting.shims import UNDER_BUCKET
from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.shims import ShimPlan, fitted_shim
from benchtui.domain.sheet import Adjuster, Rotation, ScrewEnd, Torque
from benchtui.text.quantities.show import flats, whole_degrees
from benchtui.text.words.bracket_words import bracket_words
from benchtui.text.words.shim_words import placed_words
from benchtui.text.words.stamped import amount, blade_both, bracket_both, inch_set
from benchtui.text.words.state_words import standing_of
from benchtui.text.words.steps import feel_words, turn_words
from benchtui.text.words.told import Told
from benchtui.text.words.torque_words import torque_told
from benchtui.text.words.valve_words import (
    SMALL_TURN,
    Aside,
    hundredths,
    notes_in_setting,
    turn_spans,
)
from benchtui.tui.present_bench import big_name
from benchtui.tui.present_step import big_step
from benchtui.tui.widgets.bigtext import Pair
from benchtui.tui.widgets.held import Held
from benchtui.tui.widgets.slot import Slot

_BACK_TO_BENCH = "Esc: back to the bench."


@dataclass(frozen=True, slots=True)
class Setting:
    """Tall figures, a headline, the two ways, lines below, the pictures, and doubts to be read first.

    ``beneath`` stands in tall letters where there is room: what the hand does meanwhile.
    """

    big: Pair
    headline: str
    ways: str = ""
    lines: tuple[str, ...] = ()
    slot: Slot | None = None
    doubts: tuple[str, ...] = ()
    beneath: str = ""
    held: Held | None = None


def setting_of(
    state: State, view: ValveView, told: Told, aside: Aside, plan: ShimPlan | None
) -> Setting:
    """What this screen shows of the step in hand; a step that is the bench's is only named here."""
    # With the cams out the shim may be another valve's.
    big = Pair(big_name(told.step.valve or view.valve.name), big_step(told))
    lines, slot = _lines(state, view, told, plan)
    limit = (aside.by_limit,) if aside.by_limit else ()
    notes = (UNDER_BUCKET,) if state.opened.sheet.adjuster.set_by.cams_out else ()
    ways = ways_line(told)
    doubts = (*aside.doubts, *limit, *aside.notes, *notes_in_setting(told, aside), *notes)
    beneath = _BENEATH.get(type(told.step), "")
    held = _held(told, state.opened.sheet.adjuster)
    return Setting(big, told.sentence, ways, lines, slot, doubts, beneath, held)


_BENEATH = {k.SetOnBlade: "HOLD IT IN", k.LockIt: "HOLD IT STILL"}


def _held(told: Told, adjuster: Adjuster) -> Held | None:
    """The screw coming down on the blade; other adjusters are not drawn."""
    if isinstance(told.step, k.SetOnBlade) and adjuster.set_by.part == "screw":
        at_valve = adjuster.at is ScrewEnd.VALVE
        return Held(blade_both(told.step.feeler, inch=told.inch), at_valve)
    return None


def _lines(
    state: State, view: ValveView, told: Told, plan: ShimPlan | None
) -> tuple[tuple[str, ...], Slot | None]:
    step, by = told.step, state.opened.sheet.adjuster.set_by
    part = by.part
    match step:
        case k.SetOnBlade():
            return _on_blade(step, told, part), None
        case k.TurnBy(turn=turn):
            return _by_degrees(view, step, by), _slot(state, turn)
        case k.LockIt():
            return _to_lock(step, part), None
        case k.WindBack(degrees=back):
            return _numbered(
                f"Slacken the locknut, holding the {part}.",
                "Wind it in by finger and thumb until the gap just closes.",
                f"Back it off {whole_degrees(back)} degrees, one way. M, then pad test: so far.",
                f"Hold the {part}, lock.",
            ), None
        case k.FitShim() | k.CamsOut() | k.CamsBack() | k.Tell(what=k.ToTell.SHIM):
            return _shims(state, view, told, plan), None
        case _ if by.shims:
            return _shims(state, view, told, plan), None
        case _:
            return (told.small, "", _BACK_TO_BENCH), None


def ways_line(told: Told) -> str:
    """Both ways of setting it side by side, the one in hand marked; empty where there is one only."""
    match told.step:
        case k.SetOnBlade(otherwise=k.TurnBy() as turn):
            return f"► on a blade held in    by degrees: {turn_words(turn)}"
        case k.TurnBy(otherwise=k.SetOnBlade(feeler=feeler)):
            return f"on a blade held in: {blade_both(feeler, inch=told.inch)}    ► by degrees"
        case _:
            return ""


def _on_blade(step: k.SetOnBlade, told: Told, part: str) -> tuple[str, ...]:
    blade = blade_both(step.feeler, inch=told.inch)
    way = "" if step.way is None else f" ({step.way.value} from here)"
    lines = _numbered(
        *([f"Slacken the locknut, holding the {part}."] if step.slacken else []),
        f"{blade} into the gap; run the {part}{way} to {feel_words(step)}.",
        f"Hold {part} and blade; lock{_torque(step.torque)}.",
        "Blade out. Then measure: locking moves it.",
    )
    if not step.took:
        return lines
    took = amount(abs(step.took), inch=told.inch)
    allows = "no leaf allows for it, so the hand does" if step.by_hand else "the leaf allows for it"
    return (f"Locking took {took} before: {allows}.", *lines)


def _by_degrees(view: ValveView, step: k.TurnBy, by: SetBy) -> tuple[str, ...]:
    turn, part = step.turn, by.part
    now = "" if view.unread else bracket_words(view.bracket)
    aim = f"Now {now}; to be " if now else "To be "
    lines = [SMALL_TURN] if turn.small else []
    lines += turn_spans(turn)
    if not by.learned:
        lines.append(f"On the nut: {flats(turn.degrees)}.")
    lines.append(f"{aim}{hundredths(turn.aim)}.")
    shift = view.shift
    known = (
        []
        if shift is None or abs(shift.middle) < _NEWS
        else [f"Aimed off by {-shift.middle}: locking took that before."]
    )
    steps = _numbered(
        *([f"Slacken the locknut, holding the {part}."] if step.slacken else []),
        f"Turn the {part} as shown.",
        f"Hold the {part}, lock{_torque(step.torque)}.",
        "Measure again: locking moves it.",
    )
    return (*lines, "", *steps, *known)


_NEWS = Length.um(5)
"""Less than this that a lock takes is no news to a hand (design value)."""


def _to_lock(step: k.LockIt, part: str) -> tuple[str, ...]:
    back = [f"Back the {part} off till the rocker is loose."] if step.back_off else []
    out = [] if step.held is None else [f"{step.held.bare} out of the gap."]
    return (
        "",
        *_numbered(
            *back,
            f"Hold the {part}, lock{_torque(step.torque)}.",
            *out,
            "Measure it again: locking moves it.",
        ),
    )


def _shims(state: State, view: ValveView, told: Told, plan: ShimPlan | None) -> tuple[str, ...]:
    fitted = fitted_shim(state.valves[view.valve.name])
    lines = [f"In now: {fitted or 'not known. Type its size'}.", told.small]
    if isinstance(told.step, k.FitShim):
        lines.append("Enter: it is in. Another size: type it. Then measure again.")
    moves = () if plan is None else plan.moves
    placed = next((p for p in moves if p.valve == view.valve.name), None)
    if placed is not None:
        lines.append(f"To buy the fewest: {placed_words(placed)}.")
    lines += ["M, then shims: all of them, what to swap and what to order.", "", _BACK_TO_BENCH]
    return tuple(line for line in lines if line or line == "")


def was_words(state: State, view: ValveView) -> str:
    """What it was: ``was 0.05 goes, 0.06 refuses: tight``; the shim that is in, where shims set it."""
    if view.unread:
        return f"not measured: {standing_of(view).word}"
    inch = inch_set(state.opened.blades)
    return f"was {bracket_both(view.bracket, inch=inch)}: {standing_of(view).word}"


def _numbered(*steps: str) -> tuple[str, ...]:
    return tuple(f"{number}  {step}" for number, step in enumerate(steps, start=1))


def _torque(torque: Torque | None) -> str:
    return "" if torque is None else f" to {torque_told(torque)}"


def _slot(state: State, turn: Turn) -> Slot:
    adjuster = state.opened.sheet.adjuster
    words = f"{turn.way.value}, {turn.rotation.value}" if adjuster.threaded else turn.rotation.value
    return Slot(_signed(turn), text=words, nut=not adjuster.set_by.learned)


def _signed(turn: Turn) -> Fraction:
    return turn.degrees if turn.rotation is Rotation.CLOCKWISE else -turn.degrees
