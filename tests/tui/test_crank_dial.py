from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchtui.tui.widgets.crank_dial import CrankDial, DialMark, draw
from tests.tui.gallery import DIAL


def test_the_dial() -> None:
    """A circle under a fixed pointer, the mark T 1.4 right below it and named above, T 2.3 at the
    bottom, the fan bolt lower right; an arrow round the middle goes clockwise."""
    assert draw(DIAL, 44, 12).lines() == [
        "      rib on the case ↓ T 1.4",
        "                ⢀⠤⠔⠒⠉⠉⡏⠉⠒⠢⠤⡀",
        "              ⢠⠚⠁     ⡇    ⠈⠓⡄",
        "             ⡜⠁      ⣀⣀      ⠈⢣",
        "            ⢰⠁    ⢠⠎⠉  ⠉⠱⡄    ⠈⡆",
        "            ⡇    ⢠⠃      ⠘⡄    ⢸",
        "            ⡇    ⠘⡄     ⠈⣶⡣⠂   ⢸",
        "            ⢱⡀    ⠁      ⠈  ⠑⠒⢤⡎ fan bolt",
        "             ⠱⡀              ⢀⠎",
        "              ⠉⢆⡀     ⡇    ⢀⡰⠉",
        "                ⠈⠓⠤⠤⣀⣀⣇⣀⠤⠤⠚⠁ T 2.3",
        "",
    ]


@pytest.mark.parametrize(
    ("ahead", "clockwise", "seen"),
    [(90, True, 270), (90, False, 90), (0, True, 0), (360, False, 0), (10, True, 350)],
)
def test_a_mark_still_to_come_stands_before_the_pointer(
    ahead: int, clockwise: bool, seen: int
) -> None:
    """Turning clockwise, what comes next is on the left of the pointer."""
    mark = DialMark("F", Fraction(ahead))
    assert CrankDial((mark,), clockwise).seen_at(mark) == seen


def test_turned_the_other_way_it_is_a_mirror() -> None:
    drawn = "\n".join(draw(replace(DIAL, clockwise=False), 76, 12).lines())
    fan = next(line for line in drawn.splitlines() if "fan bolt" in line)
    assert fan.index("fan bolt") < 38


def test_every_name_is_shown_beside_the_place_in_tall_letters() -> None:
    drawn = "\n".join(draw(DIAL, 22, 9).lines())
    for word in ("T 1.4", "T 2.3", "fan bolt"):
        assert word in drawn


@pytest.mark.parametrize("height", range(9))
@pytest.mark.parametrize("width", [0, 1, 27, 50, 80])
def test_any_room_will_do(width: int, height: int) -> None:
    drawn = draw(DIAL, width, height).lines()
    assert len(drawn) == height
    assert all(len(line) <= width for line in drawn)
