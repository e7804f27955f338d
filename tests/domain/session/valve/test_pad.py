"""Over a pad that was found hollow nothing is proved: the blades bridge it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.session.facts.commands import ChooseRule, LockNut, WindBack
from benchtui.domain.session.valve.pad import hollow, pad_finding
from benchtui.domain.session.whole.record import record_of


def pad_test(desk: Any, *answers: str, degrees: int = 90) -> None:
    desk.do(WindBack("1E", Fraction(degrees)))
    desk.read("1E", *answers)


def left(desk: Any, *answers: str) -> Any:
    desk.do(LockNut("1E"))
    return desk.read("1E", *answers)


# 90 degrees of a 0.75 mm thread are 0.1875 mm, a hand's 5 degrees 0.0104 mm (geometry).
HOLLOW = ("0.12 free", "0.05+0.09 refuses")
SOUND = ("0.15+0.03 free", "0.20 refuses")
OPEN = ("0.15 free", "0.20 refuses")
PROVED = ("0.09 free", "0.10 refuses")


def test_a_hollow_pad_withholds_what_the_blades_alone_would_prove(desk: Any) -> None:
    assert desk.read("1E", *PROVED).verdict.proved
    pad_test(desk, *HOLLOW)
    view = left(desk, *PROVED)
    assert (view.verdict.kind, view.verdict.proved) == (VerdictKind.IN, False)
    # At least 85 degrees' 0.17708 mm, of which the blades find less than 0.14 mm.
    assert "not proved" in view.verdict.because
    assert "bridge the pad" in view.verdict.because
    assert "at least 0.037 mm" in view.verdict.because


def test_it_is_not_done_by_the_rule_that_asks_for_proof(desk: Any) -> None:
    desk.do(ChooseRule(DecisionRule.PROVED))
    assert desk.read("1E", *PROVED).done
    pad_test(desk, *HOLLOW)
    assert not left(desk, *PROVED).done


def test_the_record_and_what_was_found_before_are_not_proved_either(desk: Any) -> None:
    desk.read("1E", *PROVED)
    pad_test(desk, *HOLLOW)
    left(desk, *PROVED)
    kept = next(v for v in record_of(desk.state).valves if v.name == "1E")
    assert kept.found is not None
    assert kept.left is not None
    assert not kept.found.verdict.proved
    assert not kept.left.verdict.proved


@pytest.mark.parametrize("answers", [(), OPEN, ("0.20+0.05 free",)])
def test_a_later_test_that_tells_nothing_takes_nothing_back(
    desk: Any, answers: tuple[str, ...]
) -> None:
    pad_test(desk, *HOLLOW)
    pad_test(desk, *answers, degrees=91)
    assert hollow(desk.state, "1E") is not None
    assert not left(desk, *PROVED).verdict.proved


def test_a_later_test_that_finds_all_of_it_does(desk: Any) -> None:
    pad_test(desk, *HOLLOW)
    pad_test(desk, *SOUND)
    assert pad_finding(desk.state, "1E") is not None
    assert hollow(desk.state, "1E") is None
    assert left(desk, *PROVED).verdict.proved


def test_only_that_valve_is_doubted(desk: Any) -> None:
    pad_test(desk, *HOLLOW)
    assert desk.read("1I", "0.07 free", "0.08 refuses").verdict.proved
