from __future__ import annotations

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.gauging.verdict import DecisionRule, judge
from benchtui.domain.length import Length
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


def test_the_words() -> None:
    assert "guard band" in rule_in_words(DecisionRule.PROVED)
    assert "simple acceptance" in rule_in_words(DecisionRule.PLAIN)
