"""Closing up, line by line in the order of the work: what is done, and what is to do next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from benchtui.domain.history.usage import Meter
from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.completeness import (
    anything_set,
    cap_bolts,
    locknut,
    missing,
    nuts_untorqued,
    torqued,
    torques_asked,
)
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.domain.sheet import Torque
from benchtui.domain.work_steps import WorkStep
from benchtui.text.quantities.show import distance, hours
from benchtui.text.words.stamped import inch_set, printed
from benchtui.text.words.torque_words import torque_told

TORQUE, ITEM, AFTER, SPOT, WORK, METER, COUNT = (
    *("torque", "item", "after", "spot", "work", "meter", "count"),
)
"""What a line is about: the part of its key before the colon."""

FIRST_RUN = ("First run: people clear, fuel on,", "exhaust led outside")
"""The caution of the first run, at the first run (common practice)."""

NOTHING_SET = "nothing was set: if you like"

_METERS = {Meter.HOURS: "hours now", Meter.KM: "odometer now"}


@dataclass(frozen=True, slots=True)
class ClosingLine:
    """One line; ``done`` is None for a heading, which cannot be ticked."""

    key: str
    done: bool | None
    what: str
    how: str = ""


Counters = tuple[tuple[Meter, str], ...]
"""The counters that this engine has, each with its last reading in words."""


def closing_lines(state: State, counters: Counters) -> tuple[ClosingLine, ...]:
    """Every line, the earlier part of the work first."""
    return tuple(_lines(state, counters))


def _lines(state: State, counters: Counters) -> Iterator[ClosingLine]:
    lacking, nut = missing(state), locknut(state)
    for number, what in enumerate(lacking):
        yield ClosingLine(f"valve:{number}", done=False, what=what, how="at the bench")
    yield ClosingLine("", None, "Before the cover")
    asked = anything_set(state)
    yield _after(
        state, AfterStep.TURNED_OVER, "turned over twice by hand", "forward only", asked=asked
    )
    if len(lacking) == len(state.short):  # only what is to be counted out, if anything
        yield from _spot(state)
    inside = tuple(t for t in torques_asked(state) if t is nut or t in cap_bolts(state))
    yield from (_torque(state, torque) for torque in inside)
    yield from _work(state, WorkStep.CHAIN_TENSIONER)
    for item, (went, came) in state.tally.items():
        how = f"Space when all {went} are out" if came < went else "all out"
        yield ClosingLine(f"{ITEM}:{item}", came >= went, f"{item}: {went} in, {came} out", how)
    yield ClosingLine(f"{COUNT}:", None, "+ count something in", "rags, tools, caps")
    yield ClosingLine("", None, "Cover on")
    yield from _work(state, WorkStep.GASKET)
    for torque in torques_asked(state):
        if torque not in inside:
            yield _torque(state, torque)
    yield from _work(state, WorkStep.TIMING_PLUG)
    for meter, last in counters:
        now = _now(state, meter)
        said = now or "Space tells it"
        yield ClosingLine(f"{METER}:{meter.value}", bool(now), f"{_METERS[meter]}: {said}", last)
    yield ClosingLine("", None, *FIRST_RUN)
    yield _after(state, AfterStep.FIRST_RUN, "run for the first time", "nothing heard that was not")
    yield _after(state, AfterStep.NO_LEAKS, "looked for leaks: none", "covers, fuel, oil")


def _after(
    state: State, step: AfterStep, what: str, how: str, *, asked: bool = True
) -> ClosingLine:
    return _offered(
        ClosingLine(f"{AFTER}:{step.value}", step in state.after, what, how), asked=asked
    )


def _offered(line: ClosingLine, *, asked: bool) -> ClosingLine:
    """A line that nothing asks for, as nothing was set: it may be done, and is not left to do."""
    if asked or line.done:
        return line
    return replace(line, done=None, what=f"+ {line.what}", how=NOTHING_SET)


def _torque(state: State, torque: Torque) -> ClosingLine:
    nuts = nuts_untorqued(state) if torque is locknut(state) else ()
    what = f"{torque.what}: {', '.join(nuts)}" if nuts else torque.what
    key = f"{TORQUE}:{torque.what}"
    return ClosingLine(key, torqued(state, torque), what, torque_told(torque))


def _work(state: State, step: WorkStep) -> Iterator[ClosingLine]:
    for named, words in state.opened.sheet.work:
        if named is step:
            line = f"{step.value.capitalize()}: {words}"
            yield ClosingLine(f"{WORK}:{line}", line in state.cautions, line)


def _spot(state: State) -> Iterator[ClosingLine]:
    spot = riskiest(state)
    if spot is None:
        return
    checked = [name for name, valve in state.valves.items() if valve.spot]
    if checked:
        tried = f"{', '.join(checked)} tried once more"
        yield ClosingLine(f"{SPOT}:", done=True, what=tried, how="as it was left")
        return
    here = state.place is not None and spot.valve in state.place.confirmed.valves
    wanted = printed(spot.wanted, inch=inch_set(state.opened.blades))
    line = ClosingLine(
        f"{SPOT}:",
        done=False,
        what=f"try {spot.valve} once more: {wanted}",
        how="" if here else "crank: back to its stop first",
    )
    yield _offered(line, asked=anything_set(state))


def _now(state: State, meter: Meter) -> str:
    told = state.particulars
    if meter is Meter.HOURS:
        return "" if told.hours is None else hours(told.hours)
    return "" if told.odometer_km is None else distance(told.odometer_km)


def complete_words(state: State) -> str:
    """That nothing is missing; of a valve over a dished pad, that the thread alone says so."""
    views = [look(state, name) for name in state.valves]
    by_thread = [v.valve.name for v in views if v.done and v.unread]
    measured = (
        f"in range, {', '.join(by_thread)} by the thread" if by_thread else "measured and in range"
    )
    return f"√ every valve {measured}: files as a complete check"


def line_of_step(step: k.NextStep) -> str:
    """The key of the line at which a step is done; empty where it is at none of them."""
    match step:
        case k.SpotCheck() | k.ConfirmCrank() | k.TurnCrankTo():
            return f"{SPOT}:"
        case k.CloseUp(part=k.ClosePart.TURN_OVER):
            return f"{AFTER}:{AfterStep.TURNED_OVER.value}"
        case k.CloseUp(part=k.ClosePart.COUNT_OUT, left=left):
            return f"{ITEM}:{left[0].split(' ', 1)[1]}"
        case k.CloseUp(part=k.ClosePart.WORK, left=left):
            return f"{WORK}:{left[0]}"
        case k.CloseUp(part=k.ClosePart.TORQUES, left=left):
            return f"{TORQUE}:{left[0]}"
        case k.CloseUp(part=k.ClosePart.FIRST_RUN):
            return f"{AFTER}:{AfterStep.FIRST_RUN.value}"
        case k.CloseUp(part=k.ClosePart.LEAKS):
            return f"{AFTER}:{AfterStep.NO_LEAKS.value}"
        case _:
            return ""
