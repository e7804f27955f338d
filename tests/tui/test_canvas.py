from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.tui.widgets.canvas import Dots, Grid, Role, around


def test_a_grid_is_blank_and_cuts_off_what_falls_outside() -> None:
    grid = Grid(5, 2)
    grid.put(3, 0, "abc", Role.IN)
    grid.put(-1, 1, "xyz")
    grid.put(0, 2, "no")
    assert grid.lines() == ["   ab", "yz"]
    assert grid.at(9, 9) == " "


def test_runs_go_by_role_and_fill_the_row() -> None:
    grid = Grid(6, 1)
    grid.put(1, 0, "in", Role.IN)
    assert list(grid.runs(0)) == [(" ", Role.PLAIN), ("in", Role.IN), ("   ", Role.PLAIN)]


def test_a_label_never_covers_or_touches_another() -> None:
    grid = Grid(12, 1)
    assert grid.put_if_room(4, 0, "0.08")
    assert not grid.put_if_room(8, 0, "0.10")
    assert grid.put_if_room(9, 0, "0.1")
    assert not grid.put_if_room(0, 0, "much too long for it")


@pytest.mark.parametrize(
    ("x", "y", "shown"),
    [(0, 0, "⠁"), (1, 0, "⠈"), (0, 1, "⠂"), (0, 2, "⠄"), (1, 2, "⠠"), (0, 3, "⡀"), (1, 3, "⢀")],
)
def test_points_by_the_numbering_of_the_standard(x: int, y: int, shown: str) -> None:
    """Dots 1 to 8 of the Unicode block of Braille patterns, U+2800 to U+28FF (Unicode standard)."""
    dots = Dots(1, 1)
    dots.dot(x, y)
    grid = Grid(1, 1)
    dots.onto(grid)
    assert grid.lines() == [shown]


def test_around_starts_at_the_top_and_goes_clockwise() -> None:
    assert around((0, 0), 10, 0) == pytest.approx((0, -10))
    assert around((0, 0), 10, 90) == pytest.approx((10, 0))
    assert around((0, 0), 10, 180) == pytest.approx((0, 10))


@given(st.integers(-20, 20), st.integers(-20, 20), st.floats(0, 40), st.floats(-800, 800))
def test_nothing_is_ever_drawn_outside(x: int, y: int, radius: float, sweep: float) -> None:
    dots = Dots(4, 3)
    dots.arrow((x, y), radius, 0, sweep or 1)
    dots.disc((x, y), radius / 4)
    grid = Grid(4, 3)
    dots.onto(grid)
    assert all(len(line) <= 4 for line in grid.lines())
