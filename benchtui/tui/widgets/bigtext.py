"""Words in letters three to ten rows high, to be read from across the bench."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.pixel_font import GLYPHS, ROWS, rows_of


@dataclass(frozen=True, slots=True)
class Big:
    """``text`` in big letters; ``small`` instead where they don't fit (else ``text`` itself).

    ``rows`` is the same broken in two or three, for where that allows of larger letters. ``unit``
    stands in small at the foot of the last letter, whatever their size, or over the decimal point
    where the letters have no room for it otherwise; ``aside`` at their head, where there is room for it.
    """

    text: str
    role: Role = Role.STRONG
    small: str = ""
    rows: tuple[str, ...] = ()
    unit: str = ""
    aside: str = ""


Pixels = tuple[str, ...]


def _wide(pixels: Pixels, across: int, down: int = 1) -> list[str]:
    """``across`` cells a pixel, ``down`` rows a pixel."""
    return [
        "".join(("█" if pixel == "#" else " ") * across for pixel in row)
        for row in pixels
        for _ in range(down)
    ]


_FOURTHS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""Upper left counts one, upper right two, lower left four, lower right eight."""


def _fine(pixels: Pixels, *, halves: bool = False) -> list[str]:
    """Two pixels a row, and two or (``halves``) one a cell: three rows."""
    padded = (*pixels, "." * len(pixels[0]))
    if halves:
        padded = tuple("".join(pixel * 2 for pixel in row) for row in padded)
    elif len(padded[0]) % 2:
        padded = tuple(f"{row}." for row in padded)
    drawn = []
    for upper, lower in zip(padded[::2], padded[1::2], strict=True):
        corners = (upper[::2], upper[1::2], lower[::2], lower[1::2])
        cells = zip(*corners, strict=True)
        drawn.append(
            "".join(_FOURTHS[sum((c == "#") << at for at, c in enumerate(cell))] for cell in cells)
        )
    return drawn


_FACES: tuple[Callable[[Pixels], list[str]], ...] = (
    lambda pixels: _wide(pixels, 4, 2),
    lambda pixels: _wide(pixels, 3, 2),
    lambda pixels: _wide(pixels, 2, 2),
    lambda pixels: _wide(pixels, 2),
    lambda pixels: _wide(pixels, 1),
    lambda pixels: _fine(pixels, halves=True),
    _fine,
)


@lru_cache(maxsize=512)
def options(big: Big) -> tuple[tuple[int, list[str]], ...]:
    """Every way to draw it, the easiest to read from afar first; the last is one plain row.

    Each with the number of its face, so that two words can be drawn in the same one. Kept, since a
    screen draws the same few words at each key; nobody writes into the rows.
    """
    return tuple(_options(big))


def _options(big: Big) -> Iterator[tuple[int, list[str]]]:
    whole = rows_of(big.text)
    parts = [rows for rows in map(rows_of, big.rows) if rows]
    broken = parts if len(parts) == len(big.rows) else []
    for number, face in enumerate(_FACES):
        if whole is not None:
            yield number, _with_words(face(whole), big)
            over = _unit_over_point(face(whole), big, face)
            if over is not None:
                yield number, over
        if broken:
            *above, last = (face(rows) for rows in broken)
            yield number, _below_each_other([*above, _with_words(last, big)])
    yield len(_FACES), [big.small or f"{big.text} {big.unit}".strip()]


def _below_each_other(blocks: list[list[str]]) -> list[str]:
    drawn = list(blocks[0])
    for block in blocks[1:]:
        # Three-row letters have half a row of air below them already.
        drawn += block if len(block) < ROWS else ["", *block]
    width = max(map(len, drawn))
    return [row.ljust(width) for row in drawn]


def _unit_over_point(
    drawn: list[str], big: Big, face: Callable[[Pixels], list[str]]
) -> list[str] | None:
    """The unit in the blank cells over the decimal point; None where those are too few."""
    before, point, _ = big.text.partition(".")
    left, right = rows_of(before), rows_of(f"{before}.")
    if not (big.unit and point) or not left or not right or len(drawn) < ROWS:
        return None
    # As wide a blank on the right of the point as on its left.
    start, point_ends = len(face(left)[0]), len(face(right)[0])
    room = 2 * (point_ends - start) - len(face(GLYPHS["."])[0])
    row = -1 - len(drawn) // ROWS
    if room < len(big.unit) + 2:
        return None
    x = start + (room - len(big.unit)) // 2
    over = list(drawn)
    over[row] = over[row][:x] + big.unit + over[row][x + len(big.unit) :]
    return over


def _with_words(drawn: list[str], big: Big) -> list[str]:
    if not big.unit:
        return drawn
    drawn = list(drawn)
    drawn[-1] += f" {big.unit}"
    width = len(drawn[-1])
    return [row.ljust(width) for row in drawn]


def lines(big: Big, width: int, height: int) -> list[str]:
    """The largest letters that fit into ``width`` by ``height`` cells.

    One plain row, cut off with a full stop's worth of warning (``~``), where none fit.
    """
    drawn: list[str] = []
    for _, drawn in options(big):
        if len(drawn) <= height and len(drawn[0]) <= width:
            return _with_aside(drawn, big, width)
    plain = drawn[0]
    return [plain if len(plain) <= width else plain[: max(0, width - 1)] + "~"]


def _with_aside(drawn: list[str], big: Big, width: int) -> list[str]:
    beside = max(len(row.rstrip()) for row in drawn[:-1] or drawn) + 1
    if not big.aside or len(drawn) == 1 or beside + len(big.aside) > width:
        return drawn
    return [drawn[0][:beside].ljust(beside) + big.aside, *drawn[1:]]


def draw(big: Big, width: int, height: int) -> Grid:
    """The same on a grid, middle row on the middle."""
    grid = Grid(width, height)
    _put(grid, 0, lines(big, width, height), big.role)
    return grid


def _put(grid: Grid, x: int, drawn: list[str], role: Role) -> None:
    top = max(0, (grid.height - len(drawn)) // 2)
    for y, line in enumerate(drawn):
        grid.put(x, top + y, line, role)


_GAP = 8
_WIDE_GAP = 12
"""Cells between two words: at large letters the least gap would read as one word."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two words side by side, in the same letters."""

    first: Big
    second: Big


def draw_pair(pair: Pair, width: int, height: int) -> Grid:
    """Both in the largest letters that have room for both, never touching and never cut while both fit."""
    grid = Grid(width, height)
    seconds = list(options(pair.second))
    both = [
        (max(one, other), one != other, first, second)
        for one, first in options(pair.first)
        for other, second in seconds
        # A word without letters of its own size (the plain row) need not pull the other down.
        if one == other or len(_FACES) in (one, other)
    ]
    for *_, first, second in sorted(both, key=lambda way: way[:2]):
        high = max(len(first), len(second))
        if high <= height and len(first[0]) + _GAP + len(second[0]) <= width:
            _put(grid, 0, first, pair.first.role)
            room = width - len(first[0])
            drawn = _with_aside(second, pair.second, room - _GAP)
            gap = min(_WIDE_GAP, room - max(map(len, drawn)))
            _put(grid, len(first[0]) + gap, drawn, pair.second.role)
            return grid
    half = width // 2
    _put(grid, 0, lines(pair.first, half - 1, height), pair.first.role)
    _put(grid, half, lines(pair.second, width - half, height), pair.second.role)
    return grid


class BigText(Picture[Big]):
    """The valve's name, the blade to try, the verdict."""

    def draw(self, view: Big, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)


class BigPair(Picture[Pair]):
    """The valve and what to do at it."""

    def draw(self, view: Pair, width: int, height: int) -> Grid:
        """The picture (see :func:`draw_pair`)."""
        return draw_pair(view, width, height)
