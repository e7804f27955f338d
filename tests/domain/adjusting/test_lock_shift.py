from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from benchtui.domain.adjusting.lock_shift import Shift, learned, shift_between
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length


def bracket(low: str, high: str | None) -> Bracket:
    return Bracket(Length.mm(low), None if high is None else Length.mm(high))


def shift(low: str, high: str) -> Shift:
    return Shift(Length.mm(low), Length.mm(high))


def test_intervals_subtract_crosswise() -> None:
    """[0.07, 0.08] less [0.10, 0.12] is [-0.05, -0.02] (interval arithmetic)."""
    found = shift_between(bracket("0.10", "0.12"), bracket("0.07", "0.08"))
    assert found == shift("-0.05", "-0.02")
    assert found is not None
    assert found.middle == Length.mm("-0.035")
    assert found.one_sided


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (("0.10", None), ("0.07", "0.08")),
        (("0.10", "0.12"), ("0.07", None)),
        (("0.12", "0.115"), ("0.07", "0.08")),
        (("0.10", "0.12"), ("0.08", "0.075")),
        (("0", "0.12"), ("0.07", "0.08")),  # no blade went: the valve may be held off its seat
        (("0.10", "0.12"), ("0", "0.08")),
    ],
)
def test_open_or_clashing_brackets_and_those_from_zero_tell_no_shift(
    before: tuple[str, str | None], after: tuple[str, str | None]
) -> None:
    assert shift_between(bracket(*before), bracket(*after)) is None


@given(st.lists(st.integers(1, 10**6), min_size=6, max_size=6))
def test_the_interval_holds_the_true_shift(figures: list[int]) -> None:
    a, b, c = sorted(figures[:3])
    d, e, f = sorted(figures[3:])
    found = shift_between(Bracket(Length(a), Length(c)), Bracket(Length(d), Length(f)))
    assert found is not None
    assert found.low.nm <= e - b <= found.high.nm


@pytest.mark.parametrize(
    ("low", "high", "sided"),
    [
        ("-0.05", "-0.02", True),
        ("0.01", "0.02", True),
        ("-0.01", "0", False),
        ("-0.01", "0.02", False),
    ],
)
def test_one_sided_means_that_the_blades_exclude_nothing_moved(
    low: str, high: str, sided: bool
) -> None:
    assert shift(low, high).one_sided is sided


def test_one_failed_lock_here_is_enough() -> None:
    assert learned([shift("-0.05", "-0.02")], []) == shift("-0.05", "-0.02")


def test_a_failed_lock_that_the_turn_alone_explains_is_no_proof() -> None:
    """From 0.022 closed to 0.008 opened: nothing may have moved."""
    assert learned([shift("-0.022", "0.008")], []) is None


def test_several_failed_locks_are_averaged_and_outrank_the_past() -> None:
    past = [shift("0.01", "0.02")] * 3
    here = [shift("-0.05", "-0.02"), shift("-0.03", "0.00")]
    # Both known alike: 0.035 and 0.015 weigh 1 / 74 each (7 um and 30 / 6 um, squared), none 1 / 144.
    assert learned(here, past) == shift("-0.035", "-0.005")  # 0.050 / 74 / (2 / 74 + 1 / 144)


@pytest.mark.parametrize(
    ("past", "wanted"),  # the weights are those of the law below
    [
        ([], None),
        ([("-0.05", "-0.02")], None),
        ([("-0.05", "-0.03"), ("0.01", "0.02")], None),
        ([("-0.05", "-0.03"), ("-0.04", "-0.01")], ("-0.039", "-0.015")),
        ([("-0.05", "-0.03"), ("-0.03", "-0.01")], ("-0.035", "-0.015")),  # they just touch
        ([("-0.05", "-0.03"), ("-0.04", "-0.01"), ("0.05", "0.06")], ("-0.039", "-0.015")),
    ],
)
def test_of_the_past_two_that_agree_are_wanted(
    past: list[tuple[str, str]], wanted: tuple[str, str] | None
) -> None:
    found = learned([], [shift(*p) for p in past])
    assert found == (None if wanted is None else shift(*wanted))


@given(st.lists(st.tuples(st.integers(-40, -5), st.integers(10, 40)), min_size=2, max_size=8))
def test_what_is_learned_is_the_mean_of_the_posterior(seen: list[tuple[int, int]]) -> None:
    """Against the density itself, summed over a grid (scipy's normal): prior and every lock multiplied."""
    shifts = [Shift(Length.um(m - half), Length.um(m + half)) for m, half in seen]
    found = learned([], [], shifts)
    if found is None:  # no two agree, or their mean is nothing
        return
    agree = [s for s in shifts if sum(s.overlaps(o) for o in shifts) > 1]
    grid = np.linspace(-150, 150, 30_001)
    density = norm.logpdf(grid, 0, 12)
    for s in agree:
        middle, wide = s.middle.nm / 1000, (s.high - s.low).nm / 1000
        density = density + norm.logpdf(middle, grid, np.hypot(7, wide / 6))
    weight = np.exp(density - density.max())
    assert abs(found.middle.nm / 1000 - (grid * weight).sum() / weight.sum()) <= 0.51


def test_a_turn_that_no_blade_has_checked_leaves_the_shift_wider() -> None:
    found = shift_between(bracket("0.10", "0.12"), bracket("0.07", "0.08"), Length.mm("0.01"))
    assert found == shift("-0.06", "-0.01")


def test_of_several_the_mean_lies_where_drag_lets_one_look_for_them() -> None:
    """Two brackets as wide as a range say little of their middles; what was felt says more."""
    felt = [
        Shift(Length.mm("-0.06"), Length.mm("-0.002"), Length.mm(x)) for x in ("-0.01", "-0.02")
    ]
    assert learned([], felt) == shift("-0.039", "0.019")
    assert learned(felt[:1], []) == shift("-0.06", "-0.002")  # a single one as the blades have it


def test_two_of_this_session_teach_as_two_of_before_do() -> None:
    two = [shift("-0.05", "-0.03"), shift("-0.03", "-0.01")]
    assert learned([], [], two) == learned([], two)
    assert learned([], [], two[:1]) is None


def test_many_are_hardly_drawn_towards_nothing() -> None:
    found = learned([], [shift("-0.02", "-0.01")] * 20)
    assert found is not None
    assert abs(found.middle - Length.mm("-0.015")) <= Length.um(1)


def test_locks_that_moved_nothing_are_nothing_to_aim_off() -> None:
    assert learned([], [shift("-0.02", "0.02")] * 2) is None
