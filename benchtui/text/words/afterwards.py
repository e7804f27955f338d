"""What a record tells beside the clearances: how the crank was found, what came after the setting.

Few words each, for a card or a column. Names and items come from files: whoever shows them makes
them inert.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.session.facts.events import (
    AfterStep,
    Event,
    PositionConfirmed,
    PositionDoubted,
    SignSeen,
    StepUndone,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.blind_repeat import repeated
from benchtui.text.quantities.show import bare, length
from benchtui.text.words.crank_words import place_told
from benchtui.text.words.stamped import gap_unit, reading_told

_STEPS = {
    AfterStep.TURNED_OVER: ("turned over by hand", "turning over"),
    AfterStep.FIRST_RUN: ("first run", "first run"),
    AfterStep.NO_LEAKS: ("no leaks", "look for leaks"),
}
"""Each step once it is done, and as one that nobody recorded."""

SPOT = "spot-check"


def crank_words(events: Iterable[Event]) -> tuple[str, ...]:
    """Each position confirmed and each sign against one, in order: ``CYL 1 COMPRESSION: mark, slack``.

    The same told twice is told once; what was taken back is left out.
    """
    every = tuple(events)
    undone = {e.fact.number for e in every if isinstance(e.fact, StepUndone)}
    told = []
    for event in every:
        if event.number in undone:
            continue
        match event.fact:
            case PositionConfirmed(evidence=evidence) as fact:
                told.append(f"{place_told(fact)}: {', '.join(e.value for e in evidence)}")
            case PositionDoubted(cylinder):
                told.append(f"CYL {cylinder}: doubted")
            case SignSeen(cylinder, sign, valves):
                at = f" ({', '.join(valves)})" if valves else ""
                told.append(f"CYL {cylinder}: {sign.meaning}{at}")
            case _:
                pass
    return tuple(dict.fromkeys(told))


def spot_words(state: State) -> tuple[str, ...]:
    """Each spot-check that still holds, or that sent a valve back: ``1E 0.09 drag, fits``."""
    told = []
    unit = gap_unit(state.opened.blades)
    for name, valve in state.valves.items():
        again = valve.current.kind is StageKind.AGAIN
        told += [f"{name} {reading_told(r, unit)}, fits" for r in valve.spot]
        if again:
            told.append(f"{name} {reading_told(valve.current.taken[0].reading, unit)}, did not fit")
    return tuple(told)


def after_words(state: State) -> str:
    """The steps after the setting, then those that nobody recorded."""
    spots = spot_words(state)
    done = [done for step, (done, _) in _STEPS.items() if step in state.after]
    done[1:1] = [f"{SPOT} {'; '.join(spots)}"] if spots else []
    absent = [lacks for step, (_, lacks) in _STEPS.items() if step not in state.after]
    absent[1:1] = [] if spots else [SPOT]
    parts = [", ".join(done)] if done else []
    parts += [f"not recorded: {', '.join(absent)}"] if absent else []
    return "; ".join(parts)


def tally_words(state: State) -> tuple[str, ...]:
    """``rags 4 in, 4 out``, item by item."""
    return tuple(f"{item} {went} in, {came} out" for item, (went, came) in state.tally.items())


def micrometer_words(state: State) -> tuple[str, ...]:
    """``1E 2.80 measures 2.79 mm``: the shims that a micrometer was asked about, as left."""
    return tuple(
        f"{name} {bare(valve.shim)} measures {length(valve.shim_measured)}"
        for name, valve in state.valves.items()
        if valve.shim is not None and valve.shim_measured is not None
    )


def measured_words(state: State) -> tuple[str, ...]:
    """Every measured value that was not struck: ``1E: 0.11 measured, give or take 0.01 (as found)``."""
    return tuple(
        f"{name}: {taken.measured} ({stage.kind.value})"
        for name, valve in state.valves.items()
        for stage in valve.stages
        for taken in stage.measures
        if not taken.struck
    )


def blind_words(state: State) -> tuple[str, ...]:
    """``1E at least 0.01 mm apart``: how far apart blind repeats of one gap have lain."""
    told = []
    unit = gap_unit(state.opened.blades)
    for name in state.valves:
        found = repeated(state, name)
        if found is None:
            continue
        least, most = found.spread.least, found.spread.most
        apart = f"at least {length(least, unit)} apart" if least else "no spread seen"
        told.append(f"{name} {apart}" + ("" if most is None else f", at most {length(most, unit)}"))
    return tuple(told)
