from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.history.slopes import Line, Seen, Slope, slope_through, wedge
from benchtui.domain.length import Length

HOURS = (0, 500, 1000, 1500, 2000, 2500)
LOW = (".20", ".18", ".18", ".15", ".15", ".12")
HIGH = (".22", ".20", ".20", ".18", ".18", ".15")
ROW = tuple(
    Seen(Fraction(x), Length.mm(low), Length.mm(high))
    for x, low, high in zip(HOURS, LOW, HIGH, strict=True)
)


def seen(x: int, low: str | None, high: str | None) -> Seen:
    return Seen(
        Fraction(x),
        None if low is None else Length.mm(low),
        None if high is None else Length.mm(high),
    )


def test_every_line_through_all_brackets() -> None:
    # Source: scipy.optimize.linprog over (m, b), -3.3333e-5 to -2.0000e-5 mm an hour.
    slope = slope_through(ROW)
    assert slope == Slope(Fraction(-100, 3), Fraction(-20))
    assert slope.falls
    assert not slope.rises


def _oracle(rows: tuple[Seen, ...], sign: int) -> float | None:
    """Source: scipy.optimize.linprog, in micrometres over hundreds; None where none passes."""
    a, b = [], []
    for s in rows:
        if s.high is not None:
            a.append([float(s.x / 100), 1.0])
            b.append(s.high.nm / 1000)
        if s.low is not None:
            a.append([-float(s.x / 100), -1.0])
            b.append(-s.low.nm / 1000)
    found = linprog([sign, 0.0], A_ub=a, b_ub=b, bounds=[(None, None)] * 2)
    assert found.status in {0, 2}  # found, or none passes
    return float(np.asarray(found.x)[0]) * 10 if found.status == 0 else None


def test_the_row_by_the_oracle_itself() -> None:
    assert _oracle(ROW, 1) == pytest.approx(-100 / 3)
    assert _oracle(ROW, -1) == pytest.approx(-20)


def test_the_wedge_ahead_is_the_oracles() -> None:
    # Source: scipy.optimize.linprog, least and greatest height at 3 500 h of any line that passes.
    ahead = wedge(ROW, slope_through(ROW))
    assert ahead is not None
    assert ahead.lower is not None
    assert ahead.upper is not None
    a = [[float(s.x), 1.0] for s in ROW] + [[-float(s.x), -1.0] for s in ROW]
    b = [s.high.nm / 1e3 for s in ROW if s.high] + [-s.low.nm / 1e3 for s in ROW if s.low]
    free = [(None, None)] * 2
    least = linprog([3500.0, 1.0], A_ub=a, b_ub=b, bounds=free)
    most = linprog([-3500.0, -1.0], A_ub=a, b_ub=b, bounds=free)
    assert least.fun is not None
    assert most.fun is not None
    assert float(ahead.lower.at(Fraction(3500))) == pytest.approx(float(least.fun) * 1e3)
    assert float(ahead.upper.at(Fraction(3500))) == pytest.approx(-float(most.fun) * 1e3)


BRACKETS = st.lists(
    st.tuples(st.integers(0, 12), st.integers(1, 40), st.integers(0, 25)), min_size=2, max_size=6
).map(
    lambda rows: tuple(
        Seen(Fraction(x * 500), Length(low * 1000), Length((low + w) * 1000)) for x, low, w in rows
    )
)


@given(BRACKETS)
def test_the_same_as_linprog(rows: tuple[Seen, ...]) -> None:
    assume(len({s.x for s in rows}) > 1)
    slope = slope_through(rows)
    low, high = _oracle(rows, 1), _oracle(rows, -1)
    if slope is None:
        assert low is None
        return
    assert slope.low is not None
    assert slope.high is not None
    assert low == pytest.approx(float(slope.low), abs=1e-6)
    assert high == pytest.approx(float(slope.high), abs=1e-6)


def _room(rows: tuple[Seen, ...], m: Fraction) -> bool:
    """Whether some line of slope m passes: found without the pair formula."""
    floor = max(s.low.nm - m * s.x for s in rows if s.low is not None)
    roof = min(s.high.nm - m * s.x for s in rows if s.high is not None)
    return floor <= roof


@given(BRACKETS, st.fractions(-100, 100, max_denominator=50))
def test_inside_the_range_a_line_passes_and_outside_none_does(
    rows: tuple[Seen, ...], m: Fraction
) -> None:
    assume(len({s.x for s in rows}) > 1)
    slope = slope_through(rows)
    inside = (
        slope is not None
        and slope.low is not None
        and slope.high is not None
        and slope.low <= m <= slope.high
    )
    assert _room(rows, m) is inside
    if slope is not None and slope.low is not None and slope.high is not None:
        tiny = Fraction(1, 10**9)
        assert _room(rows, slope.low)
        assert _room(rows, slope.high)
        assert not _room(rows, slope.low - tiny)
        assert not _room(rows, slope.high + tiny)


@given(
    st.lists(st.integers(0, 30), min_size=2, max_size=14, unique=True),
    st.fractions(-20, 20, max_denominator=9),
    st.integers(700_000, 900_000),
    st.data(),
)
def test_the_true_line_is_never_excluded_and_stays_in_the_wedge(
    xs: list[int], m: Fraction, b: int, data: st.DataObject
) -> None:
    rows = []
    for x in xs:
        y = m * x * 500 + b
        below, above = data.draw(st.integers(0, 50_000)), data.draw(st.integers(0, 50_000))
        rows.append(Seen(Fraction(x * 500), Length(int(y) - below), Length(int(y) + 1 + above)))
    slope = slope_through(rows)
    assert slope is not None
    assert slope.low is not None
    assert slope.high is not None
    assert slope.low <= m <= slope.high
    assert not _room(tuple(rows), slope.low - Fraction(1, 10**9))
    assert not _room(tuple(rows), slope.high + Fraction(1, 10**9))
    ahead = wedge(rows, slope_through(rows))
    assert ahead is not None
    assert ahead.lower is not None
    assert ahead.upper is not None
    for ahead_by in (0, 700):
        place = ahead.last + ahead_by
        assert ahead.lower.at(place) <= m * place + b <= ahead.upper.at(place)
    for line in (ahead.lower, ahead.upper):
        assert all(s.low is None or s.low.nm <= line.at(s.x) for s in rows)
        assert all(s.high is None or line.at(s.x) <= s.high.nm for s in rows)


def test_no_line_through_brackets_that_jump() -> None:
    rows = (
        seen(0, ".10", ".11"),
        seen(1000, ".10", ".11"),
        seen(2000, ".05", ".06"),
        seen(3000, ".05", ".06"),
    )
    assert slope_through(rows) is None
    assert wedge(rows, slope_through(rows)) is None


def test_two_brackets_at_one_place_that_do_not_meet() -> None:
    assert slope_through((seen(0, ".10", ".11"), seen(0, ".05", ".06"))) is None
    assert slope_through((seen(0, ".10", ".12"), seen(0, ".11", ".13"))) == Slope(None, None)


def test_open_ends_stay_open() -> None:
    up = slope_through((seen(0, ".10", ".12"), seen(1000, ".20", None)))
    assert up == Slope(Fraction(80), None)
    # No blade went: it may be gone altogether.
    gone = slope_through((seen(0, ".10", ".12"), seen(1000, "0", ".04")))
    assert gone == Slope(None, Fraction(-60))
    assert gone.falls


def test_a_bracket_upside_down_is_no_bracket() -> None:
    with pytest.raises(ValueError, match="upwards"):
        seen(0, ".12", ".10")


def test_the_widened_bracket_can_be_taken() -> None:
    bracket = Bracket(Length.um(80), Length.um(100), Length.um(75), Length.um(105))
    assert Seen.of(Fraction(1), bracket) == seen(1, ".08", ".10")
    assert Seen.of(Fraction(1), bracket, widened=True) == seen(1, ".075", ".105")


def test_overlap() -> None:
    a, b = Slope(Fraction(-3), Fraction(-1)), Slope(Fraction(0), None)
    assert not a.overlaps(b)
    assert not b.overlaps(a)
    assert a.overlaps(Slope(Fraction(-1), Fraction(2)))
    assert a.overlaps(Slope(None, None))


def test_zero_at_the_very_end_is_not_excluded() -> None:
    zero = Fraction(0)
    assert not Slope(Fraction(-1), zero).falls
    assert not Slope(zero, Fraction(1)).rises
    assert not Slope(None, None).falls
    assert not Slope(None, None).rises
    assert Slope(Fraction(1), None).rises


def test_where_a_line_meets_a_height() -> None:
    assert Line(Fraction(-20), Fraction(200_000)).meets(Length.mm(".10")) == 5000
    assert Line(Fraction(0), Fraction(200_000)).meets(Length.mm(".10")) is None
