"""The lines of the written-down form that belong to setting."""

from __future__ import annotations

from fractions import Fraction

import pytest

from benchtui.domain.errors import FaultyInput
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import ShimFitted, SpareTold, WoundBack
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.script import (
    Deed,
    StrikeBlades,
    TryBlades,
    answer_of,
    parse_script,
    shim_of,
    spare_of,
)


def deed(line: str) -> Deed:
    (step,) = parse_script(line, "notes.txt")
    return step.deed


def mm(text: str) -> Length:
    return Length.mm(text)


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("1E shim 2.80", ShimFitted("1E", mm("2.80"))),
        ("1E shim 2.80 measured 2.79", ShimFitted("1E", mm("2.80"), mm("2.79"))),
        ("1E shim found 2.80", ShimFitted("1E", mm("2.80"), found=True)),
        ("1E shim found 2.80 measured 2.79", ShimFitted("1E", mm("2.80"), mm("2.79"), found=True)),
        ("1E shim 110 thou", ShimFitted("1E", Length.thou(110))),
        ("spare 2.75", SpareTold(mm("2.75"))),
        ("spare 2.75 measured 2.74", SpareTold(mm("2.75"), mm("2.74"))),
        ("1E pad 90", WoundBack("1E", Fraction(90))),
        ("1E pad 0.25 turn", WoundBack("1E", Fraction(90))),
        ("1I whole 0.14 free", TryBlades("1I", (mm("0.14"),), Answer.FREE, whole=True)),
        (
            "1I whole 0.10+0.05 forced",
            TryBlades("1I", (mm("0.10"), mm("0.05")), Answer.REFUSES, forced=True, whole=True),
        ),
        ("1I whole strike 0.14", StrikeBlades("1I", (mm("0.14"),), whole=True)),
        ("1I whole strike", StrikeBlades("1I", None, whole=True)),
        ("1I strike 0.14", StrikeBlades("1I", (mm("0.14"),))),
    ],
)
def test_what_a_line_asks_for(line: str, meant: Deed) -> None:
    assert deed(line) == meant


@pytest.mark.parametrize(
    "line",
    [
        "1E shim",
        "1E shim found",
        "1E shim 2.80 measured",
        "1E shim 2.80 2.79",
        "1E shim measured 2.79",
        "1E pad",
        "1E pad far",
        "1I whole",
        "1I whole 0.14",
        "1I whole 0.14 perhaps",
        "1I whole strike 0.14 free",
        "spare",
        "spare found 2.80",
    ],
)
def test_what_cannot_be_read_is_a_fault_of_its_line(line: str) -> None:
    with pytest.raises(FaultyInput) as raised:
        parse_script(f"close\n{line}\n", "notes.txt")
    assert [fault.line for fault in raised.value.faults] == [2]


def test_the_same_typed_on_a_screen() -> None:
    assert shim_of(" 2.80 ") == (mm("2.80"), None, False)
    assert spare_of("2.80 measured 2.79") == (mm("2.80"), mm("2.79"))
    assert answer_of("0.20 drag") == ((mm("0.20"),), Answer.DRAG, False)
    for wrong in ("", "free", "0.20"):
        with pytest.raises(FaultyQuantity):
            answer_of(wrong)
    with pytest.raises(FaultyQuantity):
        shim_of("")
