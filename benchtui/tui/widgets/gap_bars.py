"""Brackets one below the other on one scale, each against its setting range."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.length import ZERO, Length
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.ruler import Bar, Figure

FOUND = "█"
LEFT = "═"
"""A full bar and a double one, as in the plot over distance."""

KEY = "█ found   ═ left   [▒] setting range, mm"

LINE = "━"
DASHED = "╌"
"""A thin line with ends, as the gap itself is drawn; dashed while it is undecided."""

BEFORE = "░"
"""What was found before it was set."""


@dataclass(frozen=True, slots=True)
class GapRow:
    """One bracket. ``label`` stands before it, ``said`` behind it in the colour of ``role``.

    ``before`` is what was found before the bracket was set, drawn behind all the rest.
    """

    label: str
    bar: Bar | None
    band: tuple[Figure, Figure] | None
    said: str
    role: Role = Role.PLAIN
    stroke: str = FOUND
    current: bool = False
    before: Bar | None = None


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A line of words below a bracket, from the left edge where not ``indented``."""

    text: str
    role: Role = Role.FAINT
    indented: bool = True


@dataclass(frozen=True, slots=True)
class GapBars:
    """All rows, top to bottom. ``also`` are lengths that the scale must hold besides."""

    rows: tuple[GapRow | NoteRow, ...] = ()
    also: tuple[Length, ...] = ()

    @property
    def lengths(self) -> tuple[Length, ...]:
        """Every length that must be in the picture."""
        found = list(self.also)
        for row in self.rows:
            if isinstance(row, GapRow):
                found += [f.at for f in row.band or ()]
                found += [end for b in (row.bar, row.before) if b is not None for end in _ends(b)]
        return tuple(found)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The limits to label, thinnest first, each once."""
        bands = [f for row in self.rows if isinstance(row, GapRow) for f in row.band or ()]
        return tuple(sorted({f.at: f for f in bands}.values(), key=lambda f: f.at))


def _ends(bar: Bar) -> list[Length]:
    return [end for end in (bar.low, bar.high) if end is not None and end > ZERO]


class _Scale:
    """Which cell a length falls in, ``left`` being the first."""

    def __init__(self, view: GapBars, left: int, columns: int) -> None:
        self.left, self.last = left, max(1, columns - 1)
        at = view.lengths or (ZERO,)
        low, high = min(at).nm, max(at).nm
        room = max(10_000, (high - low) // 10)
        self.low = max(0, low - room)
        self.span = max(1, high + room - self.low)

    def cell(self, length: Length) -> int:
        """The nearest cell, cut off at the edges."""
        whole = (2 * (length.nm - self.low) * self.last + self.span) // (2 * self.span)
        return self.left + max(0, min(self.last, whole))


def draw(view: GapBars, width: int, height: int) -> Grid:
    """The limits' figures in the first row, then a row each; what is too long is cut off."""
    grid = Grid(width, height)
    gaps = [r for r in view.rows if isinstance(r, GapRow)]
    label = max((len(r.label) for r in gaps), default=0) + 1
    said = max((len(r.said) for r in gaps), default=0) + 1
    columns = width - label - said
    scale = _Scale(view, label, columns) if columns >= _LEAST else None
    if scale is not None:
        for figure in view.figures:
            grid.centre(scale.cell(figure.at), 0, figure.label, Role.BAND)
    for y, row in enumerate(view.rows, start=1):
        if isinstance(row, NoteRow):
            grid.put(label if row.indented else 0, y, row.text, row.role)
            continue
        grid.put(0, y, row.label, Role.CURSOR if row.current else Role.STRONG)
        grid.put(width - said + 1, y, row.said, row.role)
        if scale is not None:
            _gap(grid, scale, row, y)
    return grid


_LEAST = 8


def _gap(grid: Grid, scale: _Scale, row: GapRow, y: int) -> None:
    grid.put(scale.left, y, "─" * (scale.last + 1), Role.FAINT)
    ends = None if row.band is None else tuple(scale.cell(f.at) for f in row.band)
    if row.before is not None:
        _bar(grid, scale, row.before, BEFORE, y, Role.FAINT)
    if ends is not None:
        grid.put(ends[0], y, "▒" * (ends[1] - ends[0] + 1), Role.BAND)
    if row.bar is not None:
        _bar(grid, scale, row.bar, row.stroke, y, row.role if row.stroke in _THIN else Role.BRACKET)
    if ends is not None:
        # Over the bar, or a bar that just fills the range would hide it.
        grid.put(ends[0], y, "[" if ends[1] > ends[0] else "┼", Role.BAND)
        grid.put(ends[1], y, "]" if ends[1] > ends[0] else "┼", Role.BAND)


_THIN = (LINE, DASHED)


def _bar(  # noqa: PLR0917  where, what and how, in that order
    grid: Grid, scale: _Scale, bar: Bar, stroke: str, y: int, role: Role
) -> None:
    left = scale.left if bar.low <= ZERO else scale.cell(bar.low)
    right = scale.left + scale.last if bar.high is None else scale.cell(bar.high)
    if bar.low <= ZERO and bar.high is None:
        return
    grid.put(left, y, stroke * (right - left + 1), role)
    if stroke in _THIN:
        grid.put(left, y, "├", role)
        grid.put(right, y, "┤", role)
    if bar.low <= ZERO:
        grid.put(left, y, "◄", role)
    if bar.high is None:
        grid.put(right, y, "►", role)


def lines(view: GapBars, width: int, height: int) -> list[str]:
    """The rows as text."""
    return draw(view, width, height).lines()


class GapBarsPicture(Picture[GapBars]):
    """As many rows high as it has to say."""

    DEFAULT_CSS = """
    GapBarsPicture { height: auto; }
    """

    def draw(self, view: GapBars, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A row each and one for the figures."""
        del container, viewport, width
        return 0 if self.view is None else len(self.view.rows) + 1

    def show(self, view: GapBars | None) -> None:
        """Show something else, at its own height."""
        changed = view != self.view
        super().show(view)
        if changed:
            self.refresh(layout=True)
