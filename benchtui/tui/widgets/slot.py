"""The head of an adjuster screw, with its slot from where it is to where it goes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.tui.widgets.canvas import Dots, Grid, Role, around
from benchtui.tui.widgets.picture import Picture

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Slot:
    """A turn of ``angle`` degrees, clockwise as the tool sees it where positive.

    The slot is drawn upright at first; a pen dot on one end tells half turns apart. ``text`` says
    the turn in words; ``nut`` draws a locknut around the screw.
    """

    angle: Fraction
    text: str = ""
    nut: bool = True


_KEY = "dotted: now   solid: to here"
_FULL_TURN = 360.0


def draw(slot: Slot, width: int, height: int) -> Grid:
    """The screw head, its words below it."""
    grid = Grid(width, height)
    texts = [t for t in (slot.text, _KEY) if t and len(t) <= width]
    rows = max(0, height - len(texts))
    columns = min(width, rows * 2 + 1)
    dots = Dots(columns, rows)
    centre = ((dots.width - 1) / 2, (dots.height - 1) / 2)
    reach = min(centre)
    if reach > 0:
        _head(dots, slot, centre, reach)
    dots.onto(grid, (width - columns) // 2, 0)
    roles = {slot.text: Role.STRONG, _KEY: Role.FAINT}
    for at, text in enumerate(texts):
        grid.put((width - len(text)) // 2, rows + at, text, roles[text])
    return grid


def _head(dots: Dots, slot: Slot, centre: Point, reach: float) -> None:
    head = reach
    if slot.nut:
        corners = [around(centre, reach, 60.0 * at + 30) for at in range(6)]
        for at, corner in enumerate(corners):
            dots.line(corner, corners[at - 1], Role.FAINT)
        head = reach * 0.53
    dots.arc(centre, head, 0, _FULL_TURN, Role.BAND)
    turn = max(-_FULL_TURN, min(_FULL_TURN, float(slot.angle)))
    inner = head * 0.9
    dots.line(around(centre, inner, 180), around(centre, inner, 0), Role.PLAIN, every=2)
    _blade_slot(dots, centre, inner, turn)
    # The pen dot, where the slot's marked end goes.
    dots.disc(around(centre, inner * 0.84, turn), max(1.5, head * 0.2), Role.NEXT)
    if turn:
        dots.arrow(centre, reach * 0.69 if slot.nut else head * 0.6, 0, turn, Role.CAUTION)


def _blade_slot(dots: Dots, centre: Point, inner: float, turn: float) -> None:
    """A solid bar across the head."""
    half = max(0.6, inner * 0.09)
    strokes = max(2, round(half * 4))
    for at in range(strokes + 1):
        side = half * (2 * at / strokes - 1)
        ends = []
        for way in (turn, turn + 180):
            x, y = around(centre, inner, way)
            dx, dy = around((0.0, 0.0), side, turn + 90)
            ends.append((x + dx, y + dy))
        dots.line(ends[0], ends[1], Role.NEXT)


class SlotPicture(Picture[Slot]):
    """The turn to make."""

    draw = staticmethod(draw)
