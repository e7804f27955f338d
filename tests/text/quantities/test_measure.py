from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from benchtui.domain.length import Length
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.quantities.units import AT_HAND


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("0.08 mm", 80_000),
        ("0.08mm", 80_000),
        (".08 mm", 80_000),
        ("  0.08   mm ", 80_000),
        ("0,15 mm", 150_000),  # pint alone reads 0 mm
        ("0,150 mm", 150_000),
        ("3 thou", 76_200),
        ("0.003 in", 76_200),
        ('0.003"', 76_200),
        ("0.0015 in", 38_100),
        ("80 um", 80_000),
        ("80 \u00b5m", 80_000),
        ("80 \u03bcm", 80_000),
        ("1/4 in", 6_350_000),
        ("1 1/4 inch", 31_750_000),
        ("1/64 in", 396_875),
        ("2.80 mm", 2_800_000),
    ],
)
def test_a_length_is_read_exactly(text: str, nm: int) -> None:
    assert measure.length(text) == Length(nm)


def test_a_bare_number_is_millimetres_only_where_that_was_said() -> None:
    assert measure.length("0.08", bare_mm=True) == Length(80_000)
    with pytest.raises(FaultyQuantity, match="a number without a unit"):
        measure.length("0.08")


def test_zero_is_a_length_only_where_that_was_said() -> None:
    assert measure.length("0 mm", zero=True) == Length(0)
    with pytest.raises(FaultyQuantity, match="above zero"):
        measure.length("0 mm")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("NaN", "not a finite number"),
        ("nan mm", "not a finite number"),
        ("inf mm", "not a finite number"),
        ("-inf mm", "not a finite number"),
        ("1e9 mm", "exponent"),
        ("1E-3 mm", "exponent"),
        ("1e9", "exponent"),
        ("-0.05 mm", "with a sign"),
        ("\u22120.05 mm", "with a sign"),
        ("+0.05 mm", "with a sign"),
        ("1,234.5 mm", "both a comma and a point"),
        ("1.234,5 mm", "both a comma and a point"),
        ("1,250 mm", "decimals or for thousands"),
        ("1..5 mm", "not a plain number"),
        ("5. mm", "not a plain number"),
        ("1_000 um", "not a plain number"),
        ("0x10 mm", "unknown unit"),
        ("5000 mm", "beyond all reason"),
        ("1" * 16 + " mm", "digits"),
        ("9" * 10_000 + " mm", "digits"),
        ("0.0000001 mm", "no length at all"),
        ("1/4 mm", "a fraction"),
        ("1/0 in", "divided by zero"),
        ("0.08 foo", "unknown unit"),
        ("0.08 mil", "unknown unit"),  # a thou to some, a millimetre to others
        ("0.08 kin", "unknown unit"),  # no prefixes: a kilo-inch is a slip
        ("5 min", "another kind"),  # nor a milli-inch
        ("0.08 mm mm", "another kind"),
        ("0.08 degC", "another kind"),
        ("0.08 in*", "unknown unit"),
        ("\u0663 mm", "no number"),
        ("mm", "no number"),
        ("", "no number"),
        ("0.08 mm; 3", "unknown unit"),
        ("0.08 __import__", "unknown unit"),
        ("0.08 " + "m" * 100_000, "unknown unit"),
    ],
)
def test_what_is_no_length_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(FaultyQuantity, match=why) as caught:
        measure.length(text)
    assert caught.value.found
    assert caught.value.wanted
    assert len(str(caught.value)) < 300


# Sources beside each: US Navy conversion table (read); NIST SP 811 App. B (from memory);
# scipy.constants as the oracle.
@pytest.mark.parametrize(
    ("text", "read", "oracle"),
    [
        ("1 in", measure.length, constants.inch * 1e9),
        ("1 mi", measure.distance_km, constants.mile / 1000),
        ("1 lbf*ft", measure.torque_nm, constants.lbf * constants.foot),
        ("1 lbf in", measure.torque_nm, constants.lbf * constants.inch),
        ("1 kgf m", measure.torque_nm, constants.kgf),
    ],
)
def test_factors_agree_with_scipy(text: str, read: Callable[[str], object], oracle: float) -> None:
    got = read(text)
    if isinstance(got, Length):
        got = got.nm
    if isinstance(got, tuple):
        got = got[0]
    assert isinstance(got, int | Fraction)
    assert float(got) == pytest.approx(oracle, rel=1e-12)


def test_published_conversions() -> None:
    # US Navy conversion table (read): 1 lbf in is 0.112985 N m, 1 mile is 1.609344 km.
    assert round(measure.torque_nm("1 lbf*in")[0], 6) == Fraction("0.112985")
    assert measure.distance_km("1 mile") == Fraction("1.609344")
    # NIST SP 811 App. B (from memory): 1 lbf ft is 1.3558179483314 N m.
    assert round(measure.torque_nm("1 lbf*ft")[0], 13) == Fraction("1.3558179483314")
    # Common practice: about 10 lbf ft on a small cover is 13.6 N m.
    assert round(measure.torque_nm("10 lbf*ft")[0], 1) == Fraction("13.6")


@pytest.mark.parametrize(
    "text",
    ["14 N*m", "14 N m", "14 Nm", "14 N\u00b7m", "14 N.m", "14 N-m", "14Nm", "14 newton metre"],
)
def test_a_torque_can_be_spelled_in_many_ways(text: str) -> None:
    assert measure.torque_nm(text) == (Fraction(14), Fraction(14))


@pytest.mark.parametrize("text", ["10 lbf*ft", "10 lbf ft", "10 ft lb", "10 lb-ft", "10 ft-lbf"])
def test_pound_and_foot_in_either_order(text: str) -> None:
    assert measure.torque_nm(text) == measure.torque_nm("10 lbf*ft")


@pytest.mark.parametrize(
    "text", ["12 to 15 lbf*in", "12-15 lbf in", "12 - 15 lbf-in", "12 lbf*in to 15 lbf*in"]
)
def test_a_torque_can_be_a_range(text: str) -> None:
    assert measure.torque_nm(text) == (
        measure.torque_nm("12 lbf*in")[0],
        measure.torque_nm("15 lbf*in")[0],
    )


@pytest.mark.parametrize(
    "text", ["10", "10 N", "0 N*m", "15 to 12 N*m", "12 to", "to 12 N*m", "-3 N*m", "9999999 N*m"]
)
def test_what_is_no_torque_is_refused(text: str) -> None:
    with pytest.raises(FaultyQuantity):
        measure.torque_nm(text)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("35 degC", Fraction(35)),
        ("19 C", Fraction(19)),
        ("19C", Fraction(19)),
        ("-5 \u00b0C", Fraction(-5)),
        ("66 F", Fraction(170, 9)),
        ("32 degF", Fraction(0)),
        ("-40 F", Fraction(-40)),
        ("19,5 C", Fraction(39, 2)),
        ("308.15 K", Fraction(35)),
    ],
)
def test_a_temperature_with_its_offset(text: str, celsius: Fraction) -> None:
    assert measure.temperature(text) == celsius


@pytest.mark.parametrize("text", ["35", "-300 C", "9999 F", "cold", "35 mm", "0 K", "NaN C"])
def test_what_is_no_temperature_is_refused(text: str) -> None:
    with pytest.raises(FaultyQuantity):
        measure.temperature(text)


def test_angles() -> None:
    assert measure.angle("22") == 22
    assert measure.angle("22,5") == Fraction(45, 2)
    assert measure.angle("22.5 deg") == Fraction(45, 2)
    assert measure.angle("22\u00b0") == 22
    assert measure.angle("1/4 turn") == 90
    assert measure.angle("1.5 flats") == 90
    for bad in ("-3", "1e3", "22 mm", "x", "99999"):
        with pytest.raises(FaultyQuantity):
            measure.angle(bad)


def test_hours_and_distances() -> None:
    assert measure.hours("4 h") == 4
    assert measure.hours("90 min") == Fraction(3, 2)
    assert measure.hours("310", bare=True) == 310
    assert measure.distance_km("5000 km") == 5000
    assert measure.distance_km("12 400 km") == 12400
    assert measure.distance_km("3100 mi") == Fraction("4988.9664")
    assert measure.distance_km("12400", bare=True) == 12400


@pytest.mark.parametrize("text", ["12400", "5,000 km", "-1 km", "1e9 km", "99999999999 km", "4 h"])
def test_what_is_no_distance_is_refused(text: str) -> None:
    with pytest.raises(FaultyQuantity):
        measure.distance_km(text)


@given(st.integers(1, 999_999_999))
def test_every_whole_number_of_nanometres_reads_back(nm: int) -> None:
    assert measure.length(str(Length(nm))) == Length(nm)
    micrometres = f"{Decimal(nm) / 1000:f} um"
    assert measure.length(micrometres) == Length(nm)


READERS: list[Callable[[str], object]] = [
    measure.length,
    measure.angle,
    measure.temperature,
    measure.hours,
    measure.distance_km,
    measure.torque_nm,
]


@given(st.text(max_size=12) | st.text("0123456789.,/-+ eEmNnfitoklbF\u00b0", max_size=12))
def test_no_text_at_all_ends_in_another_error(text: str) -> None:
    for read in READERS:
        with suppress(FaultyQuantity):
            read(text)


def test_a_unit_that_is_not_at_hand_loads_pint_and_nothing_earlier() -> None:
    code = (
        "import sys; from benchtui.text.quantities import measure; measure.length('0.1 mm');"
        "measure.temperature('66 F'); before = 'pint' in sys.modules;"
        "measure.length('3 thou'); print(before, 'pint' in sys.modules)"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.split() == ["False", "True"]


@pytest.mark.parametrize(("unit", "to"), AT_HAND)
def test_what_is_at_hand_is_what_the_registry_says(unit: str, to: str) -> None:
    """Exactly (pint, in fractions)."""
    assert AT_HAND[unit, to] == measure.from_registry(unit, to)
