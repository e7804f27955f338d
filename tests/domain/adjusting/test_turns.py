from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchtui.domain.adjusting.turns import (
    Turn,
    Way,
    closing_way,
    gap_for,
    gap_per_turn,
    rotation_of,
    turn_for,
)
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, Band, Rotation, ScrewEnd
from tests.refusing import must_refuse

CLOCKWISE, ANTICLOCKWISE = Rotation.CLOCKWISE, Rotation.ANTICLOCKWISE
WIDE = Band(Length(0), Length.mm(9))


def screw(
    pitch: str | Fraction = "0.75",
    *,
    at: ScrewEnd = ScrewEnd.VALVE,
    ratio: str = "1",
    closes: Rotation = CLOCKWISE,
    left_hand: bool = False,
) -> Adjuster:
    return Adjuster(
        AdjusterKind.SCREW,
        at=at,
        pitch=Length.mm(pitch),
        ratio=Fraction(ratio),
        closes=closes,
        left_hand=left_hand,
    )


def bracket(low: str, high: str | None) -> Bracket:
    return Bracket(Length.mm(low), None if high is None else Length.mm(high))


def turn(low: str, high: str | None, aim: str, adjuster: Adjuster, band: Band = WIDE) -> Turn:
    return turn_for(bracket(low, high), Length.mm(aim), band, adjuster)


def shown(made: Turn) -> tuple[str, float, float, float]:
    ends = (made.degrees, made.degrees_low, made.degrees_high)
    degrees, low, high = (round(float(d), 2) for d in ends)
    return made.way.value, degrees, low, high


@pytest.mark.parametrize(
    ("pitch", "degrees"),
    [
        # 0.05 mm on each pitch; source: geometry (360 x 0.05 / pitch).
        (Fraction("0.5"), "36.0"),
        (Fraction("0.75"), "24.0"),
        (Fraction("0.8"), "22.5"),
        (Fraction("1.0"), "18.0"),
        (Fraction(254, 260), "18.4"),  # 26 threads to the inch
    ],
)
def test_a_twentieth_of_a_millimetre_on_common_pitches(pitch: Fraction, degrees: str) -> None:
    made = turn("0.05", "0.05", "0.10", screw(pitch))
    assert f"{float(made.degrees):.1f}" == degrees


@pytest.mark.parametrize(("tpi", "degrees"), [(32, "11.52"), (26, "9.36")])
def test_a_thou_on_inch_threads(tpi: int, degrees: str) -> None:
    """Source: geometry (360 x 0.001 x tpi)."""
    made = turn_for(
        Bracket(Length.thou(4), Length.thou(4)),
        Length.thou(5),
        WIDE,
        screw(Fraction(254, tpi * 10)),
    )
    assert f"{float(made.degrees):.2f}" == degrees


@pytest.mark.parametrize(
    ("low", "high", "aim", "adjuster", "wanted"),
    [
        # Geometry throughout; the two ends of the bracket give the two ends of the turn.
        ("0.05", "0.06", "0.10", screw("0.75"), ("out", 21.6, 19.2, 24.0)),
        ("0.07", "0.08", "0.135", screw("1.0"), ("out", 21.6, 19.8, 23.4)),
        (
            "0.20",
            "0.25",
            "0.30",
            screw("1.0", at=ScrewEnd.PUSHROD, ratio="1.5"),
            ("out", 18.0, 12.0, 24.0),
        ),
        (
            "0.40",
            "0.45",
            "0.30",
            screw("1.0", at=ScrewEnd.PUSHROD, ratio="1.5"),
            ("in", 30.0, 24.0, 36.0),
        ),
        # At the valve end the ratio moves nothing.
        ("0.40", "0.45", "0.30", screw("1.0", ratio="1.5"), ("in", 45.0, 36.0, 54.0)),
    ],
)
def test_turns_with_their_range(
    low: str, high: str, aim: str, adjuster: Adjuster, wanted: tuple[str, float, float, float]
) -> None:
    assert shown(turn(low, high, aim, adjuster)) == wanted


def test_the_same_turn_in_whole_turns() -> None:
    assert turn("0.05", "0.05", "0.10", screw("0.5")).turns == Fraction(1, 10)


@pytest.mark.parametrize(
    ("closes", "left_hand", "closing", "opening_rotation"),
    [
        (CLOCKWISE, False, Way.IN, ANTICLOCKWISE),
        (ANTICLOCKWISE, False, Way.OUT, CLOCKWISE),
        (ANTICLOCKWISE, True, Way.IN, CLOCKWISE),
        (CLOCKWISE, True, Way.OUT, ANTICLOCKWISE),
    ],
)
def test_which_way_closes(
    closes: Rotation, left_hand: bool, closing: Way, opening_rotation: Rotation
) -> None:
    """A right-hand thread goes in clockwise (common practice)."""
    adjuster = screw(closes=closes, left_hand=left_hand)
    assert closing_way(adjuster) is closing
    opening = turn("0.05", "0.06", "0.10", adjuster)
    assert (opening.way, opening.rotation, opening.closes) == (
        closing.other,
        opening_rotation,
        False,
    )
    assert turn("0.15", "0.16", "0.10", adjuster).rotation is closes
    assert rotation_of(closing, adjuster) is closes


@pytest.mark.parametrize(("gap", "small"), [("0.0166", True), ("0.0167", False)])
def test_under_eight_degrees_is_small(gap: str, small: bool) -> None:
    aim = str(Fraction("0.1") + Fraction(gap))
    assert turn("0.10", "0.10", aim, screw("0.75")).small is small


def test_eight_degrees_are_not_under_eight() -> None:
    eight = turn("0.10", "0.10", "0.116", screw("0.72"))  # 0.016 of 0.72 is 8 of 360 (geometry)
    assert (eight.degrees, eight.small) == (Fraction(8), False)


class TestRefused:
    def test_an_open_bracket(self) -> None:
        with must_refuse("open bracket"):
            turn("0.15", None, "0.10", screw())

    def test_blades_that_disagree(self) -> None:
        with must_refuse("disagree"):
            turn("0.06", "0.055", "0.10", screw())

    @pytest.mark.parametrize(("low", "refused"), [("0.02", False), ("0.019999", True)])
    def test_a_bracket_wider_than_the_range_by_a_nanometre(self, low: str, refused: bool) -> None:
        band = Band(Length.mm("0.08"), Length.mm("0.12"))
        if not refused:
            assert turn(low, "0.06", "0.10", screw(), band).degrees == Fraction("28.8")
            return
        with must_refuse("one more blade"):
            turn(low, "0.06", "0.10", screw(), band)

    @pytest.mark.parametrize(
        ("aim", "refused"), [("0.094", True), ("0.095", False), ("0.105", False), ("0.106", True)]
    )
    def test_off_the_middle_either_end_may_land_out(self, aim: str, refused: bool) -> None:
        """A bracket 0.03 wide reaches 0.015 to either side of the aim (arithmetic)."""
        band = Band(Length.mm("0.08"), Length.mm("0.12"))
        tight = bracket("0.02", "0.05")
        if refused:
            with must_refuse("at worst the turn would land out"):
                turn_for(tight, Length.mm(aim), band, screw())
        else:
            assert turn_for(tight, Length.mm(aim), band, screw()).aim == Length.mm(aim)

    @pytest.mark.parametrize(
        ("low", "high", "refused"),
        [("0.10", "0.12", False), ("0.08", "0.10", False), ("0.08", "0.12", True)],
    )
    def test_a_bracket_on_both_sides_of_the_aim(self, low: str, high: str, refused: bool) -> None:
        if not refused:
            assert turn(low, high, "0.10", screw("0.75")).degrees == Fraction("4.8")
            return
        with must_refuse("either side"):
            turn(low, high, "0.10", screw("0.75"))

    @pytest.mark.parametrize(("aim", "refused"), [("0.85", False), ("0.850001", True)])
    def test_more_than_one_turn(self, aim: str, refused: bool) -> None:
        if not refused:
            assert turn("0.10", "0.10", aim, screw("0.75")).degrees == 360
            return
        with must_refuse("more than one full turn"):
            turn("0.10", "0.10", aim, screw("0.75"))

    @pytest.mark.parametrize(
        ("adjuster", "said"),
        [
            (Adjuster(AdjusterKind.SCREW), "no pitch"),
            (Adjuster(AdjusterKind.SHIM), "shims"),
            (Adjuster(AdjusterKind.ECCENTRIC), "eccentric"),
            (Adjuster(AdjusterKind.HYDRAULIC), "hydraulic"),
        ],
    )
    def test_what_is_not_turned(self, adjuster: Adjuster, said: str) -> None:
        with must_refuse(said):
            turn("0.05", "0.06", "0.10", adjuster)
        with must_refuse(said):
            gap_per_turn(adjuster)


pitches = st.integers(400_000, 3_000_000).map(Length)
ratios = st.integers(25, 100).map(lambda n: Fraction(n, 50))
adjusters = st.builds(
    Adjuster,
    st.just(AdjusterKind.SCREW),
    at=st.sampled_from(ScrewEnd),
    pitch=pitches,
    ratio=ratios,
    closes=st.sampled_from(Rotation),
    left_hand=st.booleans(),
)


@given(adjusters, st.integers(0, 10**5), st.integers(0, 10**5), st.integers(10**5, 2 * 10**5))
def test_turns_times_pitch_returns_the_gap(
    adjuster: Adjuster, low: int, width: int, aim: int
) -> None:
    found = Bracket(Length(low), Length(low + width))
    assume(not low < aim < low + width)
    made = turn_for(found, Length(aim), WIDE, adjuster)
    wanted = Fraction(2 * aim - 2 * low - width, 2)  # from the middle of the bracket to the aim
    signed = -made.turns if made.closes else made.turns
    assert signed * gap_per_turn(adjuster) == wanted
    moved = gap_for(made.way, made.degrees, adjuster)
    assert abs(moved.nm - wanted) <= Fraction(1, 2)


@given(adjusters, st.integers(0, 10**5), st.integers(0, 40_000))
def test_every_clearance_in_the_bracket_lands_in_range(
    adjuster: Adjuster, low: int, width: int
) -> None:
    band = Band(Length(100_000), Length(140_000))
    assume(not low < band.middle.nm < low + width)
    made = turn_for(Bracket(Length(low), Length(low + width)), band.middle, band, adjuster)
    moved = gap_for(made.way, made.degrees, adjuster)
    for end in (low, low + width):
        assert band.low.nm - 1 <= end + moved.nm <= band.high.nm + 1
    assert made.degrees_low <= made.degrees_high
    ends = [abs(band.middle.nm - end) for end in (low, low + width)]
    assert made.degrees_high * gap_per_turn(adjuster) / 360 == max(ends)


@given(adjusters, st.fractions(0, 360, max_denominator=100))
def test_turning_back_undoes_a_turn(adjuster: Adjuster, degrees: Fraction) -> None:
    there, back = (gap_for(way, degrees, adjuster) for way in Way)
    assert there == -back
