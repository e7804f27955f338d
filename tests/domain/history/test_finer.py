"""Which valve is read finely: its turn, its price, and who has to ask for it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchtui.domain.history.finer import LEAVES, MOST, FinerReading, KnownValve, finer_reading
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band, ValveKind

BAND = Band(Length.um(80), Length.um(120))
Candidates = tuple[KnownValve, ...]


def engine(cylinders: int) -> Candidates:
    kinds = (("I", ValveKind.INLET), ("E", ValveKind.EXHAUST))
    return tuple(
        KnownValve(f"{k}{letter}", kind, BAND)
        for k in range(1, cylinders + 1)
        for letter, kind in kinds
    )


def after(candidates: Candidates, told: FinerReading | None) -> Candidates:
    """A check later."""
    return tuple(
        replace(
            c, fine=0 if told and c.valve == told.valve else None if c.fine is None else c.fine + 1
        )
        for c in candidates
    )


def out(candidates: Candidates, valve: str, times: int) -> Candidates:
    return tuple(replace(c, out=times) if c.valve == valve else c for c in candidates)


def test_nothing_to_read_nothing_asked() -> None:
    assert finer_reading(()) is None


def test_it_is_offered_and_is_on_by_itself_for_a_valve_found_out_twice() -> None:
    first = finer_reading(engine(4))
    assert first == FinerReading("1I", Length.um(12), asked=True)
    assert finer_reading(out(engine(4), "3E", 1)) == replace(first, valve="3E")
    assert finer_reading(out(engine(4), "3E", 2)) == FinerReading("3E", Length.um(12), asked=False)


@pytest.mark.parametrize("cylinders", [1, 2, 3, 4, 8])
def test_it_never_costs_more_than_two_fifths_of_an_insertion_a_valve(cylinders: int) -> None:
    valves, asked = engine(cylinders), 0
    for _ in range(60):
        told = finer_reading(valves)
        asked += told is not None
        valves = after(valves, told)
    assert 0 < Fraction(LEAVES * asked, 60 * len(valves)) <= MOST


def test_two_of_a_kind_take_turns_and_those_most_often_out() -> None:
    valves = out(out(out(engine(4), "2E", 3), "4E", 2), "1I", 2)
    told = []
    for _ in range(6):
        finer = finer_reading(valves)
        assert finer is not None
        told.append(finer.valve)
        valves = after(valves, finer)
    assert told[:3] == told[3:]
    assert sorted(told[:3]) == ["1I", "2E", "4E"]
