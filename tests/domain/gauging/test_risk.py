from __future__ import annotations

import math

import pytest
from scipy import integrate

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.prior import Prior, from_left, from_setting
from benchtui.domain.gauging.risk import (
    chance_in_range,
    false_accept,
    risk_in_words,
    rule_in_words,
)
from benchtui.domain.gauging.verdict import DecisionRule, judge
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

mm = Length.mm
RANGE = Band(mm("0.06"), mm("0.10"))


def read(answer: Answer, *marks: str) -> Reading:
    return Reading(Feeler(tuple(Leaf(mm(m)) for m in marks)), answer)


def test_proved_is_the_rule_of_the_guarded_limits() -> None:
    # ISO 14253-1 (from memory): conforming iff LSL + U <= y <= USL - U, here with each blade's
    # whole error as U: 0.065 goes and 0.095 refuses prove it, a micrometre less does not.
    for low, high, proved in (
        ("0.065", "0.095", True),
        ("0.064", "0.095", False),
        ("0.065", "0.096", False),
    ):
        verdict = judge([read(Answer.FREE, low), read(Answer.REFUSES, high)], RANGE)
        assert verdict.proved is proved


def test_proved_brackets_cannot_be_accepted_falsely() -> None:
    readings = [read(Answer.FREE, "0.07"), read(Answer.REFUSES, "0.09")]
    assert false_accept(readings, RANGE, from_setting(RANGE)) == pytest.approx(0, abs=1e-12)


def test_plain_at_both_limits_by_an_oracle() -> None:
    readings = [read(Answer.FREE, "0.06"), read(Answer.REFUSES, "0.10")]
    prior = from_setting(RANGE)

    def weight(x: float) -> float:
        goes = min(1.0, max(0.0, (x - 0.055) / 0.01))
        refuses = 1 - min(1.0, max(0.0, (x - 0.095) / 0.01))
        return goes * refuses * _density(x)

    def mass(a: float, b: float) -> float:
        return float(integrate.quad(weight, a, b)[0])

    inside = mass(0.06, 0.065) + mass(0.065, 0.095) + mass(0.095, 0.10)
    out = mass(0.055, 0.06) + mass(0.10, 0.105)
    found = false_accept(readings, RANGE, prior)
    assert found == pytest.approx(out / (inside + out), rel=1e-6)
    assert 0 < found < 0.05


def _density(x: float) -> float:
    """Three quarters over 0.06 to 0.10; beyond, 1/8 a side, falling off over 0.04 mm."""
    if 0.06 <= x <= 0.10:
        return 0.75 / 0.04
    out = 0.06 - x if x < 0.06 else x - 0.10
    return 2 * 0.125 / 0.04 * (0.04 / (0.04 + out)) ** 3


def test_a_blade_read_twice_tells_no_more() -> None:
    once = [read(Answer.FREE, "0.06"), read(Answer.REFUSES, "0.10")]
    prior = from_setting(RANGE)
    assert chance_in_range([*once, *once], RANGE, prior) == chance_in_range(once, RANGE, prior)


def test_without_a_reading_the_prior_speaks() -> None:
    assert chance_in_range([], RANGE, from_setting(RANGE)) == pytest.approx(0.75)
    step = Prior(mm("0.08"), mm("0.08"))
    assert chance_in_range([], RANGE, step) > 0.75


def test_a_surer_past_makes_a_wrong_verdict_rarer() -> None:
    readings = [read(Answer.FREE, "0.06"), read(Answer.REFUSES, "0.10")]
    sure = false_accept(readings, RANGE, from_left(mm("0.07"), mm("0.09")))
    shaky = false_accept(readings, RANGE, from_left(mm("0.03"), mm("0.07")))
    assert sure < false_accept(readings, RANGE, from_setting(RANGE)) < shaky


def test_readings_that_exclude_each_other_have_no_chance() -> None:
    readings = [read(Answer.FREE, "0.12"), read(Answer.REFUSES, "0.05")]
    assert bracket_of(readings).clash_beyond_error
    assert math.isnan(chance_in_range(readings, RANGE, from_setting(RANGE)))


def test_a_blade_without_error_cuts_sharply() -> None:
    exact = BladeSet("gauge blocks", (Leaf(mm("0.06"), error=ZERO), Leaf(mm("0.10"), error=ZERO)))
    readings = [
        Reading(exact.feeler(mm("0.06")), Answer.FREE),
        Reading(exact.feeler(mm("0.10")), Answer.REFUSES),
    ]
    assert false_accept(readings, RANGE, from_setting(RANGE)) == pytest.approx(0, abs=1e-9)


def test_the_words() -> None:
    assert "guard band" in rule_in_words(DecisionRule.PROVED)
    assert "simple acceptance" in rule_in_words(DecisionRule.PLAIN)
    assert risk_in_words(0.025).endswith("about 1 in 40")
    assert risk_in_words(0.0).endswith("less than 1 in 10 000")
    assert "do not fit" in risk_in_words(math.nan)


def test_above_even_chances_it_is_more_likely_out_than_in() -> None:
    assert risk_in_words(0.7) == "out of range all the same: more likely out than in"
    assert risk_in_words(1.0).endswith("more likely out than in")
    assert risk_in_words(0.5).endswith("about 1 in 2")
