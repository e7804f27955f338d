from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.sheet import Torque
from benchtui.domain.torque import (
    KGF,
    LBF,
    LBF_FT,
    LBF_IN,
    PUBLISHED,
    UnitSlip,
    Wrench,
    diameter,
    is_small,
    reach,
    torque_doubt,
    wrench_setting,
)
from benchtui.text.words.refusals import refusal_words
from tests.refusing import must_refuse


def test_units() -> None:
    # Source: scipy.constants; 1 lbf in = 0.112985 N m in a US Navy conversion table;
    # 1 lbf ft = 1.3558179483314 N m in NIST SP 811 app. B (from memory).
    assert float(LBF) == pytest.approx(constants.lbf, rel=1e-15)
    assert float(KGF) == pytest.approx(constants.kgf, rel=1e-15)
    assert float(LBF_FT) == pytest.approx(constants.lbf * constants.foot, rel=1e-15)
    assert round(LBF_FT, 13) == Fraction("1.3558179483314")
    assert round(LBF_IN, 6) == Fraction("0.112985")
    assert Fraction("0.45359237") * KGF == LBF
    # Source: common practice: about 10 lbf ft on a small cover is 13.6 N m.
    assert round(10 * LBF_FT, 1) == Fraction("13.6")


def test_a_locknut_as_printed_in_both_units() -> None:
    # Source: TM 5-3825-226-24: locknut 24 lb ft, 32 (+-7) N m.
    assert abs(24 * LBF_FT - 32) < 1


# Sources: TM 9-254; TM 1-1500-204-23-9; TM 9-2350-261-20-1. Pounds either way: the ratio counts.
def test_an_extension_straight_on() -> None:
    assert Fraction(60) * reach(Length.inch(12), Length.inch(2)) == 70
    wide = Wrench(Length.inch(10), Fraction(1), Fraction(500))
    assert round(wrench_setting(Fraction(300), wide, Length.inch(4))) == 214
    long = Wrench(Length.inch(12), Fraction(1), Fraction(500))
    assert wrench_setting(Fraction(40), long, Length.inch(4)) == 30


def test_an_angled_extension() -> None:
    # Source: TM 9-254: E times the cosine; square to the wrench changes nothing.
    twelve, two = Length.inch(12), Length.inch(2)
    assert Fraction(60) * reach(twelve, two, Fraction(90)) == 60
    assert Fraction(60) * reach(twelve, two, Fraction(60)) == 65
    assert Fraction(60) * reach(twelve, two, Fraction(180)) == 50


@given(
    st.integers(1, 900),
    st.integers(60, 1900),
    st.integers(0, 60),
    st.fractions(0, 180, max_denominator=4),
)
def test_there_and_back(torque: int, length: int, extension: int, angle: Fraction) -> None:
    if extension * 2 > length:
        extension //= 2
    wrench = Wrench(Length.mm(length), Fraction(1, 1000), Fraction(10**6))
    arm = Length.mm(extension)
    setting = wrench_setting(Fraction(torque), wrench, arm, angle)
    assert setting * reach(wrench.length, arm, angle) == torque
    # Straight on, the nut gets more than the wrench is set to; folded back, less.
    if extension and angle != 90:
        assert (setting < torque) is (angle < 90)


def test_outside_the_wrenchs_range_is_refused() -> None:
    wrench = Wrench(Length.mm(300), Fraction(5), Fraction(25))
    assert wrench_setting(Fraction(5), wrench) == 5
    with must_refuse("below its range") as caught:
        wrench_setting(Fraction(5), wrench, Length.mm(50))
    assert "smaller wrench" in refusal_words(caught.value)
    with must_refuse("above its range"):
        wrench_setting(Fraction(26), wrench)


@pytest.mark.parametrize(
    ("length", "extension", "angle"),
    [(Length.mm(12), ZERO, 0), (Length.mm(300), Length.mm(301), 0), (Length.mm(300), -Length.mm(1), 0),
     (Length.mm(3000), ZERO, 0), (Length.mm(300), Length.mm(200), 180), (Length.mm(300), ZERO, 181),
     (Length.mm(300), ZERO, -1)],
)  # fmt: skip
def test_absurd_lengths_and_angles_are_refused(
    length: Length, extension: Length, angle: int
) -> None:
    with pytest.raises(Refusal):
        reach(length, extension, Fraction(angle))


def test_a_wrench_without_a_range() -> None:
    with pytest.raises(ValueError, match="range"):
        Wrench(Length.mm(300), Fraction(0), Fraction(5))


def torque(thread: str, low: Fraction, high: Fraction | None = None) -> Torque:
    return Torque("cover bolts", "as printed", low, low if high is None else high, thread)


def test_the_published_rows_fit_themselves() -> None:
    # Source: AC 43.13-1B table 7-1, lbf in.
    rows = {row.thread: (int(row.low / LBF_IN), int(row.high / LBF_IN)) for row in PUBLISHED}
    assert all(row.low % LBF_IN == row.high % LBF_IN == 0 for row in PUBLISHED)
    assert rows == {
        "8-36": (12, 15),
        "10-32": (20, 25),
        "1/4-28": (50, 70),
        "5/16-24": (100, 140),
        "3/8-24": (160, 190),
    }
    for row in PUBLISHED:
        assert torque_doubt(torque(row.thread, row.low, row.high)) is None


def test_a_unit_misread_is_far_off() -> None:
    doubt = torque_doubt(torque("1/4-28 UNF", 60 * LBF_FT))
    assert doubt is not None
    assert UnitSlip.IN_AS_FT in doubt.slips
    assert "far above" in str(doubt)
    assert "lbf in read as lbf ft" in str(doubt)
    low = torque_doubt(torque("M8x1.25", Fraction(12, 10)))
    assert low is not None
    assert set(low.slips) == {UnitSlip.FT_AS_IN, UnitSlip.KGF_M_AS_NM}
    assert "far below" in str(low)


def test_usual_figures_in_metric_cases_raise_no_doubt() -> None:
    # Source: common practice: M5 about 5, M6 about 10, M8 about 22, M10 about 45 N m.
    for thread, value in (("M5", 5), ("M6x1", 10), ("M8 x 1.25", 22), ("M10x1,25", 45)):
        assert torque_doubt(torque(thread, Fraction(value))) is None


def test_far_off_by_nothing_known() -> None:
    doubt = torque_doubt(torque("M6", Fraction(900)))
    assert doubt is not None
    assert doubt.slips == ()
    assert "Possibly" not in str(doubt)


def test_nothing_published_nothing_said() -> None:
    assert torque_doubt(torque("", Fraction(900))) is None
    assert torque_doubt(torque("M20x1.5", Fraction(900))) is None
    assert torque_doubt(torque("6 BA", Fraction(900))) is None


@pytest.mark.parametrize(
    ("thread", "size"),
    [
        ("M6x0.75", Length.mm(6)),
        ("m4,5", Length.mm("4.5")),
        ("1/4-28", Length.inch("0.25")),
        ("#10-32", Length.inch("0.190")),
        ("8-36", Length.inch("0.164")),
        ("No. 8-36", Length.inch("0.164")),
        ("1/0-20", None),
        ("11 BA", None),
    ],
)
def test_a_threads_name_tells_its_diameter(thread: str, size: Length | None) -> None:
    # Source: ASME B1.1: number n is 0.060 + 0.013 n inches (from memory).
    assert diameter(thread) == size


def test_british_association_diameters() -> None:
    # From memory: the published table of BA threads, 0 BA to 10 BA.
    published = ["6.0", "5.3", "4.7", "4.1", "3.6", "3.2", "2.8", "2.5", "2.2", "1.9", "1.7"]
    for number, size in enumerate(published):
        for name in (f"{number} BA", f"{number}ba", f"BA {number}"):
            assert diameter(name) == Length.mm(size)
            assert is_small(name)


def test_small_threads() -> None:
    assert is_small("M5x0.8")
    assert is_small("M6")
    assert is_small("10-32")
    assert not is_small("M8")
    assert not is_small("an unknown thread")


def test_the_ends_of_every_range_belong_to_it() -> None:
    wrench = Wrench(Length.mm(300), Fraction(5), Fraction(25))
    assert wrench_setting(Fraction(25), wrench) == 25
    assert Wrench(Length.mm(300), Fraction(5), Fraction(5)).low == 5
    assert reach(Length.mm(50), Length.mm(50)) == 2
    assert reach(Length.mm(2000), ZERO) == 1
    # Folded back to just half of the wrench's arm.
    assert reach(Length.mm(300), Length.mm(150), Fraction(180)) == Fraction(1, 2)
    quarter = PUBLISHED[2]
    assert torque_doubt(torque("1/4-28", 3 * quarter.high)) is None
    assert torque_doubt(torque("1/4-28", 3 * quarter.high + Fraction(1, 1000))) is not None
    assert torque_doubt(torque("1/4-28", quarter.low / 3)) is None
    assert torque_doubt(torque("1/4-28", quarter.low / 3 - Fraction(1, 1000))) is not None
