"""The last check of an engine: every valve's gap as it was found and left, against its range."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.text.words.standing import Standing
from benchtui.tui.widgets import gap_bars
from benchtui.tui.widgets.canvas import Grid
from benchtui.tui.widgets.gap_bars import KEY, SHORT_KEY, GapBars, GapRow, NoteRow
from benchtui.tui.widgets.picture import Picture


@dataclass(frozen=True, slots=True)
class LastCheck:
    """The rows in the engine's own order; ``worst`` are their indexes, those to see first in front.

    ``said`` stands behind the key of the signs, where there is room; ``unit`` is that of all figures.
    """

    rows: tuple[GapRow, ...]
    worst: tuple[int, ...]
    said: str = ""
    unit: str = "mm"


def shown(view: LastCheck, width: int, height: int) -> GapBars:
    """As many rows as there is room for, the worst of them; how many are left out is said."""
    room = height - _EDGES
    if len(view.rows) <= room:
        key = f"{KEY}, {view.unit}"
        whole = f"{key}   {view.said}".rstrip()
        # A sentence cut in the middle says another thing.
        indent = 1 + max((len(row.label) for row in view.rows), default=0)
        return GapBars((*view.rows, NoteRow(whole if len(whole) + indent <= width else key)))
    kept = sorted(view.worst[: max(1, room)])
    rest = len(view.rows) - len(kept)
    told = NoteRow(f"+ {rest} {_how(view, kept)}   {SHORT_KEY}, {view.unit}")
    return GapBars((*(view.rows[at] for at in kept), told))


def _how(view: LastCheck, kept: list[int]) -> str:
    left_out = [row for at, row in enumerate(view.rows) if at not in kept]
    word = Standing.IN_RANGE.word
    return word if all(row.said.endswith(word) for row in left_out) else "more, none worse"


_EDGES = 2
"""The row of figures and the key."""


class LastCheckPicture(Picture[LastCheck]):
    """As many rows as there are valves, or as the screen has room for."""

    def draw(self, view: LastCheck, width: int, height: int) -> Grid:
        """The picture (see :func:`shown`)."""
        return gap_bars.draw(shown(view, width, height), width, height)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A row a valve, one for the figures and one for the key."""
        del container, viewport, width
        return 0 if self.view is None else len(self.view.rows) + _EDGES

    def show(self, view: LastCheck | None) -> None:
        """Show another engine's, at its own height."""
        changed = view != self.view
        super().show(view)
        if changed:
            self.refresh(layout=True)
