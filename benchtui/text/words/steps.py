"""What to do now, in words: one tall word, one sentence, one small line for each kind of step.

The only place where these are worded. Long, for the same reason: every step in one match.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import assert_never

from benchtui.domain.adjusting.turns import FLAT, rotation_of
from benchtui.domain.blades import Feeler
from benchtui.domain.crank.angles import degrees as crank_degrees
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.lacking import BOTH_LIMITS
from benchtui.domain.gauging.measured import Apart, bracket_measured
from benchtui.domain.gauging.service_limit import ServiceStanding
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.evidence.metal import metal_words
from benchtui.domain.session.facts.events import CamsStep
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.valve.lock_shift import let_turn, moved_against
from benchtui.domain.session.valve.service import service_left, service_limit
from benchtui.text.quantities.show import flats, whole_degrees
from benchtui.text.words.clash_words import apart_words
from benchtui.text.words.crank_words import listed
from benchtui.text.words.stamped import (
    amount,
    band_told,
    blade_both,
    bracket_both,
    inch_set,
    label,
    tall_figures,
)
from benchtui.text.words.torque_words import torque_told


@dataclass(frozen=True, slots=True)
class Tall:
    """A tall word; of a blade its figure with its ``unit`` and, of an inch blade, the mm ``aside``.

    ``rows``: where it may be broken on a narrow screen.
    """

    words: str
    unit: str = ""
    aside: str = ""
    rows: tuple[str, ...] = ()


def in_inches(state: State) -> bool:
    """Whether lengths are told as an inch set stamps them."""
    return inch_set(state.opened.blades)


def tall(step: k.NextStep, *, inch: bool) -> Tall:  # noqa: C901, PLR0912  # one case a step is the point
    """The step in one tall word of at most nine characters, or a blade's figure alone."""
    match step:
        case k.Finished():
            return Tall("FILED")
        case k.Resume() | k.ConfirmCrank():
            return Tall("CRANK?")
        case k.NothingToMeasure():
            return Tall("NO GAP")
        case k.LockIt():
            return Tall("LOCK IT", rows=("LOCK", "IT"))
        case k.TurnCrankTo(forward=forward):
            return _verb("CRANK", "" if forward is None else crank_degrees(forward))
        case k.LookPast(on=on):
            return _verb("LOOK", crank_degrees(on))
        case k.Tell(what=k.ToTell.METAL, metal=metal):
            return Tall("HOT?" if metal is not None and metal.hot_set else "COLD?")
        case k.Tell(what=what):
            return Tall("BAND?" if what is k.ToTell.BAND else "SHIM?")
        case k.Wait(metal=metal):
            cool = metal.kind is MetalKind.TOO_COOL
            return Tall("WARM UP", rows=("WARM", "UP")) if cool else Tall("WAIT")
        case k.Settle(clash=clash):
            strike = clash.how is Settling.STRIKE
            return Tall("STRIKE") if strike else _blade(clash.doubted.feeler, inch=inch)
        case k.MeasureAgain(apart=apart):
            return Tall("PAD TEST" if apart.pad_in_doubt else "MEASURE")
        case k.StopAndLook():
            return Tall("STOP")
        case k.TryBlade(feeler=feeler):
            return _blade(feeler, inch=inch)
        case k.EndRepeat():
            return Tall("ENOUGH")
        case k.Borrow():
            return Tall("BORROW")
        case k.SetOnBlade(feeler=feeler):
            figure = _blade(feeler, inch=inch)
            return _verb("SET", figure.words, figure.unit, figure.aside)
        case k.TurnBy(turn=turn, learn=learn):
            return _verb(
                "TURN" if learn else turn.way.value.upper(), whole_degrees(turn.degrees), "deg"
            )
        case k.WindBack(degrees=back):
            return _verb("BACK", whole_degrees(back), "deg")
        case k.FitShim(size=size):
            return Tall("THINNER") if size is None else _verb("FIT", size.bare, "mm")
        case k.CamsOut(order=order):
            return Tall("ORDER" if order else "CAMS OUT", rows=() if order else ("CAMS", "OUT"))
        case k.CamsBack():
            return Tall("CAMS IN", rows=("CAMS", "IN"))
        case k.NextValve():
            return Tall("NEXT")
        case k.SpotCheck(spot=spot):
            return _blade(spot.feeler, inch=inch)
        case k.CloseUp(part=part):
            return _CLOSING[part]
        case _:
            assert_never(step)


_CLOSING = {
    k.ClosePart.TURN_OVER: Tall("2 TURNS", rows=("2", "TURNS")),
    k.ClosePart.COUNT_OUT: Tall("COUNT"),
    k.ClosePart.WORK: Tall("CLOSE UP", rows=("CLOSE", "UP")),
    k.ClosePart.TORQUES: Tall("CLOSE UP", rows=("CLOSE", "UP")),
    k.ClosePart.FIRST_RUN: Tall("RUN IT", rows=("RUN", "IT")),
    k.ClosePart.LEAKS: Tall("LEAKS?"),
    k.ClosePart.FILE: Tall("FILE IT", rows=("FILE", "IT")),
}


def _verb(verb: str, figure: str, unit: str = "", aside: str = "") -> Tall:
    if not figure:
        return Tall(verb)
    return Tall(f"{verb} {figure}", unit, aside, (verb, figure))


def _blade(feeler: Feeler, *, inch: bool) -> Tall:
    figures, unit = tall_figures(feeler, inch=inch)
    rows = ("+".join(figures[:-1]) + "+", figures[-1]) if len(figures) > 1 else ()
    return Tall("+".join(figures), unit, str(feeler) if unit == "in" else "", rows)


def before_all(step: k.NextStep, state: State) -> str:
    """What is said before the step itself: that the last lock took the screw round; else empty."""
    match step:
        case k.TryBlade(purpose=k.Purpose.BLIND):
            return ""
        case k.TryBlade() | k.Borrow() | k.SetOnBlade() | k.TurnBy() | k.NextValve():
            adjuster = state.opened.sheet.adjuster
            part = adjuster.set_by.part
            if (way := moved_against(state, step.valve)) is not None:
                turned = rotation_of(way, adjuster).value
                return f"It moved the wrong way: {way.value} is {turned}."
            return f"You let the {part} turn: hold it." if let_turn(state, step.valve) else ""
        case _:
            return ""


def sentence(step: k.NextStep, *, inch: bool) -> str:  # noqa: C901, PLR0912  # one case a step
    """The step in a sentence of at most twenty words."""
    match step:
        case k.Finished(complete, missing):
            if complete:
                return "Filed, complete."
            if not missing:
                return "Filed in part."
            told = "one thing is" if len(missing) == 1 else f"{len(missing)} things are"
            return f"Filed in part: {told} missing."
        case k.Resume():
            return "Has the crank been moved since you stopped?"
        case k.NothingToMeasure(why=k.NoMeasure.HYDRAULIC):
            return "Hydraulic: it takes up its own clearance. Nothing to measure."
        case k.NothingToMeasure():
            return "The sheet prints no clearance. Nothing to measure."
        case k.LockIt():
            return _lock(step, inch=inch)
        case k.ConfirmCrank():
            return _confirm(step)
        case k.TurnCrankTo():
            return _crank_to(step)
        case k.LookPast(on=on, watch=watch):
            do, it = ("Do", listed(watch)) if len(watch) > 1 else ("Does", "".join(watch))
            return f"No clearance: turn {crank_degrees(on)} on. {do} {it or 'the inlet'} open?"
        case k.Tell():
            return _tell(step)
        case k.Wait():
            return _wait(step)
        case k.Settle():
            return _settle(step, inch=inch)
        case k.MeasureAgain(apart=apart):
            do = "test the pad" if apart.pad_in_doubt else "measure it again"
            return f"{_told(apart, inch=inch)}: {do}."
        case k.StopAndLook():
            return _stop_and_look(step, inch=inch)
        case k.TryBlade():
            return _try(step, inch=inch)
        case k.EndRepeat():
            return "Enough: end the blind repeat."
        case k.Borrow(lack=lack):
            if lack.best is not None:
                also = (
                    ""
                    if lack.inch_size is None
                    else f" ({label(lack.inch_size, inch=True)} in does)"
                )
                return f"Borrow {_length(lack.best, inch=inch)}{also}, or measure it."
            if lack.side == BOTH_LIMITS:
                sizes = " and ".join(_length(size, inch=inch) for size in lack.wanted)
                return f"Borrow {sizes}, or measure it."
            low, high = lack.between
            return f"Borrow one of {_length(low, inch=inch)} to {_length(high, inch=inch)}, or measure it."
        case k.SetOnBlade():
            return _set_on(step, inch=inch)
        case k.TurnBy():
            return _turn(step)
        case k.WindBack(degrees=back):
            return f"Pad dished, blades lie. Wind to nothing, back {whole_degrees(back)}, lock."
        case k.FitShim():
            return _fit(step)
        case k.CamsOut(order=order, unread=unread):
            if not order and unread:
                return f"All measured. Cams out: read the shims of {listed(unread)}, then order."
            if not order:
                return "All measured. Nothing to order: the cams come out."
            sizes = ", ".join(
                f"{count} x {size.bare}" if count > 1 else size.bare for size, count in order
            )
            return f"All measured. Order {sizes} before the cams come out."
        case k.CamsBack(left=left):
            told = "; ".join(_CAMS[part] for part in left)
            return f"{told.capitalize()}." if told else "The cams are in."
        case k.NextValve():
            return _next(step)
        case k.SpotCheck(spot=spot):
            goes = "must go" if spot.goes else "must refuse"
            blade = blade_both(spot.feeler, inch=inch)
            return f"{spot.valve} again, before the cover goes on: {blade} {goes}."
        case k.CloseUp():
            return _close(step)
        case _:
            assert_never(step)


def small_line(step: k.NextStep, *, inch: bool) -> str:  # noqa: C901, PLR0912  # one case a step
    """A reason or a note beneath the sentence, never a second thing to do; empty for nothing."""
    match step:
        case k.NothingToMeasure(why=k.NoMeasure.HYDRAULIC):
            return "Noise: the manual's own test of the lifters."
        case k.LockIt(why=why, torque=torque):
            figure = "" if torque is None else f"Its figure: {torque_told(torque)}. "
            again = why in (k.LockWhy.IN_HAND, k.LockWhy.NEAR_ENOUGH)
            moves = f"The nut is slack. Locking moves the {step.part}." if again else ""
            return f"{figure}{moves}".strip()
        case k.LookPast():
            return (
                "Touch no screw: this is overlap, or the clearance is gone. By hand, forward only."
            )
        case k.TryBlade(purpose=k.Purpose.FINER):
            return "It is in range already: this one may be left."
        case k.TryBlade(purpose=k.Purpose.SLACK):
            return "No blade has gone in yet: nothing is set before one does."
        case k.ConfirmCrank(why=k.CrankWhy.DOUBTED | k.CrankWhy.MOVED):
            return "It opens, it shuts: the next mark is compression."
        case k.TurnCrankTo(why=k.CrankWhy.OVERLAP):
            return "What was read there does not count."
        case k.TurnCrankTo(alone=alone) if alone:
            return f"{listed(alone)} {'rock' if len(alone) > 1 else 'rocks'} there: not to be set."
        case k.Settle(clash=clash) if clash.how is Settling.TRY_AGAIN and not clash.crank_moved:
            blade = blade_both(clash.doubted.feeler, inch=inch)
            other = blade_both(clash.against.feeler, inch=inch)
            if clash.doubted.answer.goes == clash.against.answer.goes or blade == other:
                return "Two against one settles it."
            if clash.doubted.answer.goes:
                return f"It refuses: the first {blade} is set aside. It goes: {other} is."
            return f"It refuses: {other} is set aside. It goes: the first {blade} is."
        case k.MeasureAgain(apart=apart):
            return apart_words(apart)
        case k.StopAndLook(tight=True):
            return "Tight: seat burnt or sunk, valve stretched: compression, leak-down."
        case k.StopAndLook():
            return (
                "Pushrod bent or unseated, cap lost, follower collapsed, nut loose, valve sticking."
            )
        case k.SetOnBlade(otherwise=turn, took=took):
            took_words = "" if not took else f"Locking took {amount(abs(took), inch=inch)} before. "
            past = "It has passed its turning point. " if step.turned_past else ""
            return (
                past + took_words + ("" if turn is None else f"Or by degrees: {turn_words(turn)}.")
            )
        case k.TurnBy(learn=True):
            return "How far this one moves the gap is not known yet."
        case k.TurnBy(turn=turn, otherwise=held):
            ends = " to ".join(map(whole_degrees, (turn.degrees_low, turn.degrees_high)))
            spread = f"{ends}; {_flats(turn.degrees)}."
            blade = "" if held is None else f" Or on a blade: {blade_both(held.feeler, inch=inch)}."
            return spread + blade
        case k.WindBack():
            return "The pad wants dressing or a new one. A dial at the valve tells the true gap."
        case k.CamsOut():
            return "First: crank at its mark, chain marked, tensioner off, caps slackened in steps."
        case k.CamsBack():
            return "At any resistance: stop. After it every valve is measured again."
        case k.NextValve(limit=limit) if limit is not None:
            return f"It stands at its {limit.value} limit: it may be left, or set."
        case k.FitShim(size=size, sure=sure, low=low, high=high) if size is not None:
            doubt = "" if sure else " The blades' own errors could put it out."
            return (
                f"{low.bare} to {high.bare} {'lands' if sure else 'should land'} in range.{doubt}"
            )
        case _:
            return ""


SERVICE = {
    ServiceStanding.WITHIN_RANGE: "within the range",
    ServiceStanding.WITHIN_SERVICE: "beyond the range but within the service limit",
    ServiceStanding.BEYOND_SERVICE: "beyond the service limit",
    ServiceStanding.NOT_TOLD_APART: "range and service limit not told apart yet",
}
"""Where a clearance stands by its service limit, at a valve and on a card."""


def service_note(state: State, valve: str) -> str:
    """The note at a valve whose sheet prints a service limit; empty where there is nothing to say.

    Until the valve is out of range it would be noise; it says how it stands, and never what to do.
    """
    standing, limit = service_left(state, valve), service_limit(state, valve)
    if standing is None or limit is None or not look(state, valve).verdict.kind.out:
        return ""
    return f"{_capital(SERVICE[standing])} ({band_told(limit)})."


def _length(length: Length, *, inch: bool) -> str:
    return label(length, inch=inch)


def _lock(step: k.LockIt, *, inch: bool) -> str:
    match step.why:
        case k.LockWhy.LEFT_SLACK:
            if len(step.valves) > 1:
                return f"{listed(step.valves)}: the nuts are slack. Lock them before anything else."
            return f"{step.valves[0]}: the nut is slack. Lock it before anything else."
        case k.LockWhy.NO_VERDICT if step.back_off:
            return f"Back the {step.part} off till the rocker is loose, then lock."
        case k.LockWhy.NO_VERDICT:
            return "Lock it as it stands; it is measured again later."
        case k.LockWhy.IN_HAND | k.LockWhy.NEAR_ENOUGH:
            near = "Near enough: hold" if step.why is k.LockWhy.NEAR_ENOUGH else "Hold"
            blade = "" if step.held is None else f", take {blade_both(step.held, inch=inch)} out"
            return f"{near} the {step.part}, lock it{blade}."
        case _:
            assert_never(step.why)


def _confirm(step: k.ConfirmCrank) -> str:
    match step.why:
        case k.CrankWhy.DOUBTED | k.CrankWhy.MOVED:
            return "Not sure of the crank: turn on and watch the inlet."
        case k.CrankWhy.LOOKED:
            return "It was compression. Come round; tick mark and inlet seen."
        case k.CrankWhy.CAMS:
            return "The cams are back: confirm the crank, then measure every valve."
        case k.CrankWhy.FIRST | k.CrankWhy.NEXT_STOP | k.CrankWhy.OVERLAP:
            return f"Cylinder {step.stop.cylinder}: mark at the pointer, and one sign more?"
        case _:
            assert_never(step.why)


def _crank_to(step: k.TurnCrankTo) -> str:
    far = "forward" if step.forward is None else f"forward {crank_degrees(step.forward)} degrees"
    if step.why is k.CrankWhy.OVERLAP:
        alone = f"leave cylinder {listed(step.alone)}" if step.alone else "leave it"
        on = "on" if step.forward is None else f"on {crank_degrees(step.forward)} degrees"
        return f"It was overlap: {alone}. Turn {on}."
    return f"Turn {far}, to {step.stop.name}."


def _tell(step: k.Tell) -> str:
    match step.what:
        case k.ToTell.METAL if step.metal is not None and step.metal.hot_set:
            return "At running heat? Tell the temperature, or that it is."
        case k.ToTell.METAL:
            return "Cold? Tell the temperature, or the hours it stood."
        case k.ToTell.BAND:
            return "One figure only: set on the figure, or by your own band?"
        case k.ToTell.SHIM:
            return "Which shim is in? Read its stamp, or better, measure it."
        case _:
            assert_never(step.what)


def _wait(step: k.Wait) -> str:
    return f"{_capital(metal_words(step.metal))}."


def _told(apart: Apart, *, inch: bool) -> str:
    measured = bracket_both(bracket_measured(apart.measured), inch=inch)
    return f"{bracket_both(apart.blades, inch=inch)}, but {measured}"


def _settle(step: k.Settle, *, inch: bool) -> str:
    clash = step.clash
    blade, other = (blade_both(r.feeler, inch=inch) for r in (clash.doubted, clash.against))
    if clash.how is Settling.STRIKE:
        return "Two against two: strike them, wipe all, measure afresh."
    if clash.crank_moved:
        return f"The crank moved between them: try {blade} again here."
    if clash.doubted.answer is clash.against.answer:
        return f"{blade} and {other} both drag: one is wrong. Wipe {blade}, try again."
    if clash.doubted.answer.goes == clash.against.answer.goes:
        return f"{blade} was free once and dragged once. Wipe it, try again."
    if blade == other:
        return f"{blade} goes and does not. Wipe it, try again."
    does, but = ("goes" if r.answer.goes else "refuses" for r in (clash.doubted, clash.against))
    return f"{blade} {does} but {other} {but}. Wipe {blade}, try again."


def _stop_and_look(step: k.StopAndLook, *, inch: bool) -> str:
    seen = _edge(step.found, tight=step.tight, inch=inch)
    match step.why:
        case k.FarWhy.FAR_OUT:
            assert not isinstance(step.other, Bracket)
            low, high = (_length(end, inch=inch) for end in (step.other.low, step.other.high))
            wanted = low if low == high else f"{low} to {high}"
            return f"{seen}, on {wanted}: look before you turn."
        case k.FarWhy.FAR_FROM_KIND:
            return f"{seen}, the others {_at_most(step, inch=inch)}: look first."
        case k.FarWhy.FAR_FROM_LAST:
            return f"{seen}, left last time at {_at_most(step, inch=inch)}: look first."
        case _:
            assert_never(step.why)


def _edge(found: Bracket, *, tight: bool, inch: bool) -> str:
    if tight and found.high is not None:
        return f"{_length(found.high, inch=inch)} refuses"
    return f"{_length(found.low, inch=inch)} goes"


def _at_most(step: k.StopAndLook, *, inch: bool) -> str:
    low, high = step.other.low, step.other.high
    if step.tight:
        return f"{_length(low, inch=inch)} at least"
    return f"{_length(high if high is not None else low, inch=inch)} at most"


def _try(step: k.TryBlade, *, inch: bool) -> str:  # noqa: C901, PLR0912  # one case a purpose
    blade = blade_both(step.feeler, inch=inch)
    match step.purpose:
        case k.Purpose.ONCE_MORE:
            before = "the shim is changed" if step.shims else "you slacken the nut"
            return f"{blade} once more, before {before}."
        case k.Purpose.BEFORE_LOCK:
            if step.leads is None or step.leads.drags in (k.Lead.LOCK, k.Lead.HOLD):
                return f"{blade} before you lock: a light drag is right."
            return f"{blade} before you lock, to tell how far."
        case k.Purpose.AFTER_LOCK:
            return f"Not measured since it was set: try {blade}."
        case k.Purpose.AFTER_DECOMPRESSOR:
            return f"Release the decompressor, then {blade} again."
        case k.Purpose.FOR_SHIM:
            return f"Closer: try {blade}, to be sure of the shim."
        case k.Purpose.PAD:
            made = (
                ""
                if step.made is None
                else f"The thread makes {_length(step.made, inch=inch)} here: "
            )
            return f"{made}try {blade}."
        case k.Purpose.BLIND:
            return f"Blind: try {blade} as if nothing had been read."
        case k.Purpose.SLACK:
            return f"Try {blade}: nothing has gone in yet."
        case k.Purpose.NARROW:
            word = "" if step.out is None else f"{step.out.value.capitalize()}. "
            return f"{word}Try {blade}, to tell how far."
        case k.Purpose.FINER:
            return f"One finer reading keeps the wear honest: {step.valve} this time. Try {blade}."
        case k.Purpose.LIMIT | k.Purpose.PROOF:
            at = "" if step.at is None else f", the {step.at.value} limit"
            return f"Try {blade}{at}.{_leads(step.leads)}"
        case _:
            assert_never(step.purpose)


def _leads(leads: k.Leads | None) -> str:
    """What the answers would make of it, those that say something."""
    if leads is None:
        return ""
    told = []
    if leads.refuses is leads.drags is not k.Lead.MORE:
        told.append(f"Refuses or drags: {leads.drags.value}.")
        told += [f"Goes free: {leads.free.value}."] if leads.free is not k.Lead.MORE else []
        return "".join(f" {words}" for words in told)
    if leads.refuses is not k.Lead.MORE:
        told.append(f"Refuses: {leads.refuses.value}.")
    if leads.drags is leads.free:
        if leads.free is not k.Lead.MORE:
            told.append(f"Goes: {leads.free.value}.")
    else:
        told += [f"Drags: {leads.drags.value}."] if leads.drags is not k.Lead.MORE else []
        told += [f"Goes free: {leads.free.value}."] if leads.free is not k.Lead.MORE else []
    return "".join(f" {words}" for words in told)


def _set_on(step: k.SetOnBlade, *, inch: bool) -> str:
    blade = blade_both(step.feeler, inch=inch)
    if step.touch:
        return f"A touch only: hold in {blade} and set to it."
    if step.no_clearance:
        return f"On compression, no clearance: it may be opened up. Hold in {blade}, set to it."
    # Not "hold 0.10 in": beside a figure the word reads as inches.
    start = "Slacken; hold in" if step.slacken else "Nut slack: hold in"
    if step.way is None and not step.by_hand:
        return f"{start} {blade}; turn till it drags lightly; lock."
    return f"{start} {blade}; screw to {feel_words(step)}; lock."


def feel_words(step: k.SetOnBlade) -> str:
    """What the hand is to feel of the blade before the lock: ``a light drag``."""
    if not step.by_hand:
        return "a light drag"
    return "a hair loose" if step.took is not None and step.took < ZERO else "a firm drag"


def turn_words(step: k.TurnBy) -> str:
    """``out 22``, as the tall word has it."""
    return f"{step.turn.way.value} {whole_degrees(step.turn.degrees)}"


def _turn(step: k.TurnBy) -> str:
    turn, far = step.turn, whole_degrees(step.turn.degrees)
    if step.learn:
        return f"Turn it {far} degrees, {turn.rotation.value}, and measure: that tells."
    if step.still_out:
        still = "wide" if turn.closes else "tight"
        return f"Still {still}: {turn.way.value} another {far} degrees. The nut stays slack."
    return f"Slacken, turn {turn.way.value} {far} degrees, {turn.rotation.value}."


def _flats(angle: Fraction) -> str:
    return f"{flats(angle)}" if angle >= FLAT / 12 else "less than a twelfth of a flat"


def _fit(step: k.FitShim) -> str:
    if step.size is None:
        if step.high == ZERO:
            return f"{step.valve}: no clearance. A thinner shim for now, then measure."
        return f"{step.valve}: any from {step.low.bare} to {step.high.bare} in."
    source = f", from {step.from_valve}" if step.from_valve else ", bought" if step.buy else ""
    return f"{step.valve}: {step.size.bare} in{source}."


_CAMS = {
    CamsStep.OUT: "the cams come out",
    CamsStep.CAPS_IN_STEPS: "caps in steps",
    CamsStep.TIMING_MARKS: "timing marks",
    CamsStep.CHAIN_AND_TENSIONER: "chain and tensioner",
    CamsStep.TWO_SLOW_TURNS: "two slow turns",
}


def _next(step: k.NextValve) -> str:
    match step.remark:
        case k.Remark.OTHER_STOP:
            return f"{step.valve} is not for this stop. {step.to} comes first."
        case k.Remark.BLIND_ELSEWHERE:
            return f"{step.to} is being measured blind: that first."
        case k.Remark.WAITS_FOR_CAMS:
            return f"{step.valve} waits for the cams. {step.to} is next."
        case k.Remark.HAD_NO_CLEARANCE:
            return (
                f"{step.valve} had no clearance: check compression or leak-down. {step.to} is next."
            )
        case k.Remark.PAD_DISHED:
            return f"{step.valve}: set by the thread, pad dished. {step.to} is next."
        case k.Remark.ON_FIGURE:
            return f"{step.valve} is on the figure. {step.to} is next."
        case None:
            return f"{step.valve} is in range. {step.to} is next."
        case _:
            assert_never(step.remark)


def _close(step: k.CloseUp) -> str:
    match step.part:
        case k.ClosePart.TURN_OVER if step.on_figure:
            return "All as the handbook says. Turn it over twice by hand, forward."
        case k.ClosePart.TURN_OVER:
            return "All in range. Turn it over twice by hand, forward."
        case k.ClosePart.COUNT_OUT:
            return f"{listed(step.left)} still inside: count them out."
        case k.ClosePart.WORK:
            return f"{step.left[0]}."
        case k.ClosePart.TORQUES:
            first = step.torques[0]
            return f"Tighten {first.what} to {torque_told(first)}."
        case k.ClosePart.FIRST_RUN:
            return "Test run after closing up: people clear, fuel on, exhaust led outside."
        case k.ClosePart.LEAKS:
            return "Look for leaks: covers, fuel, oil."
        case k.ClosePart.FILE:
            return "All ticked: file it."
        case _:
            assert_never(step.part)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
