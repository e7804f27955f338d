"""The crank as a mechanic shows it: what his gear shows, and never a cylinder that rocks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Play = Callable[..., list[dict[str, Any]]]

FOUR = "sheet four-in-line\nblades leaves-f\nmetal 19 C\n"
SINGLE = "sheet plain-single\nblades leaves-f\nmetal 19 C\n"


def refused(lines: list[dict[str, Any]]) -> list[str]:
    return [line["refused"] for line in lines[:-1] if "refused" in line]


def test_the_companion_rocks_and_its_own_valves_wait(play: Play) -> None:
    lines = play(f"{FOUR}position 1 mark companion\n4I 0.20 free\n1I 0.20 free\n")
    assert not refused(lines)
    assert "not confirmed" in lines[-3]["message"]
    assert lines[-2]["verdict"] != "none"


def test_after_a_look_that_found_nothing_a_loose_rocker_leads_no_further(play: Play) -> None:
    """The same two signs do not lead back to the same sentence for ever."""
    tight = f"{SINGLE}position 1 mark slack\n1I 0.03 refuses\nlook 1 still\nforward 675\n"
    (why,) = refused(play(f"{tight}position 1 mark slack\n"))
    assert "tells nothing" in why
    lines = play(
        f"{tight}position 1 mark inlet\n1I turn out 40\n1I lock\n1I 0.06 free\n1I 0.10 refuses\n"
    )
    assert not refused(lines)
    assert lines[-2]["verdict"] == "in"
