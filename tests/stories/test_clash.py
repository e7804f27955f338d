"""Readings that clash, told through ``replay``: wiped and tried again, and two against one settles it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

# The stories' plain single: 0.06 to 0.10 mm inlet, screw and locknut.
BEGIN = "sheet plain-single\nblades leaves-f\ndate 2026-05-01\nmetal 19 C\nposition 1 mark slack\n"
GRIT = f"{BEGIN}1I 0.05 refuses\n1I 0.07 free\n"


def test_the_refusal_is_tried_again_and_set_aside(play: Play) -> None:
    *_, clash, _summary = play(GRIT)
    assert clash["verdict"] == "contradiction"
    assert clash["message"] == (
        "0.05 refuses but 0.07 goes. Wipe 0.05, try again. It refuses: 0.07 is set aside. "
        "It goes: the first 0.05 is."
    )
    *_, settled, summary = play(f"{GRIT}1I 0.05 free\n1I 0.10 refuses\n")
    assert (settled["verdict"], settled["bracket_mm"]) == ("in", [0.07, 0.10])
    assert settled["set_aside"] == ["0.05 refuses"]
    assert "0.05 refuses set aside, two against one." in settled["message"]
    assert summary["summary"]["valves"]["1I"]["left"]["bracket_mm"] == [0.07, 0.10]


def test_struck_the_reading_set_aside_is_back(play: Play) -> None:
    *_, line, _summary = play(f"{GRIT}1I 0.05 free\n1I strike\n")
    assert (line["verdict"], line["set_aside"]) == ("contradiction", [])


def test_two_against_two_are_struck(play: Play) -> None:
    *_, line, _summary = play(f"{GRIT}1I 0.05 refuses\n1I 0.07 free\n")
    assert line["message"].endswith("Two against two: strike them, wipe all, measure afresh.")


def test_the_crank_turned_between_is_named(play: Play) -> None:
    script = f"{BEGIN}1I 0.05 refuses\nforward 720\nposition 1 mark slack\n1I 0.07 free\n"
    *_, line, _summary = play(script)
    assert line["clash"]["crank_moved"]
    assert "The crank moved between them: try 0.05 again here." in line["message"]


def test_plain_words_and_card_say_what_was_set_aside(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "grit.txt"
    script.write_text(f"{GRIT}1I 0.05 free\n1I 0.10 refuses\n", encoding="utf-8")
    assert main(["--data", str(story_data), "replay", "--keep", str(script)]) == 0
    said = capsys.readouterr().out
    assert "0.05 refuses set aside, two against one." in said
    session = said.rsplit("Kept as ", 1)[1].strip()
    assert main(["--data", str(story_data), "card", session]) == 0
    card = capsys.readouterr().out
    assert "1I: 0.05 refuses" in next(line for line in card.splitlines() if "set aside" in line)


class TestDragsFarApart:
    """0.05 and 0.12 cannot both drag in one gap: a drag spans a hundredth or two (common practice)."""

    BOTH = f"{BEGIN}1I 0.05 drag\n1I 0.12 drag\n"

    def test_the_thinner_is_tried_again_first(self, play: Play) -> None:
        *_, clash, _summary = play(self.BOTH)
        assert clash["do"] == "settle"
        assert clash["sentence"] == "0.05 and 0.12 both drag: one is wrong. Wipe 0.05, try again."

    def test_it_goes_free_and_its_drag_is_set_aside(self, play: Play) -> None:
        *_, settled, _summary = play(f"{self.BOTH}1I 0.05 free\n")
        assert settled["do"] != "settle"
        assert settled["set_aside"] == ["0.05 drag"]

    def test_it_drags_again_so_the_thicker_is_tried_and_its_refusal_outweighs_it(
        self, play: Play
    ) -> None:
        *_, asked, refused, _summary = play(f"{self.BOTH}1I 0.05 drag\n1I 0.12 refuses\n")
        assert asked["sentence"].endswith("Wipe 0.12, try again.")
        assert refused["set_aside"] == ["0.12 drag"]
        assert refused["bracket_mm"] == [0.05, 0.12]

    def test_two_against_two_are_struck(self, play: Play) -> None:
        *_, tied, _summary = play(f"{self.BOTH}1I 0.05 drag\n1I 0.12 drag\n")
        assert tied["sentence"].startswith("Two against two: strike them")

    def test_neighbours_may_both_drag(self, play: Play) -> None:
        *_, line, _summary = play(f"{BEGIN}1I 0.07 drag\n1I 0.08 drag\n")
        assert line["do"] != "settle"

    def test_with_the_crank_moved_between_them_that_is_named_first(self, play: Play) -> None:
        moved = "position 1 mark inlet\n"
        *_, clash, _summary = play(f"{BEGIN}1I 0.05 drag\n{moved}1I 0.12 drag\n")
        assert clash["sentence"] == "The crank moved between them: try 0.05 again here."
