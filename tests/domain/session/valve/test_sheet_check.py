from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.screw_check import Misfit
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.session.facts.events import Locked, ScrewTurned, WoundBack
from benchtui.domain.session.valve.sheet_check import turn_finding
from benchtui.domain.sheet import AdjusterKind, Sheet

MakeDesk = Callable[..., Any]


def out(degrees: int) -> ScrewTurned:
    return ScrewTurned("1E", Way.OUT, Fraction(degrees))


def test_a_turn_that_does_as_it_should_says_nothing(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert turn_finding(desk.state, "1E") is None
    desk.do(out(24))
    desk.read("1E", "0.09 free", "0.10 refuses")
    assert turn_finding(desk.state, "1E") is None


def test_a_turn_the_wrong_way_is_told_at_its_valve_alone(desk: Any) -> None:
    desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(out(60))
    desk.read("1E", "0.03 free", "0.04 refuses")
    finding = turn_finding(desk.state, "1E")
    assert finding is not None
    assert finding.looks == (Misfit.WRONG_WAY,)
    assert turn_finding(desk.state, "1I") is None


def test_what_the_locknut_may_take_is_no_fault_of_the_sheet(desk: Any) -> None:
    desk.read("1E", "0.08 free", "0.09 refuses")
    desk.do(out(24), Locked("1E"))
    desk.read("1E", "0.08 free", "0.09 refuses")
    assert turn_finding(desk.state, "1E") is None


def test_a_pad_test_begins_afresh(desk: Any) -> None:
    desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(out(60), WoundBack("1E", Fraction(72)))
    desk.read("1E", "0.03 free", "0.04 refuses")
    assert turn_finding(desk.state, "1E") is None


@pytest.mark.parametrize("kind", [AdjusterKind.SHIM, AdjusterKind.ECCENTRIC])
def test_only_threads_are_checked(
    make_desk: MakeDesk, make_twin: Callable[..., Sheet], kind: AdjusterKind
) -> None:
    assert turn_finding(make_desk(make_twin(kind)).state, "1E") is None


def test_without_a_pitch_nothing_is_checked(
    make_desk: MakeDesk, make_twin: Callable[..., Sheet]
) -> None:
    sheet = make_twin()
    bare = replace(sheet, adjuster=replace(sheet.adjuster, pitch=None))
    assert turn_finding(make_desk(bare).state, "1E") is None
