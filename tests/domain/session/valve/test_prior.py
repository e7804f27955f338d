"""What past checks let one expect: the prior of a valve, and the chance that a verdict is wrong."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.prior import Prior, from_left, from_setting
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import LeftLast, Locked, ScrewTurned
from benchtui.domain.session.valve.prior import expected
from benchtui.domain.sheet import Band
from tests.asking import advise

mm, um = Length.mm, Length.um


def desk_after(desk: Any, *last: LeftLast) -> Any:
    made = type(desk)(replace(desk.state.opened, left_last=last))
    made.confirm("1")
    return made


def prior(desk: Any, valve: str = "1I") -> Prior | None:
    return expected(desk.state, desk.look(valve))


def test_what_was_left_is_expected_moved_by_the_drift_since(desk: Any) -> None:
    plain = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09")))
    assert prior(plain) == from_left(mm("0.08"), mm("0.09"))
    moved = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09"), um(-30), um(-20)))
    assert prior(moved) == Prior(mm("0.05"), mm("0.07"), tail=um(20))
    assert prior(moved, "1E") is None


def test_the_next_blade_follows_the_drift(desk: Any) -> None:
    """Left at 0.09 to 0.10, closing up by 0.04 to 0.05 since: a blade near 0.05 comes first, not one
    near 0.10."""
    plain = desk_after(desk, LeftLast("1I", mm("0.09"), mm("0.10")))
    moved = desk_after(desk, LeftLast("1I", mm("0.09"), mm("0.10"), um(-50), um(-40)))
    first: dict[str, Any] = {
        name: advise(d.state, d.look("1I")) for name, d in (("plain", plain), ("moved", moved))
    }
    assert first["moved"].feeler.nominal <= mm("0.06") < first["plain"].feeler.nominal


def test_an_open_bracket_or_a_touched_valve_leaves_nothing_to_expect(desk: Any) -> None:
    assert prior(desk_after(desk, LeftLast("1I", mm("0.08"), None))) is None
    touched = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09")))
    touched.read("1I", "0.05 free", "0.06 refuses")
    touched.do(ScrewTurned("1I", Way.OUT, Fraction(12)), Locked("1I"))
    assert prior(touched) is None


def test_sisters_of_a_kind_shift_where_a_valve_is_looked_for(desk: Any) -> None:
    """1I wants 0.06 to 0.10 and is found at 0.045: 0.035 under the middle, half of it for one sister."""
    desk.read("1I", "0.04 free", "0.05 refuses")
    shifted = prior(desk, "2I")
    assert shifted == replace(from_setting(Band(mm("0.06"), mm("0.10"))), low=um(40), high=um(80))
    assert prior(desk, "1E") is None  # an exhaust is of another kind
    assert prior(desk, "1I") is None  # nor does a valve shift itself


def test_a_shift_is_taken_from_where_each_was_left(desk: Any) -> None:
    left = LeftLast("1I", mm("0.07"), mm("0.08")), LeftLast("2I", mm("0.08"), mm("0.09"))
    made = desk_after(desk, *left)
    made.read("1I", "0.04 free", "0.05 refuses")  # 0.030 under where it was left
    assert prior(made, "2I") == from_left(um(65), um(75))


@pytest.mark.parametrize(
    "readings",
    [
        (),
        ("0.05 refuses",),
        ("0.12 free", "0.20 refuses"),
        ("0.03 free", "0.12 refuses"),
        ("0.12 free",),
    ],
)
def test_a_sister_counts_once_it_is_read_closely(desk: Any, readings: tuple[str, ...]) -> None:
    desk.read("1I", *readings)
    assert prior(desk, "2I") is None


def test_a_sister_in_the_middle_of_its_range_shifts_nothing(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.10 refuses")
    assert prior(desk, "2I") is None
