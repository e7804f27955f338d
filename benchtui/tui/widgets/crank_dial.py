"""The crank with its marks under a fixed pointer, and what each cylinder is doing."""

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
class Stroke:
    """What a cylinder is doing, in words; ``ready`` where ``valves`` of it may be measured."""

    cylinder: str
    text: str
    ready: bool = False
    valves: str = ""


@dataclass(frozen=True, slots=True)
class CrankDial:
    """The crank, and the way it turns as he sees it.

    ``pointer`` is what the marks are read against. ``text`` says what to do next.
    """

    marks: tuple[DialMark, ...]
    clockwise: bool = True
    strokes: tuple[Stroke, ...] = ()
    pointer: str = "pointer"
    text: str = ""

    def seen_at(self, mark: DialMark) -> float:
        """Where the eye finds a mark, in degrees clockwise from the pointer at the top."""
        return float((-mark.ahead if self.clockwise else mark.ahead) % 360)


_GAP = 2
_LABEL_ROOM = 10
_LOWEST_DIAL = 7
"""Rows: the pointer's two, and five of the crank, below which it is no circle any more."""

_HALF_TURN = 180
_FARTHEST = 12


def draw(dial: CrankDial, width: int, height: int) -> Grid:
    """The dial on the left, the strokes on the right, the text below.

    Where it is too narrow for that the strokes stand below the dial, all of them or only those of
    cylinders that may be measured; without room for either, the strokes alone.
    """
    grid = Grid(width, height)
    rows = height - (1 if dial.text else 0)
    listed = [(_stroke(s), s.ready) for s in dial.strokes]
    list_width = max((len(t) for t, _ in listed), default=0)
    dial_width = width - list_width - _GAP if list_width else width
    smallest = 2 * _LABEL_ROOM + 6
    below = _fitting(listed, rows)
    if dial_width >= smallest:
        dial_width = min(dial_width, rows * 2 + 2 * _LABEL_ROOM)
        _dial(grid, dial, dial_width, rows)
        left, top = dial_width + _GAP, max(0, (rows - len(listed)) // 2)
    elif width >= smallest and below is not None:
        listed = below
        _dial(grid, dial, width, rows - len(listed))
        left, top = 0, rows - len(listed)
    else:
        # No room for both: the words matter more.
        left, top = 0, max(0, (rows - len(listed)) // 2)
    for at, (text, ready) in enumerate(listed[: max(0, rows)]):
        grid.put(left, top + at, text, Role.STRONG if ready else Role.FAINT)
    if dial.text:
        grid.put(0, height - 1, dial.text[:width], Role.STRONG)
    return grid


def _fitting(listed: list[tuple[str, bool]], rows: int) -> list[tuple[str, bool]] | None:
    """What can stand below a dial: all, or those that may be measured; None where neither can."""
    ready = [(text, True) for text, is_ready in listed if is_ready]
    for some in (listed, ready):
        if rows - len(some) >= _LOWEST_DIAL:
            return some
    return None


def _stroke(stroke: Stroke) -> str:
    valves = f": {stroke.valves}" if stroke.valves else ""
    return f"{'►' if stroke.ready else ' '} {stroke.cylinder}  {stroke.text}{valves}"


def _dial(grid: Grid, dial: CrankDial, width: int, rows: int) -> None:
    middle = width // 2
    # The pointer's name, the pointer, then the crank.
    top = 2
    high = rows - top
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
    grid.centre(middle, 0, dial.pointer, Role.FAINT)
    grid.put(middle, 1, "▼", Role.NEXT)
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
    grid: Grid,
    dial: CrankDial,
    corner: tuple[int, int],
    centre: tuple[float, float],
    radius: float,
) -> None:
    """Each mark's name outside the circle, the one under the pointer beside the pointer."""
    for mark in dial.marks:
        seen = dial.seen_at(mark)
        role = _mark_role(mark)
        if _under_pointer(mark):
            grid.put(corner[0] + round(centre[0]) // 2 + 3, 1, mark.name, role)
            continue
        x, y = around(centre, radius, seen)
        column, row = corner[0] + round(x) // 2, corner[1] + round(y) // 4
        # Seek a free place outside the circle, on the mark's own side, its own row first.
        for shift in (0, -1, 1, -2, 2):
            if _beside(grid, column, row + shift, mark.name, role, leftwards=seen > _HALF_TURN):
                break


def _beside(grid: Grid, column: int, row: int, name: str, role: Role, *, leftwards: bool) -> bool:
    """Write ``name`` in the first free place outwards from ``column``."""
    for step in range(2, _FARTHEST):
        start = column - step - len(name) + 1 if leftwards else column + step
        if start < 0 or start + len(name) > grid.width:
            return False
        if grid.blank(start, row, len(name)) and grid.put_if_room(start, row, name, role):
            return True
    return False


def lines(dial: CrankDial, width: int, height: int) -> list[str]:
    """The picture as text."""
    return draw(dial, width, height).lines()


class CrankDialPicture(Picture[CrankDial]):
    """The crank position."""

    def draw(self, view: CrankDial, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)
