"""Domain time a key, at engines of 8, 24 and 48 valves: every valve's step and words after one reading.

    python tests/benchmarks/domain.py

Prints milliseconds and the ratio to eight valves; what is linear has a ratio of 3 and 6. A line of its own
has what is weighed with the nut slack: to lock, to try, or to turn.
"""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime, timedelta
from fractions import Fraction

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.facts.commands import Command, ConfirmPosition
from benchtui.domain.session.facts.events import (
    Event,
    Evidence,
    Locked,
    Opened,
    Particulars,
    ReadingTaken,
    ScrewSetOn,
    ScrewTurned,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.decide import decide
from benchtui.domain.session.steps.fold import apply, begin
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.valve.before_lock import while_slack
from benchtui.domain.sheet import Sheet, ValveKind
from benchtui.text.words.told import told_of
from tests.engines import band, even, fired, printed, sheet

AT = datetime(2026, 5, 1, tzinfo=UTC)
BLADES = BladeSet("C", tuple(Leaf(Length.um(50 * n)) for n in range(1, 11)))


def engine(cylinders: int) -> Sheet:
    """Two inlets and two exhausts a cylinder, evenly fired."""
    order = "-".join(str(n) for n in range(1, cylinders + 1))
    layout = fired(even(order), [f"{kind}{side}" for kind in "IE" for side in "ab"])
    clearances = printed(band("0.15", "0.25"), band("0.25", "0.35"))
    return sheet(f"big-{cylinders}", layout, clearances)


def worked(sheet: Sheet) -> State:
    """Every valve set on a blade, locked, and read since."""
    state = begin(Event(1, AT, Opened("s", sheet, "c", BLADES, Particulars())))

    def do(command: Command) -> None:
        nonlocal state
        number = state.number + 1
        fact = decide(state, command)
        state = apply(state, Event(number, AT + timedelta(seconds=number), fact))

    for cylinder in sheet.layout.cylinders:
        do(ConfirmPosition(cylinder.name, (Evidence.MARK, Evidence.INLET)))
        for valve in cylinder.valves:
            wide = Length.um(300 if valve.kind is ValveKind.INLET else 400)
            aim = Length.um(200 if valve.kind is ValveKind.INLET else 300)
            do(ReadingTaken(valve.name, BLADES.feeler(wide), Answer.FREE))
            do(ScrewSetOn(valve.name, BLADES.feeler(aim)))
            do(Locked(valve.name))
            do(ReadingTaken(valve.name, BLADES.feeler(aim - Length.um(50)), Answer.FREE))
    return state


def a_key(state: State, valve: str) -> float:
    """One reading decided, applied, and everything the bench asks of the new state; in seconds."""
    command = ReadingTaken(valve, BLADES.feeler(Length.um(250)), Answer.REFUSES)
    began = time.perf_counter()
    fact = decide(state, command)
    after = apply(state, Event(state.number + 1, AT, fact))
    told_of(after, valve)
    told_of(after)
    for name in after.valves:
        look(after, name)
    return time.perf_counter() - began


def with_the_nut_slack(degrees: int) -> float:
    """What to do after a turn that no call before had: weighed afresh; in seconds."""
    sheet = engine(2)
    name = sheet.layout.valves[0].name
    commands: tuple[Command, ...] = (
        ConfirmPosition("1", (Evidence.MARK, Evidence.INLET)),
        ReadingTaken(name, BLADES.feeler(Length.um(300)), Answer.FREE),
        ReadingTaken(name, BLADES.feeler(Length.um(350)), Answer.REFUSES),
        ScrewTurned(name, Way.IN, Fraction(degrees)),
    )
    state = begin(Event(1, AT, Opened("s", sheet, "c", BLADES, Particulars())))
    for number, command in enumerate(commands, start=2):
        state = apply(state, Event(number, AT, decide(state, command)))
    judged = look(state, name).judged
    assert judged is not None
    began = time.perf_counter()
    while_slack(state, name, judged, ZERO)
    return time.perf_counter() - began


def main(tries: int) -> int:
    """Print the table."""
    first = 0.0
    for cylinders in (2, 6, 12):
        sheet = engine(cylinders)
        state = worked(sheet)
        valve = sheet.layout.valves[-1].name
        took = sorted(a_key(state, valve) for _ in range(tries))[tries // 2] * 1000
        first = first or took
        print(f"{len(sheet.layout.valves):>3} valves  {took:7.2f} ms a key  {took / first:5.2f} x")
    took = sorted(with_the_nut_slack(40 + n) for n in range(tries))[tries // 2] * 1000
    print(f"nut slack   {took:7.2f} ms weighed {took / first:5.2f} x")
    return 0


if __name__ == "__main__":
    sys.exit(main(5 if "--short" in sys.argv else 25))
