"""Leaves in thousandths on a range in hundredths, and the other way round."""

from __future__ import annotations

import pytest

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Reading, bracket_of
from benchtui.domain.gauging.next_blade import next_blade
from benchtui.domain.gauging.stands_for import as_bladed
from benchtui.domain.gauging.verdict import DecisionRule, Verdict, VerdictKind, judge
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

# 6 thou are 0.1524 mm, 10 thou 0.254 mm (25.4 mm to the inch, exact).
INCH = BladeSet("inch", tuple(Leaf(Length.thou(t)) for t in (2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)))
RANGE = Band(Length.mm("0.15"), Length.mm("0.25"))


def judged(*told: tuple[int, str]) -> Verdict:
    return judge([read(t, a) for t, a in told], RANGE)


def read(thou: int, answer: str) -> Reading:
    return Reading(Feeler((Leaf(Length.thou(thou)),)), Answer(answer))


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        (((6, "free"), (10, "refuses")), VerdictKind.IN),
        (((6, "refuses"),), VerdictKind.TIGHT),
        (((10, "free"),), VerdictKind.WIDE),
        (((10, "drag"),), VerdictKind.IN),
        (((5, "free"), (10, "refuses")), VerdictKind.UNDECIDED),
        (((6, "free"), (11, "refuses")), VerdictKind.UNDECIDED),
    ],
)
def test_six_and_ten_thou_settle_fifteen_to_twenty_five(
    told: tuple[tuple[int, str], ...], kind: VerdictKind
) -> None:
    verdict = judged(*told)
    assert verdict.kind is kind
    # What is proved goes by the printed limits, the blade's error taken against us.
    assert not verdict.proved
    assert verdict.limit in {None, RANGE.high}


def test_two_blades_are_enough_by_the_plain_rule_and_not_by_the_proved() -> None:
    readings = [read(6, "free"), read(10, "refuses")]
    bracket = bracket_of(readings)
    assert next_blade(bracket, INCH, RANGE) is None
    assert next_blade(bracket, INCH, RANGE, goal=DecisionRule.PROVED) is not None
    first = next_blade(OPEN, INCH, RANGE)
    assert first is not None


def test_only_within_the_leafs_own_error_and_only_the_nearest() -> None:
    leaves = [Leaf(Length.mm(m)) for m in ("0.145", "0.248", "0.252")]
    assert as_bladed(RANGE, leaves) == Band(Length.mm("0.15"), Length.mm("0.248"))
    sure = [Leaf(Length.mm("0.254"), error=Length.um(1))]
    assert as_bladed(RANGE, sure) == RANGE
    measured = [Leaf(Length.mm("0.25"), measured=Length.mm("0.252"))]
    assert as_bladed(RANGE, measured) == RANGE
