"""Words in letters three or five rows high, to be read from across the bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.pixel_font import ROWS, rows_of


@dataclass(frozen=True, slots=True)
class Big:
    """``text`` in big letters; ``small`` instead where they don't fit (else ``text`` itself)."""

    text: str
    role: Role = Role.STRONG
    small: str = ""


def _square(rows: tuple[str, ...]) -> list[str]:
    """Two cells a pixel, one row a pixel: square pixels, five rows."""
    return ["".join("██" if pixel == "#" else "  " for pixel in row) for row in rows]


def _tall(rows: tuple[str, ...]) -> list[str]:
    """One cell a pixel, one row a pixel: narrow letters, five rows."""
    return ["".join("█" if pixel == "#" else " " for pixel in row) for row in rows]


def _low(rows: tuple[str, ...]) -> list[str]:
    """One cell a pixel, two pixels a row: square pixels, three rows."""
    halves = {"..": " ", "#.": "▀", ".#": "▄", "##": "█"}
    padded = (*rows, "." * len(rows[0]))
    return [
        "".join(halves[top + bottom] for top, bottom in zip(upper, lower, strict=True))
        for upper, lower in zip(padded[::2], padded[1::2], strict=True)
    ]


_SIZES: tuple[tuple[int, Callable[[tuple[str, ...]], list[str]]], ...] = (
    (ROWS, _square),
    (ROWS, _tall),
    (3, _low),
)


def lines(big: Big, width: int, height: int) -> list[str]:
    """The largest letters that fit into ``width`` by ``height`` cells.

    One plain row, cut off with a full stop's worth of warning (``~``), where none fit.
    """
    rows = rows_of(big.text)
    for needed, drawn_as in _SIZES:
        if rows is None or height < needed:
            continue
        drawn = drawn_as(rows)
        if len(drawn[0]) <= width:
            return drawn
    plain = big.small or big.text
    return [plain if len(plain) <= width else plain[: max(0, width - 1)] + "~"]


def draw(big: Big, width: int, height: int) -> Grid:
    """The same on a grid, middle row on the middle."""
    grid = Grid(width, height)
    drawn = lines(big, width, height)
    top = max(0, (height - len(drawn)) // 2)
    for y, line in enumerate(drawn):
        grid.put(0, top + y, line, big.role)
    return grid


class BigText(Picture[Big]):
    """The valve's name, the blade to try, the verdict."""

    def draw(self, view: Big, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)
