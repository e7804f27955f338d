"""Sources: geometry, what a thread, a lever and a nut that takes the screw along do; scipy as oracle."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, truncnorm

from benchtui.domain.adjusting.screw_fit import SLOPES, ScrewRun, ScrewStep, _cut, _ends, excludes
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length

PITCH = 750_000
EXPECTED = Fraction(PITCH)
STARTS = (40, 60, 190, 230, 50, 170, 210, 30)
"""Clearances in micrometres, some to open and some to close."""


def around(gap: float, below: int = 5_000, above: int = 5_000) -> Bracket:
    """A bracket round a gap in nanometres, its blades up to 5 um off."""
    low, high = round(gap) - below, round(gap) + above
    return Bracket(*(Length(n) for n in (low, high, low - 5_000, high + 5_000)))


def run_of(
    start: int, ratio: float, taken: float = 15_000, slip: float = 0, session: str = "a"
) -> ScrewRun:
    """Set from ``start`` to 0.11 mm by the sheet, on a thread that moves ``ratio`` times as much."""
    gap = start * 1000
    degrees = Fraction(110_000 - gap) * 360 / PITCH
    after = gap + float(degrees + Fraction(slip)) / 360 * PITCH * ratio - taken
    step = ScrewStep(degrees, 1, 1, 1, around(after))
    return ScrewRun(session, f"v{start}", around(gap), (step,))


@pytest.mark.parametrize(
    ("mean", "deviation", "low", "high"),
    [(100, 15, 90, 100), (100, 15, 125, 140), (100, 30, 60, None), (100, 30, 0, 105)],
)
def test_a_cut_is_the_truncated_normal(
    mean: int, deviation: int, low: int, high: int | None
) -> None:
    """Source: scipy.stats.truncnorm, for blades without an error; from zero there is no lower end."""
    ends = Length.um(low), None if high is None else Length.um(high)
    read = Bracket(*ends, *ends)
    chance, at, variance = _cut(mean * 1e3, (deviation * 1e3) ** 2, _ends(read))
    a = (low - mean) / deviation if low else -float("inf")
    b = float("inf") if high is None else (high - mean) / deviation
    assert chance == pytest.approx(norm.cdf(b) - norm.cdf(a))
    assert at == pytest.approx(1e3 * truncnorm.mean(a, b, mean, deviation))
    assert sqrt(variance) == pytest.approx(1e3 * truncnorm.std(a, b, mean, deviation))


def test_a_ratio_left_out_is_told_from_the_nut() -> None:
    """Geometry: 1.5 times as much at every turn, and 15 um less at every locking."""
    runs = tuple(run_of(s, 1.5) for s in STARTS)
    seen = excludes(runs, EXPECTED)
    assert seen is not None
    assert seen.holds(Fraction(3, 2) * EXPECTED)
    assert not seen.holds(EXPECTED)


def test_a_ratio_too_many_too() -> None:
    seen = excludes(tuple(run_of(s, 1 / 1.6) for s in STARTS), EXPECTED)
    assert seen is not None
    assert seen.holds(EXPECTED / Fraction(16, 10))


@pytest.mark.parametrize("taken", [-35_000, 35_000])
def test_a_right_sheet_is_not_doubted_whatever_the_nut_takes(taken: int) -> None:
    assert excludes(tuple(run_of(s, 1, taken) for s in STARTS), EXPECTED) is None


def test_turns_of_one_size_and_way_cannot_tell_it_from_the_nut() -> None:
    """Opened by 50 um as ordered, and 65 um seen: a ratio of 1.3, or a nut that opens by 15 um."""
    assert excludes((run_of(60, 1.3, 0),) * 12, EXPECTED) is None
    both = (run_of(60, 1.3, 0), run_of(160, 1.3, 0)) * 12
    assert excludes(both, EXPECTED) is not None


def test_one_slip_makes_no_doubt() -> None:
    right = [run_of(s, 1) for s in STARTS]
    for slip in (-90, -45, 45, 90):
        assert excludes((*right, run_of(20, 1, slip=slip)), EXPECTED) is None
    assert excludes((run_of(20, 3),), EXPECTED) is None


def test_nor_does_one_valve_that_is_turned_again_and_again() -> None:
    again = run_of(30, 2.5)
    step = ScrewStep(Fraction(60), 1, 1, 1, around(110_000))
    many = ScrewRun("a", "1E", again.start, tuple(step for _ in range(10)))
    assert excludes((many, *(run_of(s, 1) for s in STARTS)), EXPECTED) is None


def test_open_brackets_tell_too() -> None:
    """Only one blade tried after each turn: it goes, or it refuses."""
    assert excludes(_open_runs(1), EXPECTED) is None
    seen = excludes(_open_runs(1.6), EXPECTED)
    assert seen is not None
    assert seen.high is None


def _open_runs(ratio: float) -> tuple[ScrewRun, ...]:
    runs = []
    for start in STARTS:
        shut = run_of(start, ratio)
        read = shut.steps[0].read
        opening = start < 110
        half = (
            Bracket(read.low, None, read.wide_low)
            if opening
            else Bracket(high=read.high, wide_high=read.wide_high)
        )
        runs.append(
            ScrewRun(
                "a", f"v{start}", shut.start, (ScrewStep(shut.steps[0].degrees, 1, 1, 1, half),)
            )
        )
    return tuple(runs)


@settings(max_examples=3, deadline=None)
@given(seed=st.integers(0, 10**6), taken=st.integers(-20_000, 30_000))
def test_a_right_sheet_is_not_doubted(seed: int, taken: int) -> None:
    """With every turn a few degrees off, nuts that scatter and blades anywhere about the gap."""
    random = Random(seed)  # noqa: S311  # hides no secret
    runs = []
    for number in range(10):
        gap = random.choice([random.randint(30, 80), random.randint(140, 260)]) * 1000
        before = around(gap, random.randint(0, 15_000), random.randint(1, 15_000))
        degrees = Fraction(110_000 - gap) * 360 / PITCH
        made = float(degrees) + random.uniform(-5, 5)
        after = gap + made / 360 * PITCH - random.gauss(taken, 8_000)
        read = around(after, random.randint(0, 15_000), random.randint(1, 15_000))
        runs.append(ScrewRun("a", f"v{number}", before, (ScrewStep(degrees, 1, 1, 1, read),)))
    assert excludes(tuple(runs), EXPECTED) is None


def test_the_sheet_itself_is_among_what_is_supposed() -> None:
    assert Fraction(1) in SLOPES
    assert list(SLOPES) == sorted(SLOPES)


def test_a_run_starts_closed() -> None:
    open_start = ScrewRun("a", "1E", Bracket(Length.um(50)), run_of(40, 1).steps)
    with pytest.raises(ValueError, match="closed"):
        excludes((open_start, run_of(40, 1)), EXPECTED)
