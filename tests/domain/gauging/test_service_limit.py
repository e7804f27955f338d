"""Where a clearance stands by its service limit: a range of 0.08 to 0.12 mm, limits of 0.06 to 0.15."""

from __future__ import annotations

import pytest

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.service_limit import ServiceStanding as S
from benchtui.domain.gauging.service_limit import service_standing
from benchtui.domain.gauging.verdict import judge, no_verdict
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

RANGE = Band(Length.mm("0.08"), Length.mm("0.12"))
LIMIT = Band(Length.mm("0.06"), Length.mm("0.15"))


def standing(answers: str) -> S | None:
    """``0.10 free, 0.12 refuses``, judged against both."""
    readings = []
    for number, told in enumerate(answers.split(", "), 1):
        blade, answer = told.split()
        feeler = Feeler((Leaf(Length.mm(blade)),))
        readings.append(Reading(feeler, Answer(answer), number=number))
    return service_standing(judge(readings, RANGE), judge(readings, LIMIT))


# Common practice: to be set within the range; worn past the service limit it is out of its bounds.
@pytest.mark.parametrize(
    ("answers", "wanted"),
    [
        ("0.08 free, 0.12 refuses", S.WITHIN_RANGE),
        ("0.12 drag, 0.13 refuses", S.WITHIN_RANGE),
        ("0.12 free, 0.15 refuses", S.WITHIN_SERVICE),
        ("0.15 drag, 0.20 refuses", S.WITHIN_SERVICE),
        ("0.06 free, 0.08 refuses", S.WITHIN_SERVICE),
        ("0.15 free", S.BEYOND_SERVICE),
        ("0.20 free, 0.25 refuses", S.BEYOND_SERVICE),
        ("0.06 refuses", S.BEYOND_SERVICE),
        ("0.13 free", S.NOT_TOLD_APART),
        ("0.08 refuses", S.NOT_TOLD_APART),
        ("0.10 free", S.NOT_TOLD_APART),
        ("0.10 free, 0.15 refuses", S.NOT_TOLD_APART),
        ("0.10 free, 0.08 refuses", None),
    ],
)
def test_by_what_the_blades_say(answers: str, wanted: S | None) -> None:
    assert standing(answers) is wanted


def test_without_a_verdict_nothing_is_said() -> None:
    readings = [Reading(Feeler((Leaf(Length.mm("0.20")),)), Answer.FREE)]
    assert service_standing(no_verdict("not measured yet"), judge(readings, LIMIT)) is None
