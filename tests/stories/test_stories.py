"""Whole bench sessions with invented engines, played through ``benchtui replay --json``.

The figures wanted were worked out by hand from the simulated hand below; none comes from the program.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

SCRIPTS = Path(__file__).parent / "data" / "scripts"
NAMES = sorted(path.name for path in SCRIPTS.glob("*.txt"))
OIL = Fraction("0.004")


def text_of(number: int) -> str:
    return next(SCRIPTS.glob(f"{number}-*.txt")).read_text(encoding="utf-8")


def steps_at(lines: Lines, text: str) -> Lines:
    """The steps whose line reads so (comments off)."""
    found = [line for line in lines if line.get("text") == text]
    assert found, f"no step reads {text!r}"
    return found


def after(lines: Lines, text: str, nth: int = 0) -> dict[str, Any]:
    return steps_at(lines, text)[nth]


def shown(line: dict[str, Any], *keys: str) -> list[Any]:
    return [line[key] for key in keys]


def degrees(line: dict[str, Any]) -> list[Any]:
    return shown(line["turn"], "direction", "degrees", "degrees_low", "degrees_high")


def hand(clearance: Fraction, blade: Fraction) -> str:
    """The simulated hand: free, a drag near the clearance, or refuses; millimetres."""
    if clearance >= blade + Fraction("0.010"):
        return "free"
    return "drag" if clearance >= blade - Fraction("0.004") else "refuses"


@pytest.mark.parametrize("name", NAMES)
def test_every_answer_written_down_is_the_simulated_hands(name: str) -> None:
    """The scripts say what is true at each valve; only grit on a blade may answer otherwise."""
    true: dict[str, Fraction] = {}
    checked = 0
    for line in (SCRIPTS / name).read_text(encoding="utf-8").splitlines():
        match line.split():
            case ["#", "true", valve, clearance]:
                true[valve] = Fraction(clearance)
            case [valve, blade, ("free" | "drag" | "refuses") as answer, *rest]:
                if rest == ["#", "grit"] or not true:
                    continue
                leaves = [Fraction(leaf) for leaf in blade.split("+")]
                thick = sum(leaves, Fraction(0)) + OIL * (len(leaves) - 1)
                assert hand(true[valve], thick) == answer, line
                checked += 1
    assert checked or name.startswith("7")


@pytest.mark.parametrize("name", NAMES)
def test_every_step_carries_every_field(play: Play, name: str) -> None:
    *steps, last = play((SCRIPTS / name).read_text(encoding="utf-8"))
    fields = {"step", "line", "valve", "bracket_mm", "widened_mm", "verdict", "proved"}
    fields |= {"at_limit", "next", "turn", "message"}
    assert all(fields <= step.keys() for step in steps)
    assert [step["step"] for step in steps] == list(range(1, len(steps) + 1))
    assert {"complete", "valves", "next_due"} <= last["summary"].keys()


class TestPlainSingle:
    """Story 1: the inlet is proved in range, the tight exhaust is set to the middle."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(1))

    def test_inlet_in_range_then_proved(self, lines: Lines) -> None:
        first = after(lines, "1I 0.06 free")
        assert shown(first, "verdict", "bracket_mm") == ["undecided", [0.06, None]]
        second = after(lines, "1I 0.10 refuses")
        assert shown(second, "verdict", "proved", "at_limit") == ["in", False, False]
        assert shown(second, "bracket_mm", "widened_mm") == [[0.06, 0.10], [0.055, 0.105]]
        third = after(lines, "1I 0.09 refuses")
        assert shown(third, "verdict", "proved") == ["in", True]
        assert third["next"] is None
        assert third["turn"] is None

    def test_the_upper_limit_is_asked_next_and_why(self, lines: Lines) -> None:
        wanted = after(lines, "1I 0.06 free")["next"]
        assert wanted["blades_mm"] == [0.10]
        assert "upper limit" in wanted["reason"]
        assert "in range" in wanted["if_refuses"]

    def test_exhaust_tight_and_the_turn_to_the_middle(self, lines: Lines) -> None:
        assert after(lines, "1E 0.08 refuses")["verdict"] == "tight"
        assert after(lines, "1E 0.08 refuses")["turn"] is None
        last = after(lines, "1E 0.05 drag")
        assert shown(last, "verdict", "bracket_mm") == ["tight", [0.05, 0.06]]
        # 0.045 mm on a pitch of 0.75: 360 x 0.045 / 0.75 (geometry).
        assert degrees(last) == ["out", 21.6, 19.2, 24.0]
        assert last["turn"]["rotation"] == "anticlockwise"

    def test_after_locking_it_must_be_measured_again(self, lines: Lines) -> None:
        locked = after(lines, "1E lock")
        assert shown(locked, "verdict", "bracket_mm") == ["none", [0.0, None]]
        assert "measure it again" in locked["message"]
        assert shown(after(lines, "1E 0.12 refuses"), "verdict", "proved") == ["in", False]
        assert shown(after(lines, "1E 0.10 refuses"), "verdict", "proved") == ["in", True]
        assert after(lines, "1E 0.10 refuses")["bracket_mm"] == [0.09, 0.10]

    def test_summary_has_found_and_left_and_the_next_check(self, lines: Lines) -> None:
        summary = lines[-1]["summary"]
        assert summary["complete"] is True
        exhaust = summary["valves"]["1E"]
        assert shown(exhaust["found"], "bracket_mm", "verdict") == [[0.05, 0.06], "tight"]
        assert shown(exhaust["left"], "bracket_mm", "verdict") == [[0.09, 0.10], "in"]
        assert shown(exhaust, "turned_degrees", "locked", "read_after") == [21.6, True, True]
        inlet = summary["valves"]["1I"]
        assert inlet["found"] == inlet["left"]
        # Six months after 2026-05-04; 5 000 km after 4 100 (arithmetic).
        assert summary["next_due"]["date"] == "2026-11-04"
        assert summary["next_due"]["odometer_km"] == 9100

    def test_without_the_last_reading_it_is_no_check(self, play: Play) -> None:
        text = text_of(1)
        lines = play(text[: text.index("# true 1E 0.095")] + "close\n")
        summary = lines[-1]["summary"]
        assert summary["complete"] is False
        assert summary["missing"] == ["1E: not measured since it was locked"]
        assert summary["valves"]["1E"]["left"] is None


class TestOneTurnOut:
    """Story 2: nothing goes at the first mark; no screw is offered until the stroke is sure."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(2))

    def test_no_turn_is_offered_while_nothing_goes(self, lines: Lines) -> None:
        refused = [line for line in lines if line.get("text", "").endswith("refuses")][:4]
        assert [line["verdict"] for line in refused] == ["tight"] * 4
        assert [line["turn"] for line in refused] == [None] * 4

    def test_the_thinnest_blade_is_asked_before_a_screw_is_touched(self, lines: Lines) -> None:
        wanted = after(lines, "1I 0.04 refuses")
        assert wanted["next"]["blades_mm"] == [0.03]
        assert "No blade has gone in yet" in wanted["message"]

    def test_no_slack_names_overlap_and_what_to_do(self, lines: Lines) -> None:
        for text in ("1I 0.03 refuses", "1E 0.03 refuses"):
            message = after(lines, text)["message"]
            assert "overlap" in message
            assert "Touch no screw" in message
            assert "forward only" in message
            assert after(lines, text)["next"] is None

    def test_turning_anyway_is_refused(self, play: Play) -> None:
        text = text_of(2)
        lines = play(text[: text.index("position 1 doubt")] + "1I turn out 20\n1I lock\nclose\n")
        turned = after(lines, "1I turn out 20")
        assert "No slack at all" in turned["refused"]
        assert lines[-1]["summary"]["valves"]["1I"]["turned_degrees"] == 0

    def test_struck_readings_leave_no_trace_in_the_verdict(self, lines: Lines) -> None:
        assert after(lines, "1I strike 0.03")["bracket_mm"] == [0.0, None]
        inlet = after(lines, "1I 0.12 refuses")
        assert shown(inlet, "verdict", "bracket_mm") == ["in", [0.07, 0.12]]
        exhaust = after(lines, "1E 0.15 refuses")
        assert shown(exhaust, "verdict", "bracket_mm") == ["in", [0.12, 0.15]]

    def test_no_screw_was_touched(self, lines: Lines) -> None:
        summary = lines[-1]["summary"]
        assert summary["complete"] is True
        assert [v["turned_degrees"] for v in summary["valves"].values()] == [0, 0]

    def test_without_the_owners_band_there_is_no_verdict(self, play: Play) -> None:
        lines = play(text_of(2).replace("band 0.03\n", ""))
        line = after(lines, "1I 0.12 refuses")
        assert shown(line, "verdict", "bracket_mm") == ["none", [0.07, 0.12]]
        assert "no tolerance printed" in line["message"].lower()
        assert lines[-1]["summary"]["complete"] is False


class TestGritOnTheBlade:
    """Story 3: the readings contradict each other, and the latest does not win."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(3))

    def test_the_contradiction_names_the_readings_to_doubt(self, lines: Lines) -> None:
        line = after(lines, "1E 0.12 drag")
        assert shown(line, "verdict", "bracket_mm") == ["contradiction", [0.12, 0.10]]
        assert line["message"].startswith("0.10 refuses but 0.12 goes. Wipe 0.10, try again.")
        assert line["clash"] == {
            "how": "try again",
            "doubted": "0.10 refuses",
            "against": "0.12 drag",
            "crank_moved": False,
        }
        assert shown(line, "next", "turn") == [None, None]

    def test_retested_it_is_in_range_not_proved(self, lines: Lines) -> None:
        line = after(lines, "1E 0.15 refuses")
        assert shown(line, "verdict", "proved", "at_limit") == ["in", False, False]
        assert shown(line, "bracket_mm", "widened_mm") == [[0.12, 0.15], [0.115, 0.155]]

    def test_only_one_valve_was_read_so_it_is_no_check(self, lines: Lines) -> None:
        assert lines[-1]["summary"]["complete"] is False
        assert lines[-1]["summary"]["missing"] == ["1I: not measured"]


class TestTheNutMovesTheScrew:
    """Story 4: locking closes the gap; the next turn aims off by what it took."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(4))

    def test_before_locking_in_range(self, lines: Lines) -> None:
        line = after(lines, "1I 0.12 refuses", 0)
        assert shown(line, "verdict", "bracket_mm") == ["in", [0.10, 0.12]]
        assert line["do"] == "lock-it"
        assert "The nut is slack" in line["message"]

    def test_after_locking_tight_and_the_aim_is_moved(self, lines: Lines) -> None:
        assert after(lines, "1I 0.08 refuses", 1)["verdict"] == "tight"
        line = after(lines, "1I 0.07 drag")
        assert line["bracket_mm"] == [0.07, 0.08]
        # The shift is 0.07 - 0.12 to 0.08 - 0.10, its middle -0.035: aim 0.10 + 0.035 (arithmetic).
        assert line["turn"]["aim_mm"] == 0.135
        # 0.135 less 0.075 on a pitch of 1.0: 21.6 degrees (geometry).
        assert degrees(line) == ["out", 21.6, 19.8, 23.4]
        assert "locking is known to move it" in line["message"]

    def test_aimed_off_it_is_left_in_range(self, lines: Lines) -> None:
        assert after(lines, "1I 0.15 refuses")["bracket_mm"] == [0.12, 0.15]
        left = lines[-1]["summary"]["valves"]["1I"]["left"]
        assert shown(left, "verdict", "bracket_mm") == ["in", [0.08, 0.12]]


class TestAStack:
    """Story 5: two leaves together settle what no single one can."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(5))

    def test_the_top_of_the_range_needs_a_stack(self, lines: Lines) -> None:
        line = after(lines, "1E 0.30 free")
        assert line["verdict"] == "undecided"
        assert sorted(line["next"]["blades_mm"]) == [0.04, 0.30]

    def test_joints_and_errors_keep_it_from_being_proved(self, lines: Lines) -> None:
        line = after(lines, "1E 0.30+0.04 refuses")
        assert shown(line, "verdict", "proved") == ["in", False]
        # 0.34 + 2 x 0.005 + one joint of 0.007 (arithmetic).
        assert line["widened_mm"] == [0.295, 0.357]

    def test_a_thinner_stack_proves_it(self, lines: Lines) -> None:
        line = after(lines, "1E 0.25+0.07 refuses")
        assert shown(line, "verdict", "proved") == ["in", True]
        assert shown(line, "bracket_mm", "widened_mm") == [[0.30, 0.32], [0.295, 0.337]]


class TestTheVanOnAColdEvening:
    """Story 6: four in line by two stops, interrupted and gone on with."""

    @pytest.fixture
    def lines(self, play: Play) -> Lines:
        return play(text_of(6))

    def test_nothing_is_refused_and_every_valve_is_left_in_range(self, lines: Lines) -> None:
        assert [line["text"] for line in lines if "refused" in line] == []
        summary = lines[-1]["summary"]
        assert summary["complete"] is True
        assert {v["left"]["verdict"] for v in summary["valves"].values()} == {"in"}
        assert len(summary["valves"]) == 8

    def test_tight_and_wide_turns_through_the_lever(self, lines: Lines) -> None:
        # 0.075 and 0.125 mm on a pitch of 1.0 through a ratio of 1.5 (geometry).
        tight = after(lines, "3E 0.20 free")
        assert shown(tight, "verdict", "bracket_mm") == ["tight", [0.20, 0.25]]
        assert degrees(tight) == ["out", 18.0, 12.0, 24.0]
        wide = after(lines, "4E 0.45 refuses")
        assert shown(wide, "verdict", "bracket_mm") == ["wide", [0.40, 0.45]]
        assert degrees(wide) == ["in", 30.0, 24.0, 36.0]
        assert after(lines, "4E 0.35 free")["verdict"] == "wide"

    @pytest.mark.parametrize("crank", ["unsure", "moved"])
    def test_unless_the_crank_surely_stood_still_the_position_is_open(
        self, play: Play, crank: str
    ) -> None:
        text = text_of(6).replace("resume unmoved", f"resume {crank}")
        lines = play(text)
        read = after(lines, "3E 0.20 free")
        assert shown(read, "verdict", "turn", "next") == ["none", None, None]
        assert "position is not confirmed" in after(lines, "3E turn out 18")["refused"]
        # What was read before the power failed still counts.
        assert lines[-1]["summary"]["valves"]["2I"]["found"]["verdict"] == "in"

        again = play(text.replace(f"resume {crank}", f"resume {crank}\nposition 1 mark slack"))
        assert again[-1]["summary"]["complete"] is True

    def test_one_cylinder_at_a_time_2i_and_3e_wait_for_their_own_stop(self, play: Play) -> None:
        lines = play(text_of(6).replace("stops fewest\n", ""))
        assert after(lines, "2I 0.25 refuses")["verdict"] == "none"
        assert after(lines, "1I 0.25 refuses")["verdict"] == "in"

    def test_steps_while_paused_are_refused(self, play: Play) -> None:
        lines = play(text_of(6).replace("resume unmoved\n", ""))
        assert "paused" in after(lines, "3E 0.25 refuses")["refused"]
        assert lines[-1]["summary"]["complete"] is False


class TestHydraulic:
    """Story 7: refused with the reason; nothing is stored as measured."""

    def test_every_step_is_refused_with_the_reason(self, play: Play, story_data: Path) -> None:
        lines = play(text_of(7), keep=True)
        refused = [line for line in lines[:-1] if "refused" in line]
        assert [line["text"] for line in refused] == [
            "position 1 mark slack",
            "1I 0.20 refuses",
            "close",
        ]
        assert all("hydraulic" in line["refused"] for line in refused)
        assert lines[-1]["summary"]["valves"] == {}
        assert not list(story_data.glob("sessions/*"))


def test_story_one_as_a_program_of_its_own(story_data: Path) -> None:
    """The same through ``python -m benchtui``, a line at a time, with nothing on standard error."""
    command = [sys.executable, "-m", "benchtui", "--data", str(story_data)]
    command += ["replay", str(next(SCRIPTS.glob("1-*.txt"))), "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr == ""
    last = json.loads(done.stdout.splitlines()[-1])
    assert last["summary"]["complete"] is True
