from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.pad import PadVerdict, back_off_for, pad_check
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, ScrewEnd
from benchtui.text.words.refusals import refusal_words
from tests.refusing import must_refuse

SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm(".75"))
EXACT = Fraction(0)


def bracket(low: str, high: str | None) -> Bracket:
    return Bracket(Length.mm(low), None if high is None else Length.mm(high))


# Source: geometry. 72 degrees of a 0.75 mm thread are 0.15 mm.
@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (".14", ".15", PadVerdict.CLEAR),
        (".12", ".15", PadVerdict.CLEAR),  # at most 30 um missed
        (".10", ".119", PadVerdict.DOUBT),  # at least 31
        (".10", ".12", PadVerdict.UNDECIDED),  # at least 30 is not yet more than 30
        (".10", None, PadVerdict.UNDECIDED),
        ("0", ".05", PadVerdict.DOUBT),
        (".18", ".19", PadVerdict.CLEAR),  # 30 more is not yet too much
        (".20", ".25", PadVerdict.MORE),
        (".20", None, PadVerdict.MORE),
    ],
)
def test_verdicts(low: str, high: str | None, verdict: PadVerdict) -> None:
    finding = pad_check(SCREW, Fraction(72), bracket(low, high), EXACT)
    assert (finding.expected_low, finding.expected_high) == (Length.mm(".15"), Length.mm(".15"))
    assert finding.verdict is verdict
    if verdict is not PadVerdict.UNDECIDED:
        assert verdict.value in str(finding) or verdict is PadVerdict.MORE
    assert str(finding).startswith("The thread made 0.150 to 0.150 mm")


def test_the_hands_error_counts_for_the_pad() -> None:
    finding = pad_check(SCREW, Fraction(72), bracket(".10", ".115"))
    # 67 to 77 degrees: at least .1395, of which .0245 is missed.
    assert finding.expected_low == Length(139_583)
    assert finding.expected_high == Length(160_417)
    assert finding.excess_low == Length(24_583)
    assert finding.verdict is PadVerdict.UNDECIDED


def test_a_whole_turn_may_be_backed_off() -> None:
    assert (
        pad_check(SCREW, Fraction(360), bracket(".70", ".75"), EXACT).verdict
        is PadVerdict.UNDECIDED
    )


def test_the_lever_ratio_counts() -> None:
    lever = Adjuster(
        AdjusterKind.SCREW, at=ScrewEnd.PUSHROD, pitch=Length.mm("1"), ratio=Fraction(3, 2)
    )
    assert pad_check(lever, Fraction(36), bracket(".14", ".15"), EXACT).expected_low == Length.mm(
        ".15"
    )
    assert back_off_for(lever, Length.mm(".15")) == 36


def test_angles_that_teach_nothing() -> None:
    for degrees in (0, 5, 361):
        with must_refuse("hand's error") as caught:
            pad_check(SCREW, Fraction(degrees), bracket(".1", ".2"))
        assert "72 degrees" in refusal_words(caught.value)
    with must_refuse("contradict"):
        pad_check(SCREW, Fraction(72), bracket(".2", ".1"))
    with must_refuse("shims"):
        pad_check(Adjuster(AdjusterKind.SHIM), Fraction(72), bracket(".1", ".2"))


@given(st.integers(6, 360), st.integers(-5, 5), st.integers(0, 60_000), st.integers(0, 20_000))
def test_a_good_pad_is_never_doubted_and_a_bad_one_never_cleared(
    ordered: int, slip: int, dish: int, width: int
) -> None:
    made = Fraction(750_000 * (ordered + slip), 360)
    felt = max(0, int(made) - dish)
    finding = pad_check(
        SCREW, Fraction(ordered), Bracket(Length(max(0, felt - width)), Length(felt + 1 + width))
    )
    if dish <= 30_000:
        assert finding.verdict is not PadVerdict.DOUBT
    if made - felt > 30_001:
        assert finding.verdict is not PadVerdict.CLEAR
    if dish == 0:
        assert finding.verdict is not PadVerdict.MORE
