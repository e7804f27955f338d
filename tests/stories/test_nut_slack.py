"""With the nut slack: the JSON says so, and a turn that was not advised is recorded and named so."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import LockIt
from benchtui.practice.session import rehearse
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

# The stories' plain single: 0.06 to 0.10 mm inlet, screw and locknut.
HEAD = "sheet plain-single\nblades leaves-f\n"
COLD = f"{HEAD}metal 19 C\nposition 1 mark slack\n"
TIGHT = "1I 0.05 refuses\n1I 0.04 free\n"
IN_RANGE = "1I 0.06 free\n1I 0.10 refuses\n"


def steps(play: Play, script: str) -> Lines:
    found = play(script)[:-1]
    assert not any("refused" in step for step in found), [s.get("refused") for s in found]
    return found


def test_each_step_says_whether_the_nut_is_slack(play: Play) -> None:
    lines = steps(play, f"{COLD}{TIGHT}1I turn out 20\n1I 0.07 free\n1I 0.08 refuses\n1I lock\n")
    assert [line["nut_slack"] for line in lines[-4:]] == [True, True, True, False]
    assert not any(line["nut_slack"] for line in lines[:-4])
    slack = lines[-2]
    assert slack["verdict"] == "in", "on the moved range; the key is there to tell"
    assert "The nut is slack" in slack["message"]


UNADVISED = {
    "nothing read": ("1I turn out 10", "no verdict could be given (not measured yet)"),
    "no blade refused": (
        "1I 0.20 free\n1I turn in 10",
        "no turn from an open bracket: no blade has refused yet",
    ),
    "open at one side": (
        "1I 0.06 free\n1I turn out 10",
        "whether it wants one was not known (0.06 goes, nothing has refused",
    ),
    "in range": (f"{IN_RANGE}1I turn out 10", "the valve was in range (0.06 goes, 0.10 refuses)"),
    "contradiction": (
        "1I 0.09 free\n1I 0.05 refuses\n1I turn out 10",
        "no verdict could be given (0.05 refuses but 0.09 goes",
    ),
    "too wide": (
        "1E 0.03 free\n1E 0.08 refuses\n1E turn out 10",
        "the bracket is 0.05 mm wide: at worst the turn would land out of range",
    ),
    "the other way": (f"{TIGHT}1I turn in 10", "the way to turn was out"),
}


@pytest.mark.parametrize("case", UNADVISED)
def test_a_turn_that_was_not_advised_is_kept_and_said_to_be_none(case: str, play: Play) -> None:
    script, why = UNADVISED[case]
    lines = play(f"{COLD}{script}\n")
    last = lines[-2]
    said = [doubt for doubt in last["doubts"] if "not advised" in doubt]
    assert len(said) == 1
    assert said[0].startswith(f"This turn was not advised: {why}")
    assert said[0] in last["message"]
    assert "refused" not in last
    assert last["nut_slack"]
    assert lines[-1]["summary"]["valves"][last["valve"]]["turned_degrees"] == pytest.approx(
        10 if " out " in last["text"] else -10
    )


def test_metal_too_warm_is_the_reason_given(play: Play) -> None:
    warm = f"{HEAD}metal 50 C\nposition 1 mark slack\n{TIGHT}1I turn out 20\n"
    last = steps(play, warm)[-1]
    assert "This turn was not advised: no verdict could be given (50 C, too warm" in " ".join(
        last["doubts"]
    )


@pytest.mark.parametrize(
    "turns",
    [
        "1I turn out 20",
        "1I turn out 9\n1I turn out 11",
        "1I turn out 30\n1I turn in 10",  # a little past it and back: from one side, as advised
        "1I turn out 20\n1I 0.07 free\n1I 0.08 refuses",
        "1I turn out 20\n1I lock",
    ],
)
def test_a_turn_that_was_advised_is_not_called_otherwise(turns: str, play: Play) -> None:
    for line in steps(play, f"{COLD}{TIGHT}{turns}\n"):
        assert "not advised" not in line["message"]


def test_it_is_said_until_the_valve_is_read_or_locked_or_the_turn_undone(play: Play) -> None:
    turned = f"{COLD}{IN_RANGE}1I turn out 10\n"
    assert "not advised" in steps(play, turned)[-1]["message"]
    assert "not advised" in steps(play, f"{turned}1I turn out 5\n")[-1]["message"]
    for after in ("1I 0.10 free", "1I lock", "undo\n1I 0.09 refuses"):
        assert "not advised" not in steps(play, f"{turned}{after}\n")[-1]["message"]


def test_the_step_printed_for_reading_says_it_too(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "script.txt"
    path.write_text(f"{COLD}{IN_RANGE}1I turn out 10\n")
    assert main(["--data", str(story_data), "replay", str(path)]) == 0
    line = next(x for x in capsys.readouterr().out.splitlines() if "turn out 10" in x)
    assert "This turn was not advised: the valve was in range" in line


def test_whoever_comes_back_to_a_slack_nut_locks_it_before_he_is_asked_of_the_crank(
    play: Play,
) -> None:
    lines = play(f"{COLD}{TIGHT}1I set 0.08\npause\n1I lock\nresume unmoved\n{IN_RANGE}")
    assert not [line["refused"] for line in lines if "refused" in line]
    assert lines[-2]["verdict"] == "in", "what is read after it counts: the crank did not move"
    # Anything else waits for the answer, a tight nut's lock too.
    again = play(f"{COLD}{TIGHT}1I set 0.08\npause\n1I lock\n1I lock\n1I 0.06 free\n")
    refused = [line["refused"] for line in again if "refused" in line]
    assert len(refused) == 2
    assert all("This session is paused." in why for why in refused)
    # With the nut slack still, what is refused says what comes first, as the step does.
    slack = play(f"{COLD}{TIGHT}1I set 0.08\npause\n1E 0.06 free\n1E lock\n")
    told = [line for line in slack if "refused" in line]
    assert len(told) == 2
    for line in told:
        assert "the locknut of 1I is slack. Lock it first." in line["refused"]


def test_practice_begins_with_every_nut_tight(play: Play, story_data: Path) -> None:
    """The nut that was left slack is the engine's own: a rehearsal of it has nothing to lock."""
    dated = f"date 2026-05-01\n{COLD}{TIGHT}1I set 0.08\nclose\n"
    assert not [line for line in play(dated, keep=True) if "refused" in line]
    shop = Workshop(DataFolder(story_data), wall_clock)
    sheet = shop.engines.sheet("plain-single")
    assert shop.opening(sheet, "leaves-f", Particulars()).left_slack == ("1I",)
    rehearsed = rehearse(shop, sheet, "leaves-f")
    assert not isinstance(next_step(rehearsed.bench.state), LockIt)
