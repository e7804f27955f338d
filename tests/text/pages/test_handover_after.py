"""The handover page on a crank turned since, and on what is left once every valve is set."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main

SETTLED = """sheet one-figure
blades leaves-f
date 2026-05-05
metal 17 C
band 0.03
position 1 mark slack
1I 0.07 free
1I 0.12 refuses
1E 0.12 free
1E 0.15 refuses
"""

TWO = """sheet four-in-line
blades leaves-c
date 2026-01-14
metal 4 C
stops fewest
position 1 mark slack
1I 0.15 free
1I 0.25 refuses
"""


@pytest.fixture
def page(
    play: Callable[..., Any], story_data: Path, capsys: pytest.CaptureFixture[str]
) -> Callable[[str], str]:
    def printed(script: str) -> str:
        play(script, keep=True)
        assert main(["--data", str(story_data), "card", "last", "--handover"]) == 0
        return " ".join(capsys.readouterr().out.replace("[ ]", "").split())

    return printed


def test_the_turns_told_say_where_the_crank_should_be(page: Callable[[str], str]) -> None:
    told = page(TWO + "forward 360\npause\n")
    assert "By the turns told it should be at CYL 4 COMPRESSION. Confirm it" in told
    assert "position is not confirmed" in told


def test_part_of_the_way_it_says_how_far_it_still_is(page: Callable[[str], str]) -> None:
    assert "CYL 4 COMPRESSION is 260" in page(TWO + "forward 100\npause\n")


def test_once_every_valve_is_set_the_steps_after_it_are_named(page: Callable[[str], str]) -> None:
    told = page(SETTLED + "pause\n")
    assert "Turn the engine over twice by hand, forward only." in told
    assert "Spot-check 1I: 0.07 must go" in told
    assert "First run, when everything is counted out and every torque is done" in told


def test_those_that_were_done_are_not_named_again(page: Callable[[str], str]) -> None:
    told = page(
        SETTLED + "turned over\nposition 1 mark slack\n1I spot 0.07 free\nfirst run\npause\n"
    )
    assert "Turn the engine over" not in told
    assert "Spot-check" not in told
    assert "First run" not in told
