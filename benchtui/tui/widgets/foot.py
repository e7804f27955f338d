"""The foot of a screen: the key of the one thing to do now in letters as tall as it is, and its words.

``FootPicture().show(Foot.one("enter", "file it so"))`` on any screen, in three rows or five; a click on
a box presses its key. What stands in it is worded in ``text.words.foot``.
"""

from __future__ import annotations

from itertools import accumulate, pairwise

from textual import events
from textual.geometry import Region

from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.foot import Box, Foot
from benchtui.tui.keys import shown_key
from benchtui.tui.widgets.bigtext import Big, options
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture

ROWS, _IN_THREE_ROWS = 3, -3
"""The usual height, and which of the sizes it is, counted from the smallest."""
_LEAST_WORDS = 10
_ROOMY_WORDS = 20
"""Fewer columns than this beside a key, and its letters are smaller; in three rows the first holds."""


def boxes_at(foot: Foot, width: int) -> list[int]:
    """The column at which each box begins, and the width at the end.

    All as wide, unless one's words need more and the others can spare it.
    """
    count = max(1, len(foot.boxes))
    each = width // count
    usual = [_letters(box)[_IN_THREE_ROWS][0] for box in foot.boxes]
    need = [
        len(row) + 4 + max(map(len, box.lines), default=0)
        for row, box in zip(usual, foot.boxes, strict=True)
    ]
    spare = width - sum(need)
    if spare < 0 or all(wanted <= each for wanted in need):
        need, spare = [each] * len(foot.boxes), 0
    return [0, *accumulate(wanted + spare // count for wanted in need[:-1]), width]


def draw(foot: Foot, width: int, height: int) -> Grid:
    """Each key as tall as there is room for, its words beside it."""
    grid = Grid(width, height)
    edges = boxes_at(foot, width)
    wide = [end - start for start, end in pairwise(edges)]
    tall = _one_size(foot, wide, height)
    for box, drawn, x, room in zip(foot.boxes, tall, edges, wide, strict=False):
        _box(grid, box, drawn, Region(x, 0, room - 1, height))
    return grid


def _name(box: Box) -> str:
    return "0-9" if box.key == "0" else shown_key(box.key)


def _letters(box: Box) -> list[list[str]]:
    """Its key in every size, the largest first; the last is a plain row."""
    return [drawn for _, drawn in options(Big(_name(box).upper()))]


def _one_size(foot: Foot, wide: list[int], height: int) -> list[list[str]]:
    """The keys in the largest letters that leave every box room for its words; empty for a plain row."""
    least = _LEAST_WORDS if height <= ROWS else _ROOMY_WORDS
    for size in list(zip(*map(_letters, foot.boxes), strict=True))[:-1]:
        if all(
            len(drawn) <= height and _has_room(box, room - len(drawn[0]) - 3, height, least)
            for drawn, box, room in zip(size, foot.boxes, wide, strict=True)
        ):
            return list(size)
    return [[] for _ in foot.boxes]


def _has_room(box: Box, columns: int, height: int, least: int) -> bool:
    if columns < min(least, max(map(len, box.lines), default=0)):
        return False
    return sum(len(wrap(line, columns)) for line in box.lines) <= height


def _box(grid: Grid, box: Box, drawn: list[str], at: Region) -> None:
    if drawn:
        for y, row in enumerate(drawn):
            grid.put(at.x, y, row, Role.KEY)
        start = at.x + len(drawn[0]) + 2
    else:
        name = f" {_name(box)} "
        grid.put(at.x, 0, name, Role.CURSOR)
        start = at.x + len(name) + 1
    columns = max(1, at.right - start)
    told = box.lines + (box.more if at.height > ROWS else ())
    words = [row for line in told if line for row in wrap(inert(line), columns)]
    if len(words) > at.height:  # the cut shows
        words[at.height - 1 :] = [f"{words[at.height - 1][: columns - 1]}~"]
    for y, row in enumerate(words):
        grid.put(start, y, row, Role.STRONG if y == 0 else Role.PLAIN)


class FootPicture(Picture[Foot]):
    """The foot; a click on a box presses its key."""

    DEFAULT_CSS = "FootPicture { height: 3; }"

    def draw(self, view: Foot, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)

    def on_click(self, event: events.Click) -> None:
        """The key of the box under the pointer."""
        if self.view is None:
            return
        edges = boxes_at(self.view, self.size.width)
        for box, (start, end) in zip(self.view.boxes, pairwise(edges), strict=True):
            if start <= event.x < end and box.key != "0":
                event.stop()
                self.app.simulate_key(box.key)
