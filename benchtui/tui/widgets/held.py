"""The blade held in the gap while the screw comes down on it, from the side."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture


@dataclass(frozen=True, slots=True)
class Held:
    """``blade`` as it is stamped; whether the screw stands ``at_valve`` or at the pushrod's end."""

    blade: str
    at_valve: bool = True


_AT_VALVE = """\
      ┌──┐
      │▐▌│  screw
    ▄▄│▐▌│▄▄
    ██│▐▌│██ nut
 ═════│▐▌│═════╕
 ═════│▐▌│═════╛
      └▀▀┘
"""
_AT_PUSHROD = """\
 ┌──┐
 │▐▌│  screw
▄│▐▌│▄
█│▐▌│█ nut
═│▐▌│══════════╕
═│▐▌│════╤════╤╛
 └▀▀┘    └────┘
"""
_ENDS = ((6, "▄▄▄▄"), (5, "██████ valve"))


def draw(held: Held, width: int, height: int) -> Grid:
    """Screw, locknut and rocker, the blade across, the valve below it."""
    grid = Grid(width, height)
    upper = (_AT_VALVE if held.at_valve else _AT_PUSHROD).splitlines()
    shift = 0 if held.at_valve else 4
    for y, row in enumerate(upper):
        grid.put(0, y, row, Role.PLAIN)
    # Its figure stands whole: an inch leaf's is longer, and the bar gives way.
    bar = min(16 - shift, width - shift - 1 - len(held.blade))
    grid.put(shift, len(upper), f"{'━' * bar} {held.blade}", Role.NEXT)
    for y, (x, row) in enumerate(_ENDS, start=len(upper) + 1):
        grid.put(x + shift, y, row, Role.PLAIN)
    return grid


class HeldPicture(Picture[Held]):
    """What is held, and what comes down on it."""

    def draw(self, view: Held, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)
