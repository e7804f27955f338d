"""Figures printed in two units, as manuals do; what does not agree is a likely misprint."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.errors import FaultyInput
from benchtui.domain.length import Length
from benchtui.domain.sheet import Sheet
from benchtui.text.reading.sheet_file import parse_sheet
from benchtui.text.words.torque_words import torque_told

QUAY = (Path(__file__).parents[3] / "specs" / "quay-pump.toml").read_text(encoding="utf-8")


def read(inlet: str = '"0.10 mm"', torque: str = "8 N*m") -> Sheet:
    text = QUAY.replace('inlet = ["0.06 mm", "0.10 mm"]', f"inlet = {inlet}")
    return parse_sheet(text.replace('value = "8 N*m"', f'value = "{torque}"'), "q", "q.toml")


@pytest.mark.parametrize(
    ("printed", "first"),
    [
        # Pairs as manuals print them (common practice); by sums 1 in is 25.4 mm.
        ("0.011 in (0.28 mm)", "0.2794"),
        ("0.25 mm (0.010 in)", "0.25"),
        ("0.004 in (0.10 mm)", "0.1016"),
        ("0.40 mm (0.016 in)", "0.40"),
    ],
)
def test_the_first_of_two_units_leads(printed: str, first: str) -> None:
    assert read(f'"{printed}"').clearances.printed[0][2].low == Length.mm(Fraction(first))


def test_both_ends_of_a_range_in_two_units() -> None:
    band = read('["0.004 in (0.10 mm)", "0.006 in (0.15 mm)"]').clearances.printed[0][2]
    assert (band.low, band.high) == (Length.inch("0.004"), Length.inch("0.006"))


@pytest.mark.parametrize(
    ("inlet", "said"),
    [
        ('"0.011 in (0.028 mm)"', "likely a misprint"),
        ('"0.25 mm (0.012 in)"', "likely a misprint"),
        ('["0.011 in", "0.28 mm"]', "one figure in two units, not a range"),
        ('["0.28 mm", "0.011 in"]', "one figure in two units, not a range"),
    ],
)
def test_a_pair_that_does_not_agree_or_is_no_range_is_named(inlet: str, said: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        read(inlet)
    assert said in str(caught.value)
    assert "clearance.inlet" in str(caught.value)


def test_a_range_with_its_ends_in_two_units_is_one_still() -> None:
    assert not read('["0.003 in", "0.12 mm"]').clearances.printed[0][2].single


@pytest.mark.parametrize(
    ("printed", "newton_metres"),
    [
        # 1 lbf ft is 1.3558 N m (NIST SP 811, app. B): 28 N m is 20.65 lbf ft.
        ("28 N*m (20.7 lbf*ft)", 28),
        ("28 N*m (21 lbf*ft)", 28),
        ("12 to 15 N*m (106 to 133 lbf*in)", 12),
    ],
)
def test_a_torque_in_two_units_is_shown_as_printed(printed: str, newton_metres: int) -> None:
    torque = read(torque=printed).torques[1]
    assert torque.low == newton_metres
    assert torque_told(torque) == printed.replace("*", " ")


def test_a_torque_whose_units_do_not_agree_is_named() -> None:
    with pytest.raises(FaultyInput, match="likely a misprint"):
        read(torque="28 N*m (22 lbf*ft)")


@pytest.mark.parametrize(
    ("printed", "told"),
    [
        ("8 N*m", "8 N m (71 lbf in)"),
        ("10 lbf*ft", "10 lbf ft (13.6 N m)"),
        ("50 to 70 lbf*in", "50 to 70 lbf in (5.6 to 7.9 N m)"),
    ],
)
def test_the_printed_torque_comes_first_and_no_figure_is_finer_than_a_wrench(
    printed: str, told: str
) -> None:
    assert torque_told(read(torque=printed).torques[1]) == told
