from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.screw_check import (
    Look,
    Span,
    Turned,
    check_screw,
    common,
    per_turn,
)
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, ScrewEnd


def bracket(low: str, high: str | None) -> Bracket:
    return Bracket(Length.mm(low), None if high is None else Length.mm(high))


def screw(pitch: str, ratio: Fraction | None = None) -> Adjuster:
    end = ScrewEnd.VALVE if ratio is None else ScrewEnd.PUSHROD
    return Adjuster(AdjusterKind.SCREW, at=end, pitch=Length.mm(pitch), ratio=ratio or Fraction(1))


def opened(degrees: int, before: tuple[str, str], after: tuple[str, str | None]) -> Turned:
    return Turned(False, Fraction(degrees), bracket(*before), bracket(*after))  # noqa: FBT003 - the way


def exact(degrees: int, gap_per_turn: str, start: str = ".10") -> Turned:
    """A turn outwards gauged to a hundredth of a millimetre either side."""
    moved = Fraction(gap_per_turn) * degrees / 360
    low, high = Fraction(start) - Fraction(1, 200), Fraction(start) + Fraction(1, 200)
    return Turned(
        False,  # noqa: FBT003 - the way
        Fraction(degrees),
        Bracket(Length.mm(low), Length.mm(high)),
        Bracket(Length.mm(low + moved), Length.mm(high + moved)),
    )


def test_a_turn_as_an_interval() -> None:
    # Source: geometry. .10-.11 to .19-.20 in 90 degrees: .08 to .10 a quarter turn.
    turned = opened(90, (".10", ".11"), (".19", ".20"))
    assert per_turn(turned, Fraction(0)) == Span(Fraction(320_000), Fraction(400_000))
    # A hand's error of 5 degrees widens it both ways.
    assert per_turn(turned) == Span(Fraction(80_000 * 360, 95), Fraction(100_000 * 360, 85))


def test_closing_turns_the_sums_round() -> None:
    turned = Turned(True, Fraction(90), bracket(".19", ".20"), bracket(".10", ".11"))  # noqa: FBT003
    assert per_turn(turned, Fraction(0)) == Span(Fraction(320_000), Fraction(400_000))


def test_open_ends_stay_open() -> None:
    assert per_turn(opened(90, (".10", ".11"), (".19", None)), Fraction(0)) == Span(
        Fraction(320_000), None
    )
    # No blade went before it: the valve may have been held off its seat.
    assert per_turn(opened(90, ("0", ".03"), (".10", ".11")), Fraction(0)) == Span(
        Fraction(280_000), None
    )
    assert per_turn(opened(5, (".10", ".11"), (".19", ".20"))) is None
    assert per_turn(opened(90, (".12", ".11"), (".19", ".20"))) is None


def test_a_turn_that_fits_the_sheet() -> None:
    # Source: geometry: 24 degrees of a 0.75 mm thread are 0.05 mm.
    finding = check_screw([opened(24, (".05", ".06"), (".10", ".11"))], screw(".75"))
    assert finding is not None
    assert finding.fits
    assert str(finding) == "The turns fit the sheet: 0.75 mm a turn."


def test_nothing_told_nothing_said() -> None:
    assert check_screw([], screw(".75")) is None
    assert check_screw([opened(90, ("0", ".03"), (".10", None))], screw(".75")) is not None
    assert check_screw([Turned(True, Fraction(90), Bracket(), Bracket())], screw("1")) is None  # noqa: FBT003
    with pytest.raises(Refusal, match="no pitch"):
        check_screw([], Adjuster(AdjusterKind.SCREW))


LOOKS: list[tuple[Turned, Adjuster, tuple[Look, ...]]] = [
    (exact(90, "1.40"), screw("1.0"), (Look.RATIO_FORGOTTEN,)),
    (exact(180, "1.0"), screw("1.0", Fraction(3, 2)), (Look.RATIO_NOT_WANTED, Look.SLACK)),
    (exact(180, ".6667"), screw("1.0", Fraction(3, 2)), (Look.RATIO_UPSIDE_DOWN, Look.SLACK)),
    # 26 threads to the inch typed as 26 mm, and .75 mm typed as .75 to the inch.
    (exact(90, ".977"), screw("26"), (Look.TPI, Look.SLACK)),
    (exact(90, ".75"), screw("33.867"), (Look.TPI, Look.SLACK)),
    (exact(90, "1.465"), screw("26", Fraction(3, 2)), (Look.TPI, Look.SLACK)),
    (exact(180, ".3"), screw("1.0"), (Look.SLACK,)),
    (exact(180, ".3"), screw("1.0", Fraction(3, 2)), (Look.SLACK,)),
    (exact(180, "0"), screw("1.0"), (Look.STUCK,)),
    (exact(90, "2.8"), screw("1.0"), ()),
]


@pytest.mark.parametrize(("turned", "adjuster", "looks"), LOOKS)
def test_what_a_misfit_looks_like(
    turned: Turned, adjuster: Adjuster, looks: tuple[Look, ...]
) -> None:
    finding = check_screw([turned], adjuster)
    assert finding is not None
    assert not finding.fits
    assert finding.looks == looks
    assert all(look.value in str(finding) for look in looks)
    assert looks or "not the sheet's" in str(finding)


def test_what_was_seen_is_told_with_its_open_ends() -> None:
    more = check_screw([opened(90, (".10", ".11"), (".60", None))], screw("1.0"))
    assert more is not None
    assert "the blades saw 1.86 mm or more." in str(more)
    less = check_screw(
        [Turned(True, Fraction(90), bracket("0", ".10"), bracket(".05", ".06"))],  # noqa: FBT003
        screw("1.0"),
    )
    assert less is not None
    assert "0.21 mm or less" in str(less)
    both = check_screw([opened(90, (".10", ".11"), (".30", ".31"))], screw("1.0", Fraction(2)))
    assert both is not None
    assert "saw 0.72 to 0.89 mm." in str(both)


def test_a_span_holds_its_ends() -> None:
    span = Span(Fraction(1), Fraction(3))
    assert span.holds(Fraction(1))
    assert span.holds(Fraction(3))
    assert not span.holds(Fraction(4))
    assert Span(None, None).holds(Fraction(0))
    assert common([Span(Fraction(2), None), Span(None, Fraction(2))]) == Span(
        Fraction(2), Fraction(2)
    )


def test_the_wrong_way() -> None:
    closed = opened(90, (".30", ".31"), (".05", ".06"))
    finding = check_screw([closed], screw("1.0"))
    assert finding is not None
    assert finding.looks == (Look.WRONG_WAY,)


def test_turns_that_do_not_agree() -> None:
    finding = check_screw([exact(90, "1.0"), exact(90, ".3")], screw("1.0"))
    assert finding is not None
    assert finding.seen is None
    assert finding.looks == (Look.UNEVEN,)
    assert "agree" in str(finding)


def test_more_turns_narrow_it() -> None:
    wide, narrow = Span(Fraction(1), None), Span(None, Fraction(3))
    assert common([wide, narrow]) == Span(Fraction(1), Fraction(3))
    assert common([wide, Span(None, Fraction(0))]) is None


@given(
    st.tuples(st.integers(300_000, 1_500_000), st.integers(6, 360), st.integers(-5, 5)),
    st.booleans(),
    st.lists(st.integers(0, 40_000), min_size=4, max_size=4),
)
def test_a_right_sheet_is_never_doubted(
    thread: tuple[int, int, int], closes: bool, room: list[int]
) -> None:
    pitch, ordered, slip = thread
    moved = Fraction(pitch * (ordered + slip), 360)
    lower = Fraction(100_000)
    start, end = (lower + moved, lower) if closes else (lower, lower + moved)
    turned = Turned(
        closes,
        Fraction(ordered),
        Bracket(Length(int(start) - room[0]), Length(int(start) + 1 + room[1])),
        Bracket(Length(int(end) - room[2]), Length(int(end) + 1 + room[3])),
    )
    finding = check_screw([turned], Adjuster(AdjusterKind.SCREW, pitch=Length(pitch)))
    assert finding is not None
    assert finding.fits
