"""How blade errors add, against the GUM's figures and the `uncertainties` package as the oracle."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat  # type: ignore[import-untyped]  # it ships no types

from benchtui.domain.blades import JOINT, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.verdict import judge
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

mm, um = Length.mm, Length.um

errors = st.lists(st.integers(1, 50), min_size=1, max_size=3)


def stack(micrometres: list[int]) -> Feeler:
    """Leaves of 0.10, 0.20 and 0.30 mm with these errors."""
    sizes = ("0.10", "0.20", "0.30")
    return Feeler(tuple(Leaf(mm(s), error=um(e)) for s, e in zip(sizes, micrometres, strict=False)))


def rectangular(half_width: float) -> float:
    """Source: GUM 4.3.7 (from memory): the standard uncertainty of +- a, evenly spread."""
    return half_width / math.sqrt(3)


@given(errors)
def test_outright_is_what_errors_of_one_cause_add_up_to(micrometres: list[int]) -> None:
    """Leaves ground alike are off alike: then the oracle's sum, all of one cause, is ours, joints
    aside. Were they independent, it would be the smaller sum in quadrature: ours never claims that."""
    feeler = stack(micrometres)
    joints = JOINT * (len(feeler.leaves) - 1)
    half = (feeler.thickest - joints - feeler.thinnest).in_mm / 2
    one_cause = ufloat(0, rectangular(1))
    together = sum(one_cause * e / 1000 for e in micrometres)
    assert rectangular(half) == pytest.approx(together.std_dev)
    apart = sum(ufloat(0, rectangular(e / 1000)) for e in micrometres)
    assert rectangular(half) >= apart.std_dev - 1e-12
    in_quadrature = math.sqrt(sum((e / 1000) ** 2 for e in micrometres))
    assert apart.std_dev == pytest.approx(rectangular(in_quadrature))


@pytest.mark.parametrize(
    ("room", "proved"),
    [
        (14, False),  # two in quadrature and a joint: 7.1 + 7 um fit into 15, but are not enough
        (15, False),
        (16, False),
        (17, True),  # 5 + 5 outright and 7 for the joint
    ],
)
def test_a_verdict_is_proved_only_with_every_error_added_outright(room: int, proved: bool) -> None:
    upper = stack([5, 5])
    setting = Band(mm("0.20"), upper.nominal + um(room))
    readings = [Reading(Feeler((Leaf(mm("0.25")),)), Answer.FREE), Reading(upper, Answer.REFUSES)]
    verdict = judge(readings, setting)
    assert verdict.proved is proved
    apart = ufloat(0, 0.005) + ufloat(0, 0.005)
    assert (apart.std_dev + JOINT.in_mm <= room / 1000) is (room >= 15)
