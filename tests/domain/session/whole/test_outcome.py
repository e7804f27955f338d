"""A verdict of practice held against what was true."""

from __future__ import annotations

import pytest

from benchtui.domain.gauging.bracket import OPEN
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.whole.outcome import Fit, Outcome, fit_of
from benchtui.domain.session.whole.record import Gauged
from benchtui.domain.sheet import Band

BAND = Band(Length.um(80), Length.um(120))


def gauged(kind: VerdictKind, *, by_feel: bool = False) -> Gauged:
    return Gauged(OPEN, Verdict(kind, "", by_feel=by_feel))


@pytest.mark.parametrize(
    ("kind", "true", "fit"),
    [
        (VerdictKind.IN, 80, Fit.RIGHT),
        (VerdictKind.IN, 120, Fit.RIGHT),
        (VerdictKind.IN, 79, Fit.WRONG),
        (VerdictKind.IN, 121, Fit.WRONG),
        (VerdictKind.TIGHT, 79, Fit.RIGHT),
        (VerdictKind.TIGHT, 80, Fit.WRONG),
        (VerdictKind.WIDE, 121, Fit.RIGHT),
        (VerdictKind.WIDE, 120, Fit.WRONG),
        (VerdictKind.UNDECIDED, 100, Fit.NOTHING_SAID),
        (VerdictKind.CONTRADICTION, 100, Fit.NOTHING_SAID),
        (VerdictKind.NONE, 100, Fit.NOTHING_SAID),
    ],
)
def test_right_wrong_or_nothing_said(kind: VerdictKind, true: int, fit: Fit) -> None:
    assert fit_of(gauged(kind), Length.um(true), BAND) is fit


@pytest.mark.parametrize(("true", "fit"), [(100, Fit.RIGHT), (121, Fit.WRONG)])
def test_in_range_by_feel_counts_as_said(true: int, fit: Fit) -> None:
    assert fit_of(gauged(VerdictKind.UNDECIDED, by_feel=True), Length.um(true), BAND) is fit


def test_nothing_gauged_or_no_range_says_nothing() -> None:
    assert fit_of(None, Length.um(100), BAND) is Fit.NOTHING_SAID
    assert fit_of(gauged(VerdictKind.IN), Length.um(100), None) is Fit.NOTHING_SAID


def test_found_and_left_are_each_held_against_their_own_truth() -> None:
    told = Outcome(
        "1E",
        BAND,
        touched=True,
        found=gauged(VerdictKind.TIGHT),
        found_true=Length.um(50),
        left=gauged(VerdictKind.IN),
        left_true=Length.um(130),
    )
    assert (told.found_fit, told.left_fit) == (Fit.RIGHT, Fit.WRONG)
