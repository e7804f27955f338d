from __future__ import annotations

import datetime as dt
import unicodedata
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.length import Length
from benchtui.text.quantities import measure, show


# ASTM E29 examples (read): 45.7500 to 45.8, 60.25132 to 60.3; an exact five goes to even.
@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        ("45.7500", 1, "45.8"),
        ("60.25132", 1, "60.3"),
        ("0.5", 0, "0"),
        ("1.5", 0, "2"),
        ("2.5", 0, "2"),
        ("0.045", 2, "0.04"),
        ("0.055", 2, "0.06"),
        ("-0.045", 2, "-0.04"),
        ("-0.001", 2, "0.00"),
    ],
)
def test_rounding_is_half_to_even_and_never_minus_nothing(
    value: str, places: int, text: str
) -> None:
    assert show.rounded(Fraction(value), places) == text


@given(st.decimals(-1000, 1000, places=6), st.integers(1, 5))
def test_rounding_agrees_with_the_decimal_module(value: Decimal, places: int) -> None:
    # decimal ROUND_HALF_EVEN as the oracle.
    oracle = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    assert Decimal(show.rounded(Fraction(value), places)) == oracle


@pytest.mark.parametrize(
    ("nm", "unit", "places", "text"),
    [
        (80_000, "mm", None, "0.08 mm"),
        (100_000, "mm", None, "0.10 mm"),
        (976_923, "mm", None, "0.976923 mm"),
        (976_923, "mm", 3, "0.977 mm"),
        (76_200, "thou", None, "3 thou"),
        (38_100, "thou", None, "1.5 thou"),
        (80_000, "thou", None, "3.15 thou"),
        (76_200, "in", None, "0.003 in"),
        (38_100, "in", None, "0.0015 in"),
        (80_000, "in", None, "0.00315 in"),
        (-50_000, "mm", None, "-0.05 mm"),
        (0, "mm", None, "0.00 mm"),
    ],
)
def test_lengths(nm: int, unit: show.LengthUnit, places: int | None, text: str) -> None:
    assert show.length(Length(nm), unit, places) == text


def test_a_signed_length_shows_which_way() -> None:
    assert show.length(Length.mm("0.045"), signed=True) == "+0.045 mm"
    assert show.length(Length.mm("-0.125"), signed=True) == "-0.125 mm"
    assert show.length(Length(0), signed=True) == "0.00 mm"


@given(st.integers(1, 10**9))
def test_an_exact_length_reads_back(nm: int) -> None:
    assert measure.length(show.length(Length(nm))) == Length(nm)


def test_angles_and_clock_minutes() -> None:
    assert show.angle(Fraction("21.6")) == "22 degrees"
    assert show.angle(Fraction("21.6"), 1) == "21.6 degrees"
    assert show.angle(Fraction(1)) == "1 degree"
    assert show.clock_minutes(Fraction("21.6")) == "3.5 minutes on a clock"
    assert show.clock_minutes(Fraction(18)) == "3 minutes on a clock"
    assert show.clock_minutes(Fraction(6)) == "1 minute on a clock"


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        ("0", "no turn"),
        ("3", "less than an eighth of a flat"),
        ("7.5", "an eighth of a flat"),
        ("15", "a quarter of a flat"),
        ("18", "a bit over a quarter of a flat"),
        ("20.5", "a bit under three eighths of a flat"),
        ("21.6", "three eighths of a flat"),
        ("30", "half a flat"),
        ("31", "half a flat"),
        ("34", "a bit over half a flat"),
        ("36", "a bit over half a flat"),
        ("45", "three quarters of a flat"),
        ("57", "a bit under one flat"),
        ("60", "one flat"),
        ("70", "a bit under one and a quarter flats"),
        ("90", "one and a half flats"),
        ("120", "two flats"),
        ("360", "six flats"),
        ("480", "8 flats"),
    ],
)
def test_flats_in_words(degrees: str, words: str) -> None:
    assert show.flats(Fraction(degrees)) == words


@given(st.fractions(0, 720))
def test_any_turn_has_words(degrees: Fraction) -> None:
    assert show.flats(degrees)


def test_dates_distances_and_hours() -> None:
    assert show.date(dt.date(2026, 3, 3)) == "3 March 2026"
    assert show.distance(Fraction(12400)) == "12 400 km"
    assert show.distance(Fraction(800)) == "800 km"
    assert show.distance(measure.distance_km("3100 mi")) == "3 100 mi"
    assert show.hours(Fraction(310)) == "310 h"
    assert show.hours(Fraction(9, 2)) == "4.5 h"
    assert show.temperature(Fraction(19)) == "19 C"
    assert show.temperature(Fraction(170, 9)) == "18.9 C"
    assert show.temperature(measure.temperature("66 F")) == "66 F"


def test_a_distance_reads_back() -> None:
    assert measure.distance_km(show.distance(Fraction(12400))) == 12400


def test_torques() -> None:
    low, high = measure.torque_nm("10 lbf*ft")
    # Common practice: around 10 lbf ft on a small cover is 13.6 N m.
    assert show.torque(low, high) == "13.6 N m"
    assert show.torque(low, high, "lbf ft") == "10 lbf ft"
    assert show.torque_both(low, high) == "13.6 N m (10 lbf ft)"
    assert show.torque_both(*measure.torque_nm("12 to 15 lbf*in")) == (
        "1.4 to 1.7 N m (12 to 15 lbf in)"
    )


# TM 5-3825-226-24 (read): locknut 24 lb ft is 32 N m, give or take 7.
def test_a_published_torque_in_both_systems() -> None:
    low, high = measure.torque_nm("24 lbf*ft")
    assert abs(Fraction(show.torque(low, high).removesuffix(" N m")) - 32) <= 7


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain words, 0.08 mm", "plain words, 0.08 mm"),
        ("Br\u00fccke \u00b5m \u96fb", "Br\u00fccke \u00b5m \u96fb"),
        ("\x1b[2Jgone", "\u241b[2Jgone"),
        ("a\tb\r\nc\x00", "a\u2409b\u240d\u240ac\u2400"),
        ("\x7f", "\u2421"),
        ("\x9b31m", "<U+009B>31m"),
        ("80.0 \u202emm", "80.0 <U+202E>mm"),
        ("\u2066x\u2069", "<U+2066>x<U+2069>"),
        ("a\u200bb\ufeff", "a<U+200B>b<U+FEFF>"),
        ("\u2028\u2029", "<U+2028><U+2029>"),
        ("\ud800", "<U+D800>"),
        ("\U000e0041", "<U+E0041>"),
    ],
)
def test_what_could_move_a_terminal_is_made_visible(text: str, shown: str) -> None:
    assert show.inert(text) == shown


def test_line_ends_stay_only_where_that_was_said() -> None:
    assert show.inert("a\nb\x1b", lines=True) == "a\nb\u241b"


@given(st.text())
def test_nothing_without_a_shape_is_left_and_twice_is_once(text: str) -> None:
    shown = show.inert(text)
    assert not any(unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp") for c in shown)
    assert show.inert(shown) == shown
