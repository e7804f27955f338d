"""One valve's clearance over distance: brackets as bars, the range, what is proved and estimated.

The proved wedge is drawn in dots, the estimate's band hatched, so that they are told apart without
colour. A setting joins what was found to what was left.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.length import ZERO, Length
from benchtui.tui.widgets.canvas import Dots, Grid, Role
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.ruler import Bar, Figure
from benchtui.tui.widgets.scale import Scale, of_lengths


@dataclass(frozen=True, slots=True)
class AxisPlace:
    """A distance, or hours, how it reads (``12 400``), and its day (``Nov 2024``) where one is known.

    ``at`` is where it is drawn; overlong ways are drawn shorter than they were.
    """

    at: Fraction
    label: str
    day: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """What one check found, and what it left where that differs."""

    place: AxisPlace
    found: Bar | None = None
    left: Bar | None = None


@dataclass(frozen=True, slots=True)
class DrawnWedge:
    """Where the clearance may go: from ``start_low``..``start_high`` to the other end."""

    start: AxisPlace
    start_low: Length
    start_high: Length
    end: AxisPlace
    end_low: Length
    end_high: Length


@dataclass(frozen=True, slots=True)
class Trend:
    """What the plot shows.

    ``across`` names the lower axis with its unit (``km``), ``up`` the left one. ``estimate`` is the
    band between which the gap lies by the estimate; ``breaks`` are where the lower axis leaves out
    a part of an overlong way.
    """

    band: tuple[Figure, Figure]
    checks: tuple[Check, ...] = ()
    wedge: DrawnWedge | None = None
    across: str = "km"
    title: str = ""
    limit: AxisPlace | None = None
    """Where the forecast may first meet the limit."""
    last: AxisPlace | None = None
    """Where it meets the limit at the latest."""
    estimate: DrawnWedge | None = None
    breaks: tuple[Fraction, ...] = ()
    up: str = "mm"

    def lengths(self) -> list[Length]:
        """Every height that must be in the picture."""
        found = [f.at for f in self.band]
        for check in self.checks:
            for bar in (check.found, check.left):
                if bar is not None:
                    found += [bar.low] if bar.high is None else [bar.low, bar.high]
        for w in (self.wedge, self.estimate):
            if w is None:
                continue
            found += [max(ZERO, x) for x in (w.start_low, w.start_high, w.end_low, w.end_high)]
        return found

    def places(self) -> list[AxisPlace]:
        """Every place along the lower axis."""
        found = [c.place for c in self.checks]
        for w in (self.wedge, self.estimate):
            found += [] if w is None else [w.start, w.end]
        found += [limit for limit in (self.limit, self.last) if limit is not None]
        return found


class _Axes:
    """Where lengths and places fall in the plot."""

    def __init__(self, trend: Trend, columns: int, rows: int) -> None:
        self.up = of_lengths(trend.lengths(), rows, air=8)
        at = [p.at for p in trend.places()] or [Fraction(0)]
        edge = max(Fraction(1), (max(at) - min(at)) / 20)
        self.across = Scale(min(at) - edge, max(at) - min(at) + 2 * edge, columns)
        self.columns, self.rows = columns, rows

    def row(self, length: Length) -> int:
        """The row of cells, 0 at the top."""
        return self.rows - 1 - self.up.cell(length)

    def column(self, place: AxisPlace) -> int:
        """The column of cells, 0 at the left."""
        return self.across.place(place.at)

    def point(self, place: AxisPlace, length: Length) -> tuple[float, float]:
        """The point of a dot drawing, two by four points a cell: in the middle of its cell."""
        x = self.across.part(place.at) * (self.columns - 1) * 2 + 0.5
        return x, (1 - self.up.part(length.nm)) * (self.rows - 1) * 4 + 1.5


_KEY = "█ found  ║ left  ░ setting range"
_SET_KEY = "╎ set"
_LIMIT_KEY = "┊ limit met"
_WEDGE_KEY = "dots proved"
HATCH = "╱"  # noqa: RUF001  # a hatch, no slash
_ESTIMATE_KEY = f"{HATCH} estimate"
_LEAST_ROWS = 4
_DAYS_ROWS = 9
"""So many rows leave room for the days below."""


def draw(trend: Trend, width: int, height: int) -> Grid:
    """The plot with its axes labelled and a key line below."""
    grid = Grid(width, height)
    margin = max(len(f.label) for f in trend.band) + 1
    top = 1 if trend.title else 0
    days = height - top >= _DAYS_ROWS + 3 and any(p.day for p in trend.places())
    rows = height - top - 3 - days
    columns = width - margin - 1
    if rows < _LEAST_ROWS or columns < _LEAST_ROWS:
        grid.put(0, 0, "too small to draw", Role.FAINT)
        return grid
    axes = _Axes(trend, columns, rows)
    left = margin + 1
    grid.put(left, 0, trend.title, Role.STRONG)
    _frame(grid, trend, axes, left, top)
    _band(grid, trend, axes, left, top)
    if trend.wedge is not None:
        _wedge(trend.wedge, axes).onto(grid, left, top)
    if trend.estimate is not None:
        _hatch(grid, trend.estimate, axes, left, top)
    _limit(grid, trend, axes, left, top)
    for check in trend.checks:
        _check(grid, check, axes, left, top)
    _places(grid, trend, axes, left, top + rows + 1)
    if days:
        _days(grid, trend, axes, left, top + rows + 2)
    for place in trend.breaks:
        grid.put(left + axes.column(AxisPlace(place, "")), top + rows, "//", Role.CAUTION)
    parts = [_KEY]
    parts += [_SET_KEY] if any(_parted(c) for c in trend.checks) else []
    parts += [_WEDGE_KEY] if trend.wedge is not None else []
    parts += [_ESTIMATE_KEY] if trend.estimate is not None else []
    parts += [_LIMIT_KEY] if trend.limit is not None or trend.last is not None else []
    key = "  ".join(parts)
    grid.put(max(0, width - len(key)), height - 1, key, Role.FAINT)
    return grid


def _frame(grid: Grid, trend: Trend, axes: _Axes, left: int, top: int) -> None:
    for row in range(axes.rows):
        grid.put(left - 1, top + row, "│", Role.FAINT)
    grid.put(left - 1, top + axes.rows, "└" + "─" * axes.columns, Role.FAINT)
    grid.put(left - 1 - len(trend.up), top + axes.rows, trend.up, Role.FAINT)
    for figure in trend.band:
        row = top + axes.row(figure.at)
        grid.put(left - 1 - len(figure.label), row, figure.label, Role.BAND)
        grid.put(left - 1, row, "┤", Role.BAND)


def _band(grid: Grid, trend: Trend, axes: _Axes, left: int, top: int) -> None:
    low, high = (axes.row(f.at) for f in trend.band)
    for row in range(high, low + 1):
        grid.put(left, top + row, "░" * axes.columns, Role.BAND)


def _wedge(wedge: DrawnWedge, axes: _Axes) -> Dots:
    """Both edges, and dots between them."""
    dots = Dots(axes.columns, axes.rows)
    upper = (axes.point(wedge.start, wedge.start_high), axes.point(wedge.end, wedge.end_high))
    lower = (axes.point(wedge.start, wedge.start_low), axes.point(wedge.end, wedge.end_low))
    for start, end in (upper, lower):
        dots.line(start, end, Role.UNDECIDED)
    first, last = round(upper[0][0]), round(upper[1][0])
    for x in range(first, last + 1, 2):
        part = (x - first) / max(1, last - first)
        high = upper[0][1] + (upper[1][1] - upper[0][1]) * part
        low = lower[0][1] + (lower[1][1] - lower[0][1]) * part
        for y in range(round(high), round(low) + 1, 2):
            dots.dot(x, y, Role.UNDECIDED)
    return dots


def _hatch(grid: Grid, band: DrawnWedge, axes: _Axes, left: int, top: int) -> None:
    """Every cell between the edges, hatched."""
    first, last = axes.column(band.start) + 1, axes.column(band.end)
    for x in range(first, last + 1):
        part = Fraction(x - first, max(1, last - first))
        low = band.start_low + (band.end_low - band.start_low).scaled(part)
        high = band.start_high + (band.end_high - band.start_high).scaled(part)
        for row in range(axes.row(high), axes.row(low) + 1):
            grid.put(left + x, top + row, HATCH, Role.UNDECIDED)


def _limit(grid: Grid, trend: Trend, axes: _Axes, left: int, top: int) -> None:
    """A line where the limit is first met, and one where it is met at the latest."""
    for place in (trend.limit, trend.last):
        if place is None:
            continue
        x = left + axes.column(place)
        for row in range(axes.rows):
            grid.put(x, top + row, "┊", Role.CAUTION)
        grid.put(x, top + axes.rows, "┴", Role.CAUTION)


def _check(grid: Grid, check: Check, axes: _Axes, left: int, top: int) -> None:
    x = left + axes.column(check.place)
    if check.found is not None:
        _upright(grid, check.found, axes, (x, top), "█")
    if check.left is not None:
        _upright(grid, check.left, axes, (x + 1, top), "║")
        _joint(grid, check, axes, (x + 1, top))


def _parted(check: Check) -> bool:
    """Whether a setting moved the gap so far that the two bars do not lie side by side."""
    found, left = check.found, check.left
    if found is None or left is None:
        return False
    below = found.high is not None and found.high <= left.low
    return below or (left.high is not None and left.high <= found.low)


def _joint(grid: Grid, check: Check, axes: _Axes, corner: tuple[int, int]) -> None:
    """From what was found up, or down, to what was left."""
    found, left, (x, top) = check.found, check.left, corner
    if found is None or left is None or not _parted(check):
        return
    if found.high is not None and found.high <= left.low:
        rows = range(axes.row(left.low) + 1, axes.row(found.high) + 1)
    else:
        end = left.low if left.high is None else left.high
        rows = range(axes.row(found.low), axes.row(end))
    for row in rows:
        grid.put(x, top + row, "╎", Role.FAINT)


def _upright(grid: Grid, bar: Bar, axes: _Axes, corner: tuple[int, int], stroke: str) -> None:
    x, top = corner
    high = 0 if bar.high is None else axes.row(bar.high)
    for row in range(high, axes.row(bar.low) + 1):
        grid.put(x, top + row, stroke, Role.BRACKET)
    if bar.high is None:
        grid.put(x, top, "▲", Role.BRACKET)


def _places(grid: Grid, trend: Trend, axes: _Axes, left: int, y: int) -> None:
    """Labels below: the ends and the limit first, the rest where there's room."""
    grid.put(left - 1 - len(trend.across), y, trend.across, Role.FAINT)
    places = trend.places()
    ordered = sorted(places, key=lambda p: p.at)
    limits = [p for p in (trend.limit, trend.last) if p is not None]
    wanted = [*limits, *ordered[:1], *ordered[-1:], *ordered]
    for place in wanted:
        role = Role.CAUTION if place in limits else Role.PLAIN
        x = left + axes.column(place)
        if grid.centre(x, y, place.label, role) and place not in limits:
            grid.put(x, y - 1, "┴", Role.FAINT)


def _days(grid: Grid, trend: Trend, axes: _Axes, left: int, y: int) -> None:
    """Months below the readings, where there is room for them."""
    ordered = sorted((p for p in trend.places() if p.day), key=lambda p: p.at)
    for place in (*ordered[:1], *ordered[-1:], *ordered):
        grid.centre(left + axes.column(place), y, place.day, Role.FAINT)


class TrendPicture(Picture[Trend]):
    """One valve over distance."""

    draw = staticmethod(draw)
