"""A doubted position must not hold a valve up once the position is sure again."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

Lines = list[dict[str, Any]]


def test_advice_goes_on_after_a_doubt_without_striking(play: Callable[..., Lines]) -> None:
    """The readings of the doubted position stay, uncounted; the next blade is told all the same."""
    lines = play(
        "sheet plain-single\nblades leaves-f\nmetal 19 C\nposition 1 mark slack\n"
        "1I 0.07 refuses\nposition 1 doubt\nposition 1 mark still\n1I note again\n"
        "1I 0.10 refuses\n1I 0.06 free\n"
    )
    refused = [line for line in lines if "refused" in line]
    assert not refused, json.dumps(refused)
    by_text = {line["text"]: line for line in lines if "text" in line}
    assert by_text["1I note again"]["verdict"] == "none"
    assert by_text["1I note again"]["next"] is not None
    assert by_text["1I 0.06 free"]["verdict"] == "in"
    assert by_text["1I 0.06 free"]["bracket_mm"] == [0.06, 0.1]


class TestWhatADoubtCovers:
    """The wrong stroke, confirmed, read, confirmed again for good measure, read, and doubted."""

    HEAD = "sheet plain-single\nblades leaves-f\nmetal 19 C\nposition 1 mark slack\n1I 0.06 free\n"
    TAIL = "1I 0.10 refuses\nposition 1 doubt\nposition 1 mark still\n1I note end\n"

    def end(self, play: Callable[..., Lines], between: str, tail: str = TAIL) -> dict[str, Any]:
        lines = play(self.HEAD + between + tail)
        refused = [line for line in lines if "refused" in line]
        assert not refused, json.dumps(refused)
        return next(line for line in lines if line.get("text") == "1I note end")

    @pytest.mark.parametrize(
        "between",
        [
            "",
            "position 1 mark inlet\n",  # the same place, seen by something else
            "position 1 mark inlet\nposition 1 mark still\n",
            "pause\nresume unmoved\n",
            "pause\nresume unmoved\nposition 1 mark inlet\n",
            # Nobody knows that it moved, and it stands where it stood.
            "pause\nresume unsure\nposition 1 mark inlet\n",
        ],
    )
    def test_everything_read_since_the_crank_last_moved(
        self, play: Callable[..., Lines], between: str
    ) -> None:
        end = self.end(play, between)
        assert (end["verdict"], end["bracket_mm"]) == ("none", [0.0, None])

    @pytest.mark.parametrize(
        "between",
        [
            "forward 720\nposition 1 mark inlet\n",
            "forward 710\nforward 10\nposition 1 mark inlet\n",
            "pause\nresume moved\nposition 1 mark inlet\n",
            "turned over\nposition 1 mark inlet\n",
        ],
    )
    def test_nothing_read_before_it_moved(self, play: Callable[..., Lines], between: str) -> None:
        end = self.end(play, between)
        assert (end["verdict"], end["bracket_mm"]) == ("undecided", [0.06, None])

    def test_a_sign_against_it_covers_as_much(self, play: Callable[..., Lines]) -> None:
        tail = (
            "1I 0.10 refuses\nposition 1 moves\nforward 360\nposition 1 mark inlet\n1I note end\n"
        )
        end = self.end(play, "position 1 mark inlet\n", tail)
        assert (end["verdict"], end["bracket_mm"]) == ("none", [0.0, None])

    def test_after_a_pause_nobody_is_sure_of_a_doubt_still_covers_it(
        self, play: Callable[..., Lines]
    ) -> None:
        end = self.end(play, "1I 0.10 refuses\npause\nresume unsure\n", self.TAIL[16:])
        assert (end["verdict"], end["bracket_mm"]) == ("none", [0.0, None])

    def test_a_doubt_undone_leaves_all_as_it_was(self, play: Callable[..., Lines]) -> None:
        tail = "1I 0.10 refuses\nposition 1 doubt\nundo\n1I note end\n"
        end = self.end(play, "position 1 mark inlet\n", tail)
        assert (end["verdict"], end["bracket_mm"]) == ("in", [0.06, 0.1])

    def test_what_was_read_after_it_is_sure_again_stays(self, play: Callable[..., Lines]) -> None:
        """A second doubt, of the new standing, does not reach what it does not cover."""
        tail = (
            "position 1 doubt\nforward 720\nposition 1 mark inlet\n1I 0.06 free\n1I 0.10 refuses\n"
            "forward 720\nposition 1 mark inlet\n1E 0.08 free\nposition 1 doubt\n1I note end\n"
        )
        end = self.end(play, "", tail)
        assert (end["verdict"], end["bracket_mm"]) == ("in", [0.06, 0.1])
