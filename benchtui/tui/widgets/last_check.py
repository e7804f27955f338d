"""The last check of an engine: every valve's gap as it was found and left, against its range."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.tui.widgets import gap_bars
from benchtui.tui.widgets.canvas import Grid
from benchtui.tui.widgets.gap_bars import GapBars, GapRow, NoteRow
from benchtui.tui.widgets.picture import Picture

KEY = "░ found, then set   ├━┤ left   [▒] setting range, mm"


@dataclass(frozen=True, slots=True)
class LastCheck:
    """The rows in the engine's own order; ``worst`` are their indexes, those to see first in front.

    ``said`` stands behind the key of the signs, where there is room.
    """

    rows: tuple[GapRow, ...]
    worst: tuple[int, ...]
    said: str = ""


def shown(view: LastCheck, height: int) -> GapBars:
    """As many rows as there is room for, the worst of them; how many are left out is said."""
    room = height - _FIGURES - _KEY
    if len(view.rows) <= room:
        return GapBars((*view.rows, NoteRow(f"{KEY}   {view.said}".rstrip())))
    kept = sorted(view.worst[: max(1, room)])
    rest = len(view.rows) - len(kept)
    told = NoteRow(f"+ {rest} more, all as good or better   ├━┤ left   [▒] range, mm")
    return GapBars((*(view.rows[at] for at in kept), told))


_FIGURES = _KEY = 1


class LastCheckPicture(Picture[LastCheck]):
    """As many rows as there are valves, or as the screen has room for."""

    def draw(self, view: LastCheck, width: int, height: int) -> Grid:
        """The picture (see :func:`shown`)."""
        return gap_bars.draw(shown(view, height), width, height)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A row a valve, one for the figures and one for the key."""
        del container, viewport, width
        return 0 if self.view is None else len(self.view.rows) + _FIGURES + _KEY

    def show(self, view: LastCheck | None) -> None:
        """Show another engine's, at its own height."""
        changed = view != self.view
        super().show(view)
        if changed:
            self.refresh(layout=True)
