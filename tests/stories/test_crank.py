"""The crank as a mechanic shows it: what his gear shows, and never a cylinder that rocks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

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


class TestBesideThePrintedTable:
    """The van's table names 1 on compression and on overlap; the others' compression TDC holds too."""

    VAN = "sheet harbour-van\nblades hundredths\ndate 2026-05-01\nmetal 18 C\nstood 7 h\n"

    # At its own compression TDC a cylinder's valves are shut (common practice). 1 and 4 are the
    # table's own places: there its rows hold.
    @pytest.mark.parametrize(
        ("cylinder", "valves"),
        [
            ("1", "1I, 1E, 2I and 3E here, by the manual's own table"),
            ("2", "2I and 2E here, by the valve timing in the sheet"),
            ("3", "3I and 3E here, by the valve timing in the sheet"),
            ("4", "2E, 3I, 4I and 4E here, by the manual's own table"),
        ],
    )
    def test_any_compression_by_two_signs(self, play: Play, cylinder: str, valves: str) -> None:
        at = f"position {cylinder} mark inlet\n"
        own = f"{cylinder}I 0.15 free\n{cylinder}I 0.20 refuses\n"
        lines = play(self.VAN + at + own)
        assert f"You may check {valves}." in lines[-4]["message"]
        assert lines[-2]["verdict"] == "in"
        # The valves of another stop still do not count here.
        other = "3I" if cylinder in {"1", "2"} else "1I"
        line = play(f"{self.VAN}{at}{other} 0.15 free\n{other} 0.20 refuses\n")[-2]
        assert line["verdict"] == "none"

    def test_one_sign_is_not_enough(self, play: Play) -> None:
        assert (
            "two different pieces of evidence"
            in play(f"{self.VAN}position 2 mark\n")[-2]["refused"]
        )

    def test_no_other_place_of_a_cylinder_holds(self, play: Play) -> None:
        assert play(f"{self.VAN}position 2 +360 mark rocks\n")[-2]["refused"]
