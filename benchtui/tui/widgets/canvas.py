"""A grid of characters to draw on, each with the role that decides its colour.

Widgets draw on a :class:`Grid` of cells, or on :class:`Dots`, eight points to a cell, for round
things. Both are plain values without a terminal, so that a test reads a picture as lines of text.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import StrEnum


class Role(StrEnum):
    """What a character stands for; the theme gives each role its colour."""

    PLAIN = "plain"
    FAINT = "faint"
    BAND = "band"
    BRACKET = "bracket"
    NEXT = "next"
    IN = "in-range"
    OUT = "out"
    UNDECIDED = "undecided"
    CAUTION = "caution"
    CURSOR = "cursor"
    STRONG = "strong"
    KEY = "key"


Run = tuple[str, Role]
"""Characters next to each other that share a role."""


class Grid:
    """``width`` by ``height`` cells, blank at first. What falls outside is cut off."""

    def __init__(self, width: int, height: int) -> None:
        self.width = max(0, width)
        self.height = max(0, height)
        self._chars = [[" "] * self.width for _ in range(self.height)]
        self._roles = [[Role.PLAIN] * self.width for _ in range(self.height)]

    def put(self, x: int, y: int, text: str, role: Role = Role.PLAIN) -> None:
        """Write ``text`` from cell ``x``, ``y`` to the right."""
        if not 0 <= y < self.height:
            return
        for at, char in enumerate(text, start=x):
            if 0 <= at < self.width:
                self._chars[y][at] = char
                self._roles[y][at] = role

    def at(self, x: int, y: int) -> str:
        """The character in a cell; blank outside."""
        inside = 0 <= x < self.width and 0 <= y < self.height
        return self._chars[y][x] if inside else " "

    def blank(self, x: int, y: int, length: int) -> bool:
        """Whether ``length`` cells from ``x`` on are inside and still blank."""
        if not (0 <= y < self.height and x >= 0 and x + length <= self.width):
            return False
        return all(char == " " for char in self._chars[y][x : x + length])

    def put_if_room(self, x: int, y: int, text: str, role: Role = Role.PLAIN) -> bool:
        """Write ``text`` where it covers nothing and touches no neighbour; say whether it did.

        It is moved inside the edges first.
        """
        x = max(0, min(x, self.width - len(text)))
        start, end = max(0, x - 1), min(self.width, x + len(text) + 1)
        if len(text) > self.width or not self.blank(start, y, end - start):
            return False
        self.put(x, y, text, role)
        return True

    def centre(self, x: int, y: int, text: str, role: Role = Role.PLAIN) -> bool:
        """The same with ``text`` centred on cell ``x``."""
        return self.put_if_room(x - len(text) // 2, y, text, role)

    def lines(self) -> list[str]:
        """The picture as text, without trailing blanks."""
        return ["".join(row).rstrip() for row in self._chars]

    def row(self, y: int) -> tuple[list[str], list[Role]]:
        """The characters of row ``y`` and their roles; nothing beneath the last."""
        return (self._chars[y], self._roles[y]) if y < self.height else ([], [])

    def runs(self, y: int) -> Iterator[Run]:
        """Row ``y`` as runs of one role each, all of its width."""
        chars, roles = self._chars[y], self._roles[y]
        start = 0
        for at in range(1, self.width + 1):
            if at == self.width or roles[at] is not roles[start]:
                yield "".join(chars[start:at]), roles[start]
                start = at


_DOT_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_FIRST_PATTERN = 0x2800


class Dots:
    """Two by four points to a cell, near enough square, for circles and slanting lines.

    Points are counted from the top left; each cell takes the role of the last point put in it.
    """

    def __init__(self, columns: int, rows: int) -> None:
        self.width = columns * 2
        self.height = rows * 4
        self._bits: dict[tuple[int, int], int] = {}
        self._roles: dict[tuple[int, int], Role] = {}

    def dot(self, x: float, y: float, role: Role = Role.PLAIN) -> None:
        """One point, to the nearest."""
        px, py = math.floor(x + 0.5), math.floor(y + 0.5)
        if not (0 <= px < self.width and 0 <= py < self.height):
            return
        cell = (px // 2, py // 4)
        self._bits[cell] = self._bits.get(cell, 0) | _DOT_BITS[px % 2][py % 4]
        self._roles[cell] = role

    def line(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        role: Role = Role.PLAIN,
        *,
        every: int = 1,
    ) -> None:
        """A straight line; ``every`` 3 leaves two points of three out."""
        (x0, y0), (x1, y1) = start, end
        steps = max(1, math.ceil(max(abs(x1 - x0), abs(y1 - y0))))
        for i in range(0, steps + 1, every):
            self.dot(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps, role)

    def arc(
        self,
        centre: tuple[float, float],
        radius: float,
        start: float,
        sweep: float,
        role: Role = Role.PLAIN,
        *,
        every: int = 1,
    ) -> None:
        """Part of a circle: ``start`` in degrees clockwise from the top, on for ``sweep``."""
        steps = max(1, math.ceil(abs(sweep) * radius * math.pi / 180))
        for i in range(0, steps + 1, every):
            self.dot(*around(centre, radius, start + sweep * i / steps), role)

    def arrow(
        self,
        centre: tuple[float, float],
        radius: float,
        start: float,
        sweep: float,
        role: Role = Role.PLAIN,
    ) -> None:
        """The same with a head at its far end, no longer than the arc itself."""
        self.arc(centre, radius, start, sweep, role)
        tip = around(centre, radius, start + sweep)
        length = min(4.0, max(2.0, abs(sweep) * radius * math.pi / 180 * 0.7))
        backwards = start + sweep + (-90 if sweep > 0 else 90)
        # Half way along the head the arc has bent: lean the head with it. Below one dot there is
        # no arc to bend.
        lean = math.degrees(length / 2 / radius) if radius >= 1 else 0.0
        backwards += -lean if sweep > 0 else lean
        for spread in (-32, 0, 32):
            self.line(tip, around(tip, length, backwards + spread), role)

    def disc(self, centre: tuple[float, float], radius: float, role: Role = Role.PLAIN) -> None:
        """A filled circle."""
        reach = math.ceil(radius)
        for dy in range(-reach, reach + 1):
            for dx in range(-reach, reach + 1):
                if dx * dx + dy * dy <= radius * radius + 0.5:
                    self.dot(centre[0] + dx, centre[1] + dy, role)

    def onto(self, grid: Grid, x: int = 0, y: int = 0) -> None:
        """Write the cells that hold a point onto ``grid``, the top left one at ``x``, ``y``."""
        for (column, row), bits in self._bits.items():
            role = self._roles[column, row]
            grid.put(x + column, y + row, chr(_FIRST_PATTERN | bits), role)


def around(centre: tuple[float, float], radius: float, degrees: float) -> tuple[float, float]:
    """The point ``degrees`` clockwise from the top of a circle, y growing downwards."""
    angle = math.radians(degrees)
    return centre[0] + radius * math.sin(angle), centre[1] - radius * math.cos(angle)
