"""The overlap guard and the steps after the setting, told line by line to ``benchtui replay``."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

HEAD = "sheet one-figure\nblades leaves-f\ndate 2026-05-05\nmetal 17 C\nband 0.03\n"
TIGHT = "position 1 mark slack\n1I 0.07 refuses\n1I 0.04 refuses\n1I 0.03 refuses\n"
FOUR = "sheet four-in-line\nblades leaves-c\ndate 2026-01-14\nmetal 4 C\nstops fewest\n"


def after(lines: Lines, text: str) -> dict[str, Any]:
    return next(line for line in lines if line.get("text") == text)


def refused(lines: Lines) -> dict[str, str]:
    return {line["text"]: line["refused"] for line in lines if "refused" in line}


def test_the_look_that_shows_overlap(play: Play) -> None:
    lines = play(
        HEAD
        + TIGHT
        + "look 1 opens\n1I turn out 20\n1I strike 0.07\nforward 315\nposition 1 mark inlet\n"
        "1I 0.07 free\n1I 0.12 refuses\nclose\n"
    )
    assert list(refused(lines)) == ["1I turn out 20"]
    assert after(lines, "1I 0.12 refuses")["verdict"] == "in"


def test_the_look_that_shows_a_clearance_that_is_gone(play: Play) -> None:
    lines = play(
        HEAD
        + TIGHT
        + "1I turn out 20\nlook 1 still\nforward 675\nposition 1 mark still\n1I turn out 30\n"
        "1I lock\n1I 0.07 free\n1I 0.12 refuses\nclose\n"
    )
    assert "Touch no screw" in refused(lines)["1I turn out 20"]
    assert "forward only" in refused(lines)["1I turn out 20"]
    assert len(refused(lines)) == 1
    left = lines[-1]["summary"]["valves"]["1I"]["left"]
    assert left["verdict"] == "in"


def test_what_came_of_a_step_at_the_crank_is_said(play: Play) -> None:
    lines = play(
        FOUR
        + "position 1 mark slack\nforward 350\nlook 4 opens\nforward 315\nposition 4 mark inlet\n"
    )
    assert after(lines, "position 1 mark slack")["message"] == (
        "You may check 1I, 1E, 2I and 3E here, by the valve timing in the sheet."
    )
    assert "This should be CYL 4 COMPRESSION" in after(lines, "forward 350")["message"]
    look = after(lines, "look 4 opens")["message"]
    assert "Looks like: overlap" in look
    assert "next there 315 degrees forward" in look
    assert refused(lines) == {}


@pytest.mark.parametrize("sign", ["tight 1I", "moves 1E", "moves", "open"])
def test_a_sign_against_it_stops_the_bench(play: Play, sign: str) -> None:
    lines = play(
        HEAD
        + f"position 1 mark slack\n1I 0.12 refuses\n1I 0.07 refuses\n1I 0.04 free\nposition 1 {sign}\n"
        "1I turn out 20\nposition 1 mark slack\nforward 360\nposition 1 mark slack\n1I turn out 20\n"
    )
    told = refused(lines)
    assert "not confirmed" in told["1I turn out 20"]
    assert "Touch no screw" in told["position 1 mark slack"]
    answers = [line for line in lines if line.get("text") == "1I turn out 20"]
    # Even a turn on does not bring back what was read in the doubted position.
    assert len(answers) == 2


def test_one_turn_on_is_not_compression_of_the_same_cylinder(play: Play) -> None:
    lines = play(FOUR + "position 1 mark slack\nforward 360\nposition 1 mark slack\n")
    lines = [line for line in lines if line.get("text") == "position 1 mark slack"]
    assert "refused" not in lines[0]
    assert "one turn out" in lines[1]["refused"]


def test_the_fewest_stops_with_the_turn_told(play: Play) -> None:
    lines = play(
        FOUR
        + "position 1 mark slack\n2I 0.15 free\n2I 0.25 refuses\nforward 360\nposition 4 mark slack\n"
        "3I 0.15 free\n3I 0.25 refuses\n1I 0.15 free\n1I 0.25 refuses\n"
    )
    assert refused(lines) == {}
    assert after(lines, "2I 0.25 refuses")["verdict"] == "in"
    assert after(lines, "3I 0.25 refuses")["verdict"] == "in"
    # 1I rocks there: what is read counts for nothing.
    assert after(lines, "1I 0.25 refuses")["verdict"] == "none"


SETTLED = (
    HEAD + "stood 5 h\ncount in 2 rags\nposition 1 mark slack\n1I 0.07 free\n1I 0.12 refuses\n"
    "1E 0.12 free\n1E 0.15 refuses\n"
)


def test_the_steps_after_the_setting(play: Play) -> None:
    lines = play(
        SETTLED + "1E spot 0.15 refuses\nturned over\n1E spot 0.15 refuses\nposition 1 mark slack\n"
        "1E spot 0.15 refuses\nfirst run\ncount out 2 rags\nfirst run\nno leaks\nclose\n"
    )
    told = [line["refused"] for line in lines if "refused" in line]
    # 1E widened: 0.115 to 0.155 in 0.12 to 0.18; 1I: 0.065 to 0.125 in 0.07 to 0.13 (arithmetic).
    over = after(lines, "turned over")["message"]
    assert over.startswith("Spot-check 1I: 0.07 must go; nothing was set today")
    assert len(told) == 3
    assert "turned over" in told[0]
    assert "not confirmed for 1E" in told[1]
    assert "rags (2)" in told[2]
    assert lines[-1]["summary"]["complete"] is True
    assert lines[-1]["summary"]["valves"]["1E"]["left"]["bracket_mm"] == [0.12, 0.15]


def test_a_spot_check_that_does_not_fit_keeps_it_from_being_a_check(play: Play) -> None:
    lines = play(
        SETTLED + "count out 2 rags\nturned over\nposition 1 mark slack\n1E spot 0.20 free\nclose\n"
    )
    summary = lines[-1]["summary"]
    assert summary["complete"] is False
    (lacking,) = summary["missing"]
    assert "spot-check did not fit" in lacking


def test_without_a_spot_check_it_is_a_check_and_with_rags_inside_it_is_not(play: Play) -> None:
    assert play(SETTLED + "count out 2 rags\nclose\n")[-1]["summary"]["complete"] is True
    short = play(SETTLED + "count out 1 rags\nclose\n")[-1]["summary"]
    assert short["complete"] is False
    assert short["missing"] == ["not counted out: rags (1)"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("look 1 shut", "opens or still"),
        ("look 1", "opens or still"),
        ("forward", "an angle"),
        ("turned round", "over"),
        ("first look", "run"),
        ("position 1 moves 9X", "a valve of"),
        ("look 4 opens", "a cylinder of"),
    ],
)
def test_lines_that_cannot_be_read_say_what_was_wanted(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str, wanted: str
) -> None:
    script = tmp_path / "script.txt"
    script.write_text(HEAD + line + "\n", encoding="utf-8")
    assert main(["--data", str(story_data), "replay", str(script)]) != 0
    assert wanted in capsys.readouterr().err


BAD = {
    "angles that repeat": ("4 = 360", "4 = 180", "layout.firing.4"),
    "never closes": ('"45 ABDC"', '"178 ABDC"', "timing.inlet_closes"),
    "no window": ("margin = 20", "margin = 140", "timing.margin"),
    "unknown valve": (
        "[timing]",
        '[[plan]]\nat = "1 compression TDC"\nvalves = ["9X"]\n[timing]',
        "9X",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_sheet_is_refused_with_the_reason(
    story_data: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    old, new, said = BAD[name]
    path = story_data / "sheets" / "four-in-line.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert main(["--data", str(story_data), "sheet", str(path)]) != 0
    shown = capsys.readouterr()
    assert said in shown.out + shown.err
