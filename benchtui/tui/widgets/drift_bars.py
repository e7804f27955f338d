"""Drifts of several valves as bars on one scale, with zero marked: what is proved is seen at once."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture


@dataclass(frozen=True, slots=True)
class DriftRow:
    """One valve: its drift from ``low`` to ``high``, None without bound; ``said`` in words below.

    ``known`` is False where there is no drift to draw.
    """

    label: str
    low: Fraction | None
    high: Fraction | None
    known: bool
    said: str
    role: Role = Role.PLAIN
    current: bool = False


@dataclass(frozen=True, slots=True)
class DriftBars:
    """All rows; ``heading`` says what is compared, with its unit."""

    rows: tuple[DriftRow, ...] = ()
    heading: str = ""


_ROWS_EACH = 3


def draw(view: DriftBars, width: int, height: int) -> Grid:
    """Two rows a valve and a blank one: the bar, then the words."""
    grid = Grid(width, height)
    grid.put(0, 0, view.heading, Role.STRONG)
    label = max((len(r.label) for r in view.rows), default=0) + 1
    left, columns = label, width - label
    zero = left + columns // 2
    ends = [abs(e) for r in view.rows for e in (r.low, r.high) if e is not None]
    far = max(ends, default=Fraction(1)) or Fraction(1)
    half = max(1, columns // 2 - 2)
    grid.centre(zero, 1, "0", Role.BAND)
    grid.put(left, 1, "◄ closing up", Role.FAINT)
    grid.put(width - len("opening ►"), 1, "opening ►", Role.FAINT)

    def cell(at: Fraction) -> int:
        return zero + round(at / far * half)

    each = _ROWS_EACH if 2 + _ROWS_EACH * len(view.rows) <= height else 2
    for number, row in enumerate(_fitting(view.rows, (height - 2) // each)):
        y = 2 + number * each
        grid.put(0, y, row.label, Role.CURSOR if row.current else Role.STRONG)
        grid.put(left, y, "─" * columns, Role.FAINT)
        grid.put(zero, y, "│", Role.BAND)
        if row.known:
            start = left if row.low is None else cell(row.low)
            end = width - 1 if row.high is None else cell(row.high)
            grid.put(start, y, "█" * (end - start + 1), Role.BRACKET)
            if start <= zero <= end:
                grid.put(zero, y, "┃", Role.BAND)
            if row.low is None:
                grid.put(start, y, "◄", Role.BRACKET)
            if row.high is None:
                grid.put(end, y, "►", Role.BRACKET)
        grid.put(left, y + 1, row.said[:columns], row.role)
    return grid


def _fitting(rows: tuple[DriftRow, ...], most: int) -> tuple[DriftRow, ...]:
    """As many rows as there is room for, the current one among them."""
    here = next((i for i, row in enumerate(rows) if row.current), 0)
    first = max(0, min(here - most // 2, len(rows) - most))
    return rows[first : first + max(1, most)]


class DriftBarsPicture(Picture[DriftBars]):
    """Valves of one kind together."""

    draw = staticmethod(draw)
