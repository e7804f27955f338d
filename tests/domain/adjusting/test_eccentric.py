from __future__ import annotations

from fractions import Fraction
from math import pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.eccentric import (
    FARTHEST,
    Stand,
    eccentric_turn,
    rate,
    since_back,
    turning_point,
)
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band
from benchtui.text.words.refusals import refusal_words
from tests.refusing import must_refuse

BAND = Band(Length.mm(".12"), Length.mm(".16"))


def stand(angle: int, low: str, high: str | None) -> Stand:
    top = None if high is None else Length.mm(high)
    return Stand(Fraction(angle), Bracket(Length.mm(low), top))


# Source: interval arithmetic.
def test_two_readings_teach_a_rate() -> None:
    learned = rate(stand(0, ".05", ".06"), stand(20, ".09", ".10"))
    assert learned is not None
    assert (learned.low, learned.high) == (Fraction(1500), Fraction(2500))
    assert learned.told
    # The order does not matter; plus always opens with growing angles.
    assert rate(stand(20, ".09", ".10"), stand(0, ".05", ".06")) == learned
    assert rate(stand(0, ".05", ".06"), stand(0, ".05", ".06")) is None
    assert rate(stand(0, "0", ".06"), stand(9, ".09", ".10")) is None
    assert rate(stand(0, ".05", None), stand(9, ".09", ".10")) is None
    assert rate(stand(0, ".07", ".06"), stand(9, ".09", ".10")) is None


def test_the_turn_to_the_middle() -> None:
    turn = eccentric_turn((stand(0, ".05", ".06"), stand(20, ".09", ".10")), BAND)
    # .045 to go at .002 a degree; .05 at .0015 and .04 at .0025 are the ends.
    assert turn.degrees == Fraction(45, 2)
    assert turn.degrees_low == 16
    assert turn.degrees_high == Fraction(100, 3)
    assert not turn.cut_short


def test_it_turns_back_where_the_gap_is_wide() -> None:
    turn = eccentric_turn((stand(0, ".09", ".10"), stand(20, ".17", ".18")), BAND)
    assert turn.degrees == Fraction(-35, 4)


def test_a_long_way_is_cut_short() -> None:
    turn = eccentric_turn((stand(0, ".03", ".04"), stand(20, ".05", ".06")), BAND)
    assert turn.degrees == FARTHEST
    assert turn.cut_short


def test_refusals() -> None:
    with must_refuse("not known yet"):
        eccentric_turn((stand(0, ".05", ".06"),), BAND)
    with must_refuse("open bracket"):
        eccentric_turn((stand(0, ".05", None),), BAND)
    with must_refuse("open bracket"):
        eccentric_turn((), BAND)
    with must_refuse("which way"):
        eccentric_turn((stand(0, ".05", ".06"), stand(20, ".05", ".07")), BAND)


def test_a_level_end_tells_no_way() -> None:
    flat = rate(stand(0, ".05", ".06"), stand(20, ".06", ".07"))
    assert flat is not None
    assert (flat.low, flat.told) == (Fraction(0), False)
    down = rate(stand(0, ".06", ".07"), stand(20, ".05", ".06"))
    assert down is not None
    assert (down.high, down.told) == (Fraction(0), False)


def test_the_nearest_angle_teaches() -> None:
    # From -10 it moves .002 a degree, from 40 only .001: 0 is nearer to -10.
    stands = (stand(40, ".19", ".20"), stand(-10, ".13", ".14"), stand(0, ".15", ".16"))
    assert eccentric_turn(stands, BAND).degrees == Fraction(-15, 2)


PAST = (stand(0, ".05", ".06"), stand(20, ".09", ".10"), stand(40, ".07", ".08"))


def test_the_turning_point_stops_it() -> None:
    assert turning_point(PAST) == (Fraction(0), Fraction(40))
    assert turning_point(PAST[:2]) is None
    assert turning_point((*PAST[:2], stand(40, ".09", ".10"))) is None
    with must_refuse("between 0 and 40 degrees") as caught:
        eccentric_turn(PAST, BAND)
    assert "Turn back" in refusal_words(caught.value)


BACK = (*PAST, stand(10, ".07", ".08"))


def test_turned_back_to_the_side_where_it_began_it_counts_again() -> None:
    before, in_hand = since_back(BACK)
    assert (before, in_hand) == (list(PAST[:2]), [BACK[-1]])
    # .065 to go; 0.02 in the 10 degrees to the nearest stand on this side (arithmetic).
    assert eccentric_turn(BACK, BAND).degrees == FARTHEST
    further = (*BACK, stand(15, ".08", ".09"))
    # 0.01 in 5 degrees does not show the way for sure; 0.03 in the 15 from the first does: .055 to go.
    assert eccentric_turn(further, BAND).degrees == Fraction(55, 2)


def test_angles_from_before_it_went_back_do_not_block_it() -> None:
    """Back at 10 by the hand, but really at 16: the old stand at 20 seems to lie lower."""
    slipped = (*PAST, stand(10, ".090", ".092"), stand(18, ".106", ".108"))
    assert eccentric_turn(slipped, BAND).degrees == Fraction(33, 2)
    on = (*slipped, stand(25, ".118", ".120"))
    assert 0 < eccentric_turn(on, BAND).degrees < FARTHEST


@pytest.mark.parametrize("angle", [30, 60])
def test_turned_back_too_little_or_on_it_is_still_past_it(angle: int) -> None:
    gap = (".08", ".09") if angle == 30 else (".03", ".04")
    with must_refuse("turning point"):
        eccentric_turn((*PAST, stand(angle, *gap)), BAND)


def test_past_it_a_second_time_it_is_stopped_again() -> None:
    with must_refuse("turning point"):
        eccentric_turn((*BACK, stand(20, ".09", ".10"), stand(45, ".06", ".07")), BAND)


def test_begun_on_the_far_side_that_is_the_side_to_go_back_to() -> None:
    """Begun at the very top: the second stand tells which side."""
    stands = (stand(0, ".09", ".10"), stand(20, ".07", ".08"), stand(-20, ".05", ".06"))
    with must_refuse("turning point"):
        eccentric_turn(stands, BAND)
    back = (*stands, stand(10, ".080", ".082"))
    assert since_back(back) == ([stands[0], stands[1]], [back[-1]])
    assert eccentric_turn(back, BAND).degrees < 0


@given(st.integers(-50, 20), st.integers(1, 9), st.integers(0, 9))
def test_it_gets_there_on_a_real_eccentric(start: int, below: int, above: int) -> None:
    """Source: geometry: an eccentric lifts by e sin(angle); e = 0.3 mm, 0.35 mm at rest."""

    def gauged(angle: Fraction) -> Stand:
        gap = round(350_000 + 300_000 * sin(float(angle) * pi / 180))
        return Stand(angle, Bracket(Length(gap - below * 1000), Length(gap + above * 1000)))

    band = Band(Length.mm(".40"), Length.mm(".48"))
    stands = [gauged(Fraction(start)), gauged(Fraction(start + 15))]
    for _ in range(8):
        now = stands[-1]
        assert now.bracket.high is not None
        if band.low <= now.bracket.low and now.bracket.high <= band.high:
            break
        turn = eccentric_turn(stands, band)
        assert turn.degrees_low <= turn.degrees_high
        stands.append(gauged(Fraction(round(now.angle + turn.degrees))))
    else:
        pytest.fail("did not get there in eight turns")
