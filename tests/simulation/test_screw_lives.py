"""Engines checked again and again: the sheet that forgot a ratio is found, the right one left alone.

The engine that is not real is the oracle: it moves its gaps by geometry (pitch, ratio, degrees).
"""

from __future__ import annotations

from fractions import Fraction

from benchtui.practice.hand import STORY_HAND
from tests.simulation.fleet import FLEET
from tests.simulation.screws import Lives, lives_checked, ratio_forgotten, screw_lines

BARGE = next(c for c in FLEET if c.sheet.key == "barge")


def barge(ratio: Fraction, *, lives: int, sessions: int) -> Lives:
    true = ratio_forgotten(BARGE.sheet, ratio)
    return lives_checked(
        STORY_HAND,
        7,
        lives=lives,
        sessions=sessions,
        sheet=BARGE.sheet,
        true=true,
        blades=BARGE.blades,
    )


def test_a_right_sheet_is_not_doubted() -> None:
    assert barge(Fraction(1), lives=3, sessions=2).ever == 0


def test_a_right_sheet_is_not_doubted_where_ranges_are_narrow() -> None:
    assert lives_checked(STORY_HAND, 7, lives=2, sessions=2).ever == 0


def test_a_forgotten_ratio_is_found_within_three_sessions() -> None:
    found = barge(Fraction(3, 2), lives=4, sessions=3)
    assert found.doubted == sorted(found.doubted)
    assert found.ever >= 3


def test_an_ordinary_check_turns_two_valves() -> None:
    found = lives_checked(
        STORY_HAND, 7, lives=3, sessions=2, sheet=BARGE.sheet, blades=BARGE.blades, out=2
    )
    assert (found.lives, found.ever, len(found.doubted)) == (3, 0, 2)


def test_the_lines_fit_a_screen() -> None:
    lines, doubted = screw_lines(7, lives=1, sessions=1)
    assert max(len(line) for line in lines) <= 100
    assert doubted == 0
