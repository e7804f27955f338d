"""Numbered signs side by side, each ticked by its digit: tall digit, box, two lines of words."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.tui.widgets import bigtext
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture

_DIGIT = 5
_ROWS = 3
_APART = 1
"""Columns between the words of a sign and the digit of the next; nearer, each takes a row of its own."""


@dataclass(frozen=True, slots=True)
class SignBox:
    """A sign by its number, in two short lines; whether it was seen."""

    number: int
    words: tuple[str, str]
    seen: bool = False


@dataclass(frozen=True, slots=True)
class Signs:
    """All that can be seen here."""

    all: tuple[SignBox, ...] = ()


def rows(view: Signs, width: int) -> int:
    """How many rows they take."""
    return _ROWS if _abreast(view, width) else len(view.all)


def _abreast(view: Signs, width: int) -> bool:
    longest = max((len(line) for sign in view.all for line in sign.words), default=0)
    return bool(view.all) and width // len(view.all) >= _DIGIT + longest + _APART


def draw(view: Signs, width: int, height: int) -> Grid:
    """Side by side where there is room, else a row each."""
    grid = Grid(width, height)
    for at, sign in enumerate(view.all):
        role = Role.IN if sign.seen else Role.STRONG
        box = f"[{'√' if sign.seen else ' '}]"
        if not _abreast(view, width):
            grid.put(0, at, f"{sign.number} {box} {' '.join(sign.words)}", role)
            continue
        x = at * (width // len(view.all))
        for y, line in enumerate(bigtext.lines(Big(str(sign.number)), _DIGIT - 1, _ROWS)):
            grid.put(x, y, line, role)
        for y, line in enumerate((box, *sign.words)):
            grid.put(x + _DIGIT, y, line, role if y == 0 else Role.PLAIN)
    return grid


class SignsPicture(Picture[Signs]):
    """As many rows as they take at this width."""

    DEFAULT_CSS = """
    SignsPicture { height: auto; }
    """

    def draw(self, view: Signs, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Three rows, or a row a sign."""
        del container, viewport
        return 0 if self.view is None else rows(self.view, width)

    def show(self, view: Signs | None) -> None:
        """Show others, at their own height."""
        changed = view != self.view
        super().show(view)
        if changed:
            self.refresh(layout=True)
