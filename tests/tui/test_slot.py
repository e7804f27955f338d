from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.held import Held
from benchtui.tui.widgets.held import draw as draw_held
from benchtui.tui.widgets.slot import Slot, draw


def middle_of(grid: Grid, role: Role, rows: int) -> tuple[float, float]:
    """The mean cell of a role within the picture's rows, from the picture's middle."""
    cells = []
    for y in range(rows):
        x = 0
        for text, found in grid.runs(y):
            cells += [(x + at, y) for at, c in enumerate(text) if found is role and c != " "]
            x += len(text)
    assert cells
    across = sum(x for x, _ in cells) / len(cells) - (grid.width - 1) / 2
    down = sum(y for _, y in cells) / len(cells) - (rows - 1) / 2
    return across, down


def test_a_small_turn_out() -> None:
    """A six-sided nut around a round head; the new slot leans left of the dotted upright one, a pen
    dot on its upper end; the arrow between head and nut points left. The words stand below."""
    assert draw(Slot(Fraction(-216, 10), "21.6 degrees out, anticlockwise"), 36, 12).lines() == [
        "            ⢀⣀⣀⣀⣀⣀⣀⣀⣀⣀⡀",
        "           ⡠⠃  ⣴⠥⠤    ⠘⢄",
        "          ⡰⠁  ⣀⣬⣝⢒⠢⠤⣀  ⠈⢆",
        "         ⡔⠁ ⢠⠜ ⠹⣿⣑   ⠣⡄ ⠈⢢",
        "        ⡜   ⡎   ⢹⣷    ⢱   ⢣",
        "       ⠈⢣   ⢣    ⢿⣇   ⡜   ⡜⠁",
        "         ⠣⡀ ⠈⢆⡀  ⢘⣿⡆⢀⡰⠁ ⢀⠜",
        "          ⠱⡀  ⠉⠒⠤⠴⠬⠛⠉  ⢀⠎",
        "           ⠑⡄         ⢠⠊",
        "            ⠈⠉⠉⠉⠉⠉⠉⠉⠉⠉⠁",
        "  21.6 degrees out, anticlockwise",
        "    dotted: now   solid: to here",
    ]


@pytest.mark.parametrize("angle", [20, 75, 140])
def test_the_arrow_goes_the_way_of_the_turn(angle: int) -> None:
    """Clockwise the arrow lies right of the middle, anticlockwise left of it."""
    for sign in (1, -1):
        grid = draw(Slot(Fraction(sign * angle)), 40, 16)
        across, _ = middle_of(grid, Role.CAUTION, 15)
        assert across * sign > 1


def test_the_marked_end_goes_where_the_turn_ends() -> None:
    """Half a turn puts the pen dot at the bottom, though the slot looks as before."""
    up = middle_of(draw(Slot(Fraction(0)), 40, 16), Role.NEXT, 15)
    down = middle_of(draw(Slot(Fraction(180)), 40, 16), Role.NEXT, 15)
    assert up[1] < 0 < down[1]


def test_no_turn_has_no_arrow() -> None:
    grid = draw(Slot(Fraction(0)), 40, 16)
    roles = {role for y in range(16) for _, role in grid.runs(y)}
    assert Role.CAUTION not in roles


def test_the_head_is_round_on_the_screen() -> None:
    """A cell is twice as high as wide: without a nut the circle is twice as many cells wide as high."""
    drawn = [
        line for line in draw(Slot(Fraction(10), nut=False), 60, 21).lines()[:20] if line.strip()
    ]
    width = max(len(x) for x in drawn) - min(len(x) - len(x.lstrip()) for x in drawn)
    assert abs(width - 2 * len(drawn)) <= 2


@given(st.fractions(-800, 800), st.integers(0, 60), st.integers(0, 24), st.booleans())
def test_any_turn_fits_any_room(angle: Fraction, width: int, height: int, nut: bool) -> None:
    drawn = draw(Slot(angle, "words", nut), width, height).lines()
    assert len(drawn) == height
    assert all(len(line) <= width for line in drawn)


@pytest.mark.parametrize("blade", ["0.10", "0.006 in", "0.0015 in"])
@pytest.mark.parametrize("at_valve", [True, False])
def test_the_blade_held_in_has_its_figure_whole(blade: str, at_valve: bool) -> None:
    """24 cells are kept for the picture at 80 columns; the blade reaches past the valve's middle."""
    lines = draw_held(Held(blade, at_valve), 24, 10).lines()
    held = next(line for line in lines if "━" in line)
    assert held.endswith(f" {blade}")
    valve = next(line for line in lines if line.endswith("valve"))
    assert held.rindex("━") >= valve.index("█") + 3
