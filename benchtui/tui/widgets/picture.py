"""The base of every widget that draws a frozen value on a grid of cells."""

from __future__ import annotations

from typing import ClassVar, Generic, TypeVar

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from benchtui.tui.widgets.canvas import Grid, Role

ViewT = TypeVar("ViewT")


class Picture(Widget, Generic[ViewT]):
    """Shows ``view``, a frozen value, and draws it anew when it or the size changes.

    A subclass gives :meth:`draw`. It decides nothing: all that it says comes in with the view.
    """

    # The room that a screen gives; a picture has no size of its own.
    DEFAULT_CSS = """
    Picture { width: 1fr; height: 1fr; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"picture--{role.value}" for role in Role}

    def __init__(
        self,
        view: ViewT | None = None,
        *,
        name: str | None = None,
        id: str | None = None,  # noqa: A002  the library's own word for it
        classes: str | None = None,
    ) -> None:
        super().__init__(name=name, id=id, classes=classes)
        self._view = view
        self._drawn: tuple[Size, Grid] | None = None
        self._base: Style | None = None  # worked out from all ancestors: once a picture, not a row
        self._colours: dict[Role, Style] = {}

    @property
    def view(self) -> ViewT | None:
        """What is shown; None shows nothing."""
        return self._view

    def show(self, view: ViewT | None) -> None:
        """Show something else."""
        if view == self._view:
            return
        self._view, was = view, self._drawn
        if was is None or view is None or was[0] != self.size:
            self.redraw()
            return
        size, old = was
        drawn = self.draw(view, size.width, size.height)
        self._drawn = size, drawn
        # A key changes a few rows: the others need no work, and no bytes to the terminal.
        rows = [y for y in range(size.height) if drawn.row(y) != old.row(y)]
        inside = self.gutter
        if rows:
            self.refresh(*(Region(inside.left, inside.top + y, size.width, 1) for y in rows))

    def redraw(self) -> None:
        """Draw again at the next refresh."""
        self._drawn = self._base = None
        self._colours.clear()
        self.refresh()

    def draw(self, view: ViewT, width: int, height: int, /) -> Grid:
        """The picture of ``view`` in ``width`` by ``height`` cells."""
        raise NotImplementedError

    def notify_style_update(self) -> None:
        """The theme has changed: the cells stay, their colours do not."""
        super().notify_style_update()
        self._base = None
        self._colours.clear()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row of the picture (called by the library)."""
        size = self.size
        base = self._base = self._base or self.rich_style
        if self._view is None or not size.width:
            return Strip.blank(size.width, base)
        if self._drawn is None or self._drawn[0] != size:
            self._drawn = (size, self.draw(self._view, size.width, size.height))
        grid = self._drawn[1]
        if y >= grid.height:
            return Strip.blank(size.width, base)
        segments = [
            Segment(text, self._colours.get(role) or self._colour(role))
            for text, role in grid.runs(y)
        ]
        return Strip(segments).adjust_cell_length(size.width, base)

    def _colour(self, role: Role) -> Style:
        colour = self._colours[role] = self.get_component_rich_style(f"picture--{role.value}")
        return colour
