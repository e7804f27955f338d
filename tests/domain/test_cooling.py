"""Newton's cooling: against the closed form, and against an integration of the differential equation."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.cooling import ColdIn, cold_in, cold_words
from benchtui.domain.refusal import Refusal
from tests.refusing import must_refuse

F = Fraction


def test_the_closed_form() -> None:
    # T = 20 + 60 exp(-kt): 80, then 50 after an hour, so k = ln 2 / h; 35 is one more hour (arithmetic).
    found = cold_in(F(80), F(50), F(60), F(20), F(35))
    assert found.likely == 60
    assert found.soonest < 60 < found.latest


def test_the_interval_is_that_of_the_worst_thermometers() -> None:
    found = cold_in(F(80), F(50), F(60), F(20), F(35))
    late = 60 * math.log((51 - 21) / (35 - 21)) / math.log((79 - 21) / (51 - 21))
    soon = 60 * math.log((49 - 19) / (35 - 19)) / math.log((81 - 19) / (49 - 19))
    assert (found.soonest, found.latest) == (math.floor(soon), math.ceil(late))


def test_against_an_integration_of_the_equation() -> None:
    # Source: scipy.integrate.solve_ivp on dT/dt = -k (T - air), its event at the limit.
    integrate = pytest.importorskip("scipy.integrate")
    air, rate = 12.0, 0.011

    def cooling(_: float, t: list[float]) -> list[float]:
        return [-rate * (t[0] - air)]

    def at_limit(_: float, t: list[float]) -> float:
        return float(t[0] - 35.0)

    at_limit.terminal = True  # type: ignore[attr-defined]  # how the integrator is told to stop there
    run = integrate.solve_ivp(
        cooling, (0.0, 1000.0), [75.0], events=at_limit, rtol=1e-10, atol=1e-10, dense_output=True
    )
    later = F(float(run.sol(30.0)[0]))
    found = cold_in(F(75), later, F(30), F(12), F(35))
    assert found.likely == round(float(run.t_events[0][0]) - 30.0)


@given(st.integers(-10, 25), st.integers(36, 60), st.integers(5, 40), st.integers(10, 120))
def test_the_likely_time_lies_in_the_interval_which_holds_every_corner(
    air: int, later: int, drop: int, minutes: int
) -> None:
    limit = F(35)
    try:
        found = cold_in(F(later + drop), F(later), F(minutes), F(air), limit)
    except Refusal:
        return
    assert 0 <= found.soonest <= found.likely <= found.latest
    for a in (-1, 1):
        for b in (-1, 1):
            for c in (-1, 1):
                hot, warm, cool = later + drop + a, later + b, air + c
                if warm <= limit:
                    continue
                rate = math.log((hot - cool) / (warm - cool)) / minutes
                t = math.log((warm - cool) / (35 - cool)) / rate
                assert found.soonest <= t + 1e-6
                assert t <= found.latest + 1e-6


@pytest.mark.parametrize(
    ("first", "later", "minutes", "air", "why"),
    [
        (60, 34, 30, 12, "already"),
        (60, 50, 5, 12, "too little"),
        (60, 50, 30, 34, "not clearly below"),
        (60, 59, 30, 12, "within what a thermometer"),
        (50, 55, 30, 12, "within what a thermometer"),
        (63, 60, 240, 12, "more than a day"),
    ],
)
def test_what_cannot_be_told_is_refused(
    first: int, later: int, minutes: int, air: int, why: str
) -> None:
    with must_refuse(why):
        cold_in(F(first), F(later), F(minutes), F(air), F(35))


def test_in_words() -> None:
    assert cold_words(ColdIn(55, 80, 125)) == (
        "cold in about 1 h 20 min (0 h 55 min to 2 h 05 min) after the second reading"
    )
