"""What one turn shows by itself, and what is said of it. Source of the figures: geometry."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.screw_check import Misfit, ScrewFinding, Span, looks_of
from benchtui.domain.adjusting.screw_fit import ScrewRun, ScrewStep, excluded_by_one
from benchtui.domain.adjusting.turns import gap_per_turn
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, ScrewEnd


def bracket(low: Fraction | str, high: Fraction | str | None) -> Bracket:
    """Gauged by blades without an error."""
    top = None if high is None else Length.mm(high)
    return Bracket(Length.mm(low), top, Length.mm(low), top)


def screw(pitch: str, ratio: Fraction | None = None) -> Adjuster:
    end = ScrewEnd.VALVE if ratio is None else ScrewEnd.PUSHROD
    return Adjuster(AdjusterKind.SCREW, at=end, pitch=Length.mm(pitch), ratio=ratio or Fraction(1))


def turned(degrees: int, before: Bracket, *after: Bracket, worked: int = 0) -> ScrewRun:
    """Turned so far (plus opens) and read, once or again and again."""
    steps = tuple(ScrewStep(Fraction(degrees), 1, worked, worked, read) for read in after)
    return ScrewRun("a", "1E", before, steps)


def exact(degrees: int, gap_per_turn: str, start: str = ".10") -> ScrewRun:
    """A turn outwards gauged to a hundredth of a millimetre either side."""
    moved = Fraction(gap_per_turn) * degrees / 360
    low, high = Fraction(start) - Fraction(1, 200), Fraction(start) + Fraction(1, 200)
    return turned(degrees, bracket(low, high), bracket(low + moved, high + moved))


def found(run: ScrewRun, adjuster: Adjuster, nut: Length = ZERO) -> ScrewFinding | None:
    expected = gap_per_turn(adjuster)
    seen = excluded_by_one(run, expected, nut)
    return (
        None if seen is None else ScrewFinding(expected, seen, looks_of(seen, expected, adjuster))
    )


FAR = Fraction(10**9)


def test_a_turn_as_an_interval() -> None:
    # .10-.11 to .19-.20 in 90 degrees: .08 to .10 a quarter turn, the hand 5 degrees out either way.
    seen = Span(Fraction(80_000 * 360, 95), Fraction(100_000 * 360, 85))
    opened = turned(90, bracket(".10", ".11"), bracket(".19", ".20"))
    closed = turned(-90, bracket(".19", ".20"), bracket(".10", ".11"))
    assert excluded_by_one(opened, FAR, ZERO) == excluded_by_one(closed, FAR, ZERO) == seen


def test_work_on_the_nut_widens_it() -> None:
    run = turned(90, bracket(".10", ".11"), bracket(".19", ".20"), worked=1)
    nut = Length.um(35)
    assert excluded_by_one(run, FAR, nut) == Span(
        Fraction(45_000 * 360, 95), Fraction(135_000 * 360, 85)
    )


def test_each_blades_own_error_counts_against_us() -> None:
    off = Bracket(Length.um(190), Length.um(200), Length.um(185), Length.um(205))
    seen = excluded_by_one(turned(90, bracket(".10", ".11"), off), FAR, ZERO)
    assert seen == Span(Fraction(75_000 * 360, 95), Fraction(105_000 * 360, 85))


def test_open_ends_stay_open() -> None:
    up = turned(90, bracket(".10", ".11"), bracket(".19", None))
    assert excluded_by_one(up, Fraction(1), ZERO) == Span(Fraction(80_000 * 360, 95), None)
    # No blade went before it: the valve may have been held off its seat.
    held = turned(90, bracket("0", ".03"), bracket(".10", ".11"))
    assert excluded_by_one(held, Fraction(1), ZERO) == Span(Fraction(70_000 * 360, 95), None)
    small = turned(5, bracket(".10", ".11"), bracket(".19", ".20"))
    assert excluded_by_one(small, FAR, ZERO) is None


def test_one_blade_between_does_not_hide_what_was_read_before_it() -> None:
    """An open bracket tells little: the turns are then one with the next, with two hands' errors."""
    run = turned(45, bracket(".10", ".11"), bracket(".12", None), bracket(".19", ".20"))
    assert excluded_by_one(run, FAR, ZERO) == Span(
        Fraction(80_000 * 360, 100), Fraction(100_000 * 360, 80)
    )


def test_the_latest_turn_is_told() -> None:
    run = turned(90, bracket(".10", ".11"), bracket(".10", ".11"), bracket(".60", ".61"))
    finding = found(run, screw("1.0"))
    assert finding is not None
    assert finding.seen.low is not None
    assert finding.seen.low > 1_800_000


LOOKS: list[tuple[ScrewRun, Adjuster, tuple[Misfit, ...]]] = [
    (exact(90, "1.40"), screw("1.0"), (Misfit.RATIO_FORGOTTEN,)),
    (exact(180, "1.0"), screw("1.0", Fraction(3, 2)), (Misfit.RATIO_NOT_WANTED, Misfit.SLACK)),
    (exact(180, ".6667"), screw("1.0", Fraction(3, 2)), (Misfit.RATIO_UPSIDE_DOWN, Misfit.SLACK)),
    # 26 threads to the inch typed as 26 mm, and .75 mm typed as .75 to the inch.
    (exact(90, ".977"), screw("26"), (Misfit.TPI, Misfit.SLACK)),
    (exact(90, ".75"), screw("33.867"), (Misfit.TPI, Misfit.SLACK)),
    (exact(90, "1.465"), screw("26", Fraction(3, 2)), (Misfit.TPI, Misfit.SLACK)),
    (exact(180, ".3"), screw("1.0"), (Misfit.SLACK,)),
    (exact(180, ".3"), screw("1.0", Fraction(3, 2)), (Misfit.SLACK,)),
    (exact(180, "0"), screw("1.0"), (Misfit.STUCK,)),
    (exact(90, "2.8"), screw("1.0"), ()),
    (turned(90, bracket(".30", ".31"), bracket(".05", ".06")), screw("1.0"), (Misfit.WRONG_WAY,)),
]


@pytest.mark.parametrize(("run", "adjuster", "looks"), LOOKS)
def test_what_a_misfit_looks_like(
    run: ScrewRun, adjuster: Adjuster, looks: tuple[Misfit, ...]
) -> None:
    finding = found(run, adjuster)
    assert finding is not None
    assert finding.looks == looks
    assert all(look.value in str(finding) for look in looks)
    assert looks or "not the sheet's" in str(finding)


def test_what_was_seen_is_told_with_its_open_ends() -> None:
    more = found(turned(90, bracket(".10", ".11"), bracket(".60", None)), screw("1.0"))
    assert "the blades saw 1.86 mm or more." in str(more)
    less = found(turned(-90, bracket(".10", ".11"), bracket(".05", None)), screw("1.0"))
    assert "saw 0.25 mm or less" in str(less)
    wide = turned(90, bracket(".10", ".11"), bracket(".30", ".31"))
    assert "saw 0.72 to 0.89 mm." in str(found(wide, screw("1.0", Fraction(2))))


def test_a_span_holds_its_ends() -> None:
    span = Span(Fraction(1), Fraction(3))
    assert span.holds(Fraction(1))
    assert span.holds(Fraction(3))
    assert not span.holds(Fraction(4))
    assert Span(None, None).holds(Fraction(0))


STEPS = st.tuples(
    st.integers(20, 400),
    st.integers(-200, 200),
    st.fractions(-5, 5, max_denominator=8),
    st.integers(-35, 35),
    st.lists(st.integers(0, 30), min_size=2, max_size=2),
)


@given(
    pitch=st.integers(350, 1500),
    ratio=st.fractions(Fraction(1), Fraction(9, 5), max_denominator=20),
    told=st.lists(STEPS, min_size=1, max_size=4),
)
def test_a_right_sheet_is_never_blamed(
    pitch: int, ratio: Fraction, told: list[tuple[int, int, Fraction, int, list[int]]]
) -> None:
    """Whatever the hand and the locknut do within their bounds, and wherever the blades fall."""
    gap = Fraction(told[0][0])
    start = around(gap, *told[0][4])
    steps = []
    for _, degrees, slip, nut, room in told:
        gap = max(Fraction(1), gap + pitch * ratio * (degrees + slip) / 360 + nut)
        if gap == 1:  # it has come to nothing, and nobody knows how far beyond
            break
        steps.append(ScrewStep(Fraction(degrees), 1, 1, 1, around(gap, *room)))
    run = ScrewRun("a", "1E", start, tuple(steps))
    assert excluded_by_one(run, pitch * 1000 * ratio, Length.um(35)) is None


def around(gap: Fraction, below: int, above: int) -> Bracket:
    """A bracket round a true gap in micrometres, of blades without an error."""
    low, high = Length.um(max(0, int(gap) - below)), Length.um(int(gap) + 1 + above)
    return Bracket(low, high, low, high)
