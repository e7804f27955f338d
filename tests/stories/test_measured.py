"""A clearance that was measured, told through ``replay``."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

# The stories' plain single: 0.06 to 0.10 mm inlet, 0.08 to 0.12 exhaust, screw and locknut, 0.75 mm.
BEGIN = "sheet plain-single\nblades leaves-f\ndate 2026-05-01\nmetal 19 C\nposition 1 mark slack\n"


def last(lines: Lines) -> dict[str, Any]:
    return lines[-2]


@pytest.mark.parametrize(
    ("text", "value", "error"),
    [
        ("0.09", 0.09, 0.01),
        ("0.09 +-0.005", 0.09, 0.005),
        ("0.09 +-0.01 mm", 0.09, 0.01),
        ("0.09 mm +-0.01 mm", 0.09, 0.01),
        ("0.09 ± 0.01 mm", 0.09, 0.01),
        ("3.5 +-0.5 thou", 0.0889, 0.0127),
    ],
)
def test_as_people_write_it(play: Play, text: str, value: float, error: float) -> None:
    told = last(play(f"{BEGIN}1E measured {text}\n"))["measured"]
    assert (told["value_mm"], told["error_mm"]) == (value, error)
    assert told["words"] == f"{value:g} measured, give or take {error:g}"


@pytest.mark.parametrize("text", ["", "+-0.01", "0.09 +-", "0.09 +-0.5", "-0.1", "9", "wide"])
def test_no_measured_value(
    play: Play, story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str
) -> None:
    script = tmp_path / "wrong.txt"
    script.write_text(f"{BEGIN}1E measured {text}\n", encoding="utf-8")
    code = main(["--data", str(story_data), "replay", str(script)])
    told = capsys.readouterr()
    assert code != 0 or "REFUSED" in told.out


def test_verdict_bracket_and_turn(play: Play) -> None:
    step = last(play(f"{BEGIN}1E measured 0.11 +-0.01 mm\n"))
    assert (step["verdict"], step["proved"], step["bracket_mm"]) == ("in", True, [0.10, 0.12])
    assert step["next"] is None
    step = last(play(f"{BEGIN}1E measured 0.15\n"))
    assert step["verdict"] == "wide"
    assert "0.15 measured, give or take 0.01." in step["message"]
    # 0.15 to the middle, 0.10, on a pitch of 0.75 mm is 24 degrees, 19.2 to 28.8 (geometry).
    turn = step["turn"]
    assert (turn["direction"], turn["degrees"]) == ("in", 24)
    assert (turn["degrees_low"], turn["degrees_high"]) == (19.2, 28.8)


def test_undone_or_struck_it_is_gone(play: Play) -> None:
    for back in ("undo", "1E strike measured"):
        step = last(play(f"{BEGIN}1E measured 0.11\n{back}\n1E note looked again\n"))
        assert (step["measured"], step["verdict"]) == (None, "none")
    nothing = last(play(f"{BEGIN}1E strike measured\n"))
    assert "no measured value" in nothing["refused"]


def test_apart_from_the_blades(play: Play) -> None:
    blades = "1E 0.09 free\n1E 0.10 refuses\n"
    step = last(play(f"{BEGIN}{blades}1E measured 0.12\n"))
    assert step["verdict"] == "contradiction"
    assert step["message"].startswith(
        "0.09 goes, 0.10 refuses, but 0.12 measured, give or take 0.01: measure it again."
    )
    step = last(play(f"{BEGIN}{blades}1E measured 0.16\n"))
    assert "test the pad. Blades bridge a dished pad" in step["message"]
    # Measured again it agrees, and the last one counts.
    step = last(play(f"{BEGIN}{blades}1E measured 0.16\n1E measured 0.10\n"))
    assert step["verdict"] == "in"


def test_one_taken_in_no_confirmed_place_counts_for_nothing(play: Play) -> None:
    step = last(play("sheet plain-single\nblades leaves-f\nmetal 19 C\n1E measured 0.11\n"))
    assert step["verdict"] == "none"
    assert "not confirmed" in step["message"]


def test_a_doubted_place_takes_it_along(play: Play) -> None:
    step = last(play(f"{BEGIN}1E measured 0.11\nposition 1 doubt\n1E note ?\n"))
    assert step["verdict"] == "none"


def test_readings_moved_to_their_valve_take_it_along(play: Play) -> None:
    step = last(play(f"{BEGIN}1E measured 0.11\n1E move 1I\n"))
    assert (step["valve"], step["measured"]["value_mm"]) == ("1I", 0.11)


def test_after_locking_it_counts_as_measured(play: Play) -> None:
    lines = play(f"{BEGIN}1E measured 0.15\n1E turn in 24\n1E lock\n1E measured 0.10\n")
    assert last(lines)["verdict"] == "in"
    told = lines[-1]["summary"]["valves"]["1E"]
    assert told["read_after"]
    assert (told["found"]["bracket_mm"], told["left"]["bracket_mm"]) == ([0.14, 0.16], [0.09, 0.11])


def test_plain_words_and_card(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "dial.txt"
    script.write_text(f"{BEGIN}1E measured 0.11 +-0.01 mm\n", encoding="utf-8")
    assert main(["--data", str(story_data), "replay", "--keep", str(script)]) == 0
    said = capsys.readouterr().out
    assert "0.11 measured, give or take 0.01" in said
    session = said.rsplit("Kept as ", 1)[1].strip()
    assert main(["--data", str(story_data), "card", session]) == 0
    card = capsys.readouterr().out
    assert "1E: 0.11 measured, give or take 0.01 (as found)" in card
    assert "0.11+-0.01" in card


def test_wound_back_over_a_dished_pad_it_is_locked_and_done(play: Play) -> None:
    """What to do, step by step, where the pad is found dished: no blade is asked for again."""
    found = f"{BEGIN}1E 0.04 free\n1E pad 72\n1E 0.09 free\n1E 0.10 refuses\n"
    step = last(play(found))
    assert step["do"] == "wind-back"
    assert last(play(f"{found}1E pad 48\n"))["do"] == "lock-it"
    done = last(play(f"{found}1E pad 48\n1E lock\n"))
    assert done["do"] == "next-valve"
    assert "have the pad dressed" in done["message"]
