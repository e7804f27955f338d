"""The foot of a screen: the key of the one thing to do now in letters three rows high, and its words.

``FootPicture().show(Foot.one("enter", "file it so"))`` on any screen, in three rows; a click on a box
presses its key. What stands in it is worded in ``text.words.foot``.
"""

from __future__ import annotations

from itertools import accumulate, pairwise

from textual import events

from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.foot import Box, Foot
from benchtui.tui.keys import shown_key
from benchtui.tui.widgets.bigtext import Big, lines
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture

ROWS = 3
_LEAST_WORDS = 10
"""Fewer columns than this beside a tall key, and the key is written small."""


def boxes_at(foot: Foot, width: int) -> list[int]:
    """The column at which each box begins, and the width at the end.

    All as wide, unless one's words need more and the others can spare it.
    """
    count = max(1, len(foot.boxes))
    each = width // count
    need = [len(_tall(box)[0]) + 4 + max(map(len, box.lines), default=0) for box in foot.boxes]
    spare = width - sum(need)
    if spare < 0 or all(wanted <= each for wanted in need):
        need, spare = [each] * len(foot.boxes), 0
    return [0, *accumulate(wanted + spare // count for wanted in need[:-1]), width]


def draw(foot: Foot, width: int, height: int) -> Grid:
    """Each key as tall as there is room for, its words beside it."""
    grid = Grid(width, height)
    edges = boxes_at(foot, width)
    wide = [end - start for start, end in pairwise(edges)]
    # One size for all boxes: tall where every one has room for its words.
    tall = height >= ROWS and all(
        room - len(_tall(box)[0]) - 3 >= _needed(box)
        for box, room in zip(foot.boxes, wide, strict=True)
    )
    for box, x, room in zip(foot.boxes, edges, wide, strict=False):
        _box(grid, box, x + 1, room - 2, height, tall=tall)
    return grid


def _tall(box: Box) -> list[str]:
    name = "0-9" if box.key == "0" else shown_key(box.key)
    return lines(Big(name.upper()), 40, ROWS)


def _needed(box: Box) -> int:
    return min(_LEAST_WORDS, max((len(line) for line in box.lines), default=0))


def _box(grid: Grid, box: Box, x: int, room: int, height: int, *, tall: bool) -> None:
    if tall:
        drawn = _tall(box)
        for y, row in enumerate(drawn):
            grid.put(x, y, row, Role.KEY)
        start = x + len(drawn[0]) + 2
    else:
        name = f" {'0-9' if box.key == '0' else shown_key(box.key)} "
        grid.put(x, 0, name, Role.CURSOR)
        start = x + len(name) + 1
    columns = max(1, x + room - start)
    words = [row for line in box.lines if line for row in wrap(inert(line), columns)]
    if len(words) > height:  # the cut shows
        words[height - 1 :] = [f"{words[height - 1][: columns - 1]}~"]
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
