"""Cold by the clock, hot by somebody's word: no thermometer is needed where the trade needs none."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Play = Callable[..., list[dict[str, Any]]]

HEAD = "sheet plain-single\nblades leaves-f\n"
READ = "position 1 mark slack\n1I 0.06 free\n1I 0.10 refuses\n"


@pytest.mark.parametrize(
    ("told", "verdict", "said"),
    [
        ("stood 12 h\n", "in", ""),
        ("stood 3 h\n", "none", "Stood 3 h of 8 h: tell the metal's temperature"),
        ("metal 40 C\nstood 12 h\n", "none", "40 C, too warm: wait until it is below 35 C"),
        ("running hot\n", "none", "At running heat, too warm: wait until it is below 35 C"),
        ("", "none", "temperature is not told; the sheet wants it below 35 C, or stood 8 h"),
    ],
)
def test_stood_overnight_is_taken_as_cold(play: Play, told: str, verdict: str, said: str) -> None:
    step = play(f"{HEAD}{told}{READ}")[-2]
    assert step["verdict"] == verdict
    assert said in step["message"]


def test_set_in_warm_metal_it_is_measured_again_cold(play: Play) -> None:
    warm = "metal 62 C\n1I turn out 10\n1I lock\n"
    steps = play(f"{HEAD}stood 12 h\nposition 1 mark slack\n1I 0.04 free\n1I 0.05 refuses\n{warm}")
    assert not any("refused" in step for step in steps[:-1])
    assert "Set while too warm: measure it again cold; 62 C, too warm" in steps[-2]["message"]


@pytest.mark.parametrize(
    ("before", "said"),
    [
        ("metal 62 C\n", "Noted, does not count: 62 C, too warm."),
        ("position 1 doubt\n", "Noted, does not count: the crank is not confirmed."),
    ],
)
def test_a_reading_that_does_not_count_says_so_also_where_earlier_ones_do(
    play: Play, before: str, said: str
) -> None:
    """It is recorded all the same, and nothing is asked for twice without a word."""
    cold = f"{HEAD}metal 19 C\nposition 1 mark slack\n1I 0.04 refuses\n"
    steps = play(f"{cold}{before}1I 0.03 free\n")
    assert said in steps[-2]["message"]
    assert not any("Noted, does not count" in step["message"] for step in steps[:-2])
