"""Gaps one below the other on one scale, each against its setting range: the one drawing of a gap."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchtui.domain.length import ZERO, Length
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.ruler import Bar, Figure
from benchtui.tui.widgets.scale import Scale, of_lengths

LINE, DASHED = "━", "╌"
"""A thin line with ends is the gap itself; dashed while it is undecided."""

BEFORE = "░"
"""What was found before it was set."""

KEY = "░ found, then set   ├━┤ left   [▒] setting range"
SHORT_KEY = "├━┤ left   [▒] range"


@dataclass(frozen=True, slots=True)
class GapRow:
    """One gap. ``label`` stands before it, ``said`` behind it in the colour of ``role``.

    ``short`` is said where there is no room for all of it. ``before`` is what was found before it was
    set, drawn behind all the rest. ``undecided`` dashes the line.
    """

    label: str
    bar: Bar | None
    band: tuple[Figure, Figure] | None
    said: str
    role: Role = Role.PLAIN
    short: str = ""
    before: Bar | None = None
    undecided: bool = False
    current: bool = False


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


def draw(view: GapBars, width: int, height: int) -> Grid:
    """The limits' figures in the first row, then a row each; no figure is cut while the row holds it."""
    grid = Grid(width, height)
    gaps = [r for r in view.rows if isinstance(r, GapRow)]
    label = max((len(r.label) for r in gaps), default=0) + 1
    words = {id(r): r.said for r in gaps}
    if label + _longest(words.values()) + _ROOMY > width:
        words = {id(r): r.short or r.said for r in gaps}
    said = _longest(words.values()) + 1
    columns = width - label - said
    scale = of_lengths(view.lengths, columns, air=10, first=label) if columns >= _LEAST else None
    if scale is not None:
        for figure in view.figures:
            grid.centre(scale.cell(figure.at), 0, figure.label, Role.BAND)
    for y, row in enumerate(view.rows, start=1):
        if isinstance(row, NoteRow):
            grid.put(label if row.indented else 0, y, row.text, row.role)
            continue
        grid.put(0, y, row.label, Role.CURSOR if row.current else Role.STRONG)
        grid.put(max(label, width - said + 1), y, words[id(row)], row.role)
        if scale is not None:
            _gap(grid, scale, row, y)
    return grid


def _longest(words: Iterable[str]) -> int:
    return max(map(len, words), default=0)


_LEAST = 8
_ROOMY = 20
"""Columns of a drawing worth the shorter words."""


def _gap(grid: Grid, scale: Scale, row: GapRow, y: int) -> None:
    grid.put(scale.first, y, "─" * (scale.last + 1), Role.FAINT)
    ends = None if row.band is None else tuple(scale.cell(f.at) for f in row.band)
    if row.before is not None:
        _bar(grid, scale, row.before, BEFORE, y, Role.FAINT)
    if ends is not None:
        grid.put(ends[0], y, "▒" * (ends[1] - ends[0] + 1), Role.BAND)
    if row.bar is not None:
        _bar(grid, scale, row.bar, DASHED if row.undecided else LINE, y, row.role)
    if ends is not None:
        # Over the line, or one that just fills the range would hide it.
        grid.put(ends[0], y, "[" if ends[1] > ends[0] else "┼", Role.BAND)
        grid.put(ends[1], y, "]" if ends[1] > ends[0] else "┼", Role.BAND)


def _bar(  # noqa: PLR0917  where, what and how, in that order
    grid: Grid, scale: Scale, bar: Bar, stroke: str, y: int, role: Role
) -> None:
    left = scale.first if bar.low <= ZERO else scale.cell(bar.low)
    right = scale.first + scale.last if bar.high is None else scale.cell(bar.high)
    if bar.low <= ZERO and bar.high is None:
        return
    ends = ("", "") if stroke == BEFORE else ("├", "┤")
    grid.put(left, y, stroke * (right - left + 1), role)
    grid.put(left, y, "◄" if bar.low <= ZERO else ends[0], role)
    grid.put(right, y, "►" if bar.high is None else ends[1], role)


class GapBarsPicture(Picture[GapBars]):
    """As many rows high as it has to say."""

    DEFAULT_CSS = """
    GapBarsPicture { height: auto; }
    """

    draw = staticmethod(draw)

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
