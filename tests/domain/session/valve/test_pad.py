"""Over a pad that was found hollow blades say nothing: they bridge it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import ClearanceMeasured, Locked, RuleChosen, WoundBack
from benchtui.domain.session.valve.pad import hollow, pad_finding
from benchtui.domain.session.whole.record import record_of


def pad_test(desk: Any, *answers: str, degrees: int = 90) -> None:
    desk.do(WoundBack("1E", Fraction(degrees)))
    desk.read("1E", *answers)


def left(desk: Any, *answers: str) -> Any:
    desk.do(Locked("1E"))
    return desk.read("1E", *answers)


# 90 degrees of a 0.75 mm thread are 0.1875 mm, a hand's 5 degrees 0.0104 mm (geometry).
HOLLOW = ("0.12 free", "0.05+0.09 refuses")
SOUND = ("0.15+0.03 free", "0.20 refuses")
OPEN = ("0.15 free", "0.20 refuses")
PROVED = ("0.09 free", "0.10 refuses")


def test_over_a_hollow_pad_blades_give_no_verdict(desk: Any) -> None:
    assert desk.read("1E", *PROVED).verdict.proved
    pad_test(desk, *HOLLOW)
    view = left(desk, *PROVED)
    assert view.verdict.kind is VerdictKind.NONE
    assert not view.done
    # At least 85 degrees' 0.17708 mm, of which the blades find less than 0.14 mm.
    assert view.verdict.because.startswith("pad dished, blades lie")
    assert "at least 0.037 mm" in view.verdict.because


def test_a_measured_value_counts_there(desk: Any) -> None:
    pad_test(desk, *HOLLOW)
    left(desk, *PROVED)
    desk.do(ClearanceMeasured("1E", Length.mm("0.13")))
    view = desk.look("1E")
    assert (view.verdict.kind, view.bracket.measured) == (VerdictKind.WIDE, view.measured)


def test_wound_back_from_nothing_and_locked_it_is_set_by_the_thread(desk: Any) -> None:
    """48 degrees make 0.1000 mm, 43 to 53 of them 0.0896 to 0.1104: in 0.08 to 0.12 (geometry)."""
    pad_test(desk, *HOLLOW)
    desk.do(WoundBack("1E", Fraction(48)), Locked("1E"))
    view = desk.look("1E")
    assert (view.verdict.kind, view.done) == (VerdictKind.NONE, True)
    assert "have the pad dressed" in view.verdict.because
    # 60 degrees may make 0.135: that is not done.
    desk.do(WoundBack("1E", Fraction(60)), Locked("1E"))
    assert not desk.look("1E").done


def test_it_is_not_done_by_the_rule_that_asks_for_proof(desk: Any) -> None:
    desk.do(RuleChosen(DecisionRule.PROVED))
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
