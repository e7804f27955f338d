"""The crank with its marks under a fixed pointer."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.tui.widgets.canvas import Dots, Grid, Role, around
from benchtui.tui.widgets.picture import Picture


@dataclass(frozen=True, slots=True)
class DialMark:
    """A mark on the crank; turned ``ahead`` degrees forward it stands at the pointer."""

    name: str
    ahead: Fraction


@dataclass(frozen=True, slots=True)
class CrankDial:
    """The crank, and the way it turns as he sees it.

    ``pointer`` is what the marks are read against.
    """

    marks: tuple[DialMark, ...]
    clockwise: bool = True
    pointer: str = "pointer"

    def seen_at(self, mark: DialMark) -> float:
        """Where the eye finds a mark, in degrees clockwise from the pointer at the top."""
        return float((-mark.ahead if self.clockwise else mark.ahead) % 360)


_HALF_TURN = 180
_FARTHEST = 12


def draw(dial: CrankDial, width: int, height: int) -> Grid:
    """The dial with its pointer above it and its marks named around it."""
    grid = Grid(width, height)
    _dial(grid, dial, width, height)
    return grid


def _dial(grid: Grid, dial: CrankDial, width: int, rows: int) -> None:
    middle = width // 2
    # The pointer with its name, the crank, and a row for the mark at the very bottom.
    top = 1
    high = rows - top - 1
    columns = min(width - 2 * 2, high * 2)
    dots = Dots(columns, high)
    centre = ((dots.width - 1) / 2, (dots.height - 1) / 2)
    radius = min(centre)
    left = middle - columns // 2
    if radius > 0:
        dots.arc(centre, radius, 0, 360, Role.BAND)
        _way(dots, dial, centre, radius * 0.42)
        for mark in dial.marks:
            seen = dial.seen_at(mark)
            dots.line(
                around(centre, radius, seen), around(centre, radius * 0.66, seen), _mark_role(mark)
            )
    dots.onto(grid, left, top)
    grid.put(middle, 0, "↓", Role.NEXT)
    if len(dial.pointer) < middle:
        grid.put(middle - 1 - len(dial.pointer), 0, dial.pointer, Role.FAINT)
    _names(grid, dial, (left, top), centre, radius)


def _mark_role(mark: DialMark) -> Role:
    return Role.NEXT if _under_pointer(mark) else Role.PLAIN


def _under_pointer(mark: DialMark) -> bool:
    return mark.ahead % 360 == 0


def _way(dots: Dots, dial: CrankDial, centre: tuple[float, float], radius: float) -> None:
    """An arrow round the middle: the way the crank is turned."""
    sign = 1 if dial.clockwise else -1
    dots.arrow(centre, radius, -120 * sign, 240 * sign, Role.CAUTION)


def _names(
    grid: Grid, dial: CrankDial, corner: tuple[int, int], centre: tuple[float, float], radius: float
) -> None:
    """Each mark's name outside the circle, the one under the pointer beside the pointer."""
    for mark in dial.marks:
        seen = dial.seen_at(mark)
        role = _mark_role(mark)
        if _under_pointer(mark):
            grid.put(grid.width // 2 + 2, 0, mark.name, role)
            continue
        x, y = around(centre, radius, seen)
        column, row = corner[0] + round(x) // 2, corner[1] + round(y) // 4
        # Seek a free place outside the circle, on the mark's own side, its own row first.
        for shift in (0, -1, 1, -2, 2):
            if _beside(grid, column, row + shift, mark.name, role, leftwards=seen > _HALF_TURN):
                break
        else:
            # No room beside it: below the circle, or over it.
            grid.centre(column, grid.height - 1 if y > centre[1] else corner[1], mark.name, role)


def _beside(grid: Grid, column: int, row: int, name: str, role: Role, *, leftwards: bool) -> bool:
    """Write ``name`` in the first free place outwards from ``column``."""
    for step in range(2, _FARTHEST):
        start = column - step - len(name) + 1 if leftwards else column + step
        if start < 0 or start + len(name) > grid.width:
            return False
        if grid.blank(start, row, len(name)) and grid.put_if_room(start, row, name, role):
            return True
    return False


class CrankDialPicture(Picture[CrankDial]):
    """The crank position."""

    draw = staticmethod(draw)
