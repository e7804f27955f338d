"""A dished pad, told through ``replay``: blades bridge it, the thread sets it (common practice)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Play = Callable[..., list[dict[str, Any]]]

# The stories' plain single: 0.08 to 0.12 mm exhaust; 72 degrees of M6x0.75 are 0.15 mm.
TEST = (
    "sheet plain-single\nblades leaves-f\ndate 2026-05-01\nmetal 19 C\nposition 1 mark slack\n"
    "1E 0.08 refuses\n1E 0.06 free\n1E 0.08 refuses\n1E pad 72\n"
)
DISHED = f"{TEST}1E 0.08 free\n1E 0.10 refuses\n"


def test_the_blades_miss_what_the_thread_made_so_it_is_wound_back_for_the_aim(play: Play) -> None:
    *_, found, _summary = play(DISHED)
    assert (found["do"], found["tall"]) == ("wind-back", "BACK 48")
    assert found["sentence"] == "Pad dished, blades lie. Wind to nothing, back 48, lock."


def test_no_blade_is_asked_for_at_that_valve_any_more(play: Play) -> None:
    steps = play(f"{DISHED}1E lock\n1E 0.08 free\n1E 0.10 refuses\n1E pad 48\n1E lock\n")
    after = [s for s in steps if s.get("step", 0) > 11]
    assert [s["do"] for s in after] == [
        "wind-back",
        "wind-back",
        "wind-back",
        "lock-it",
        "next-valve",
    ]
    assert not any("measure it again" in s["message"] for s in after)


def test_where_no_leaf_of_the_set_would_tell_more_none_is_asked_for(play: Play) -> None:
    *_, last, _summary = play(f"{TEST}1E 0.10 free\n1E 0.12 refuses\n")
    assert last["do"] == "lock-it"
    assert "this set has no leaf that would tell more" in last["message"]


def test_set_by_the_thread_it_stands_so_in_every_word(play: Play) -> None:
    """Not "measure it again": the blades lie there, and nothing else asks for it."""
    *_, locked, _summary = play(f"{DISHED}1E pad 48\n1E lock\n")
    assert locked["sentence"].startswith("1E: set by the thread, pad dished.")
