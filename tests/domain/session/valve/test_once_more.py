"""The reading that a setting would rest on alone."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import LeftLast, Locked, ScrewTurned
from benchtui.domain.session.valve.once_more import decides_alone

mm, um = Length.mm, Length.um


def alone(desk: Any, name: str = "1I") -> str | None:
    """1I wants 0.06 to 0.10 mm."""
    reading = decides_alone(desk.state, name)
    return None if reading is None else str(reading)


@pytest.mark.parametrize(
    ("readings", "one"),
    [
        ((), None),
        (("0.06 free", "0.10 refuses"), None),  # in range
        (("0.06 refuses",), "0.06 refuses"),
        (("0.06 refuses", "0.03 free"), "0.06 refuses"),
        (("0.06 refuses", "0.05 refuses", "0.03 free"), None),  # either says it
        (("0.06 refuses", "0.03 free", "0.06 refuses"), None),
        (("0.12 free",), "0.12 free"),
        (("0.12 drag", "0.15 refuses"), "0.12 drag"),
        (("0.10 free", "0.12 refuses"), "0.10 free"),  # the upper limit, free, is wide
        (("0.10 free", "0.12 free", "0.15 refuses"), None),
        (("0.06 free",), None),  # nothing is known of the other side
    ],
)
def test_one_reading_decides_or_two_do(
    desk: Any, readings: tuple[str, ...], one: str | None
) -> None:
    desk.read("1I", *readings)
    assert alone(desk) == one


@pytest.mark.parametrize(
    ("last", "asked"),
    [
        (LeftLast("1I", mm("0.07"), mm("0.08")), True),
        (LeftLast("1I", mm("0.07"), mm("0.08"), um(-30), um(-20)), False),  # 0.06 at most
        (LeftLast("1I", mm("0.07"), mm("0.08"), um(-30), um(-10)), True),  # it may be in still
        (LeftLast("1I", mm("0.15"), mm("0.20")), True),  # wide was expected, not tight
        (LeftLast("1E", mm("0.04"), mm("0.05")), True),  # of another valve
    ],
)
def test_not_where_the_drift_since_last_time_lets_one_expect_it(
    desk: Any, last: LeftLast, asked: bool
) -> None:
    made = type(desk)(replace(desk.state.opened, left_last=(last,)))
    made.confirm("1")
    made.read("1I", "0.06 refuses", "0.05 free")
    assert (alone(made) is not None) is asked


def test_after_a_lock_it_is_asked_again_and_with_the_nut_slack_it_is_not(desk: Any) -> None:
    desk.read("1I", "0.06 refuses", "0.05 refuses", "0.04 free")
    desk.do(ScrewTurned("1I", Way.OUT, Fraction(10)))
    desk.read("1I", "0.05 refuses")
    assert alone(desk) is None
    desk.do(Locked("1I"))
    desk.read("1I", "0.05 refuses")
    assert alone(desk) == "0.05 refuses"


def test_a_reading_that_does_not_count_decides_nothing(make_desk: Any) -> None:
    made = make_desk(confirmed=None)
    made.read("1I", "0.06 refuses")
    assert alone(made) is None
