"""A ruler drawn to scale: the setting range, the blades tried, the bracket, the next blade.

Long, because all its rows are drawn on one scale and make room for each other.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import ZERO, Length
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.marks import SHAPES, STRUCK
from benchtui.tui.widgets.picture import Picture
from benchtui.tui.widgets.scale import Scale, of_lengths


@dataclass(frozen=True, slots=True)
class Figure:
    """A length and how it reads (``0.08``, ``3 thou``)."""

    at: Length
    label: str


@dataclass(frozen=True, slots=True)
class Tried:
    """A blade that was tried, and what it did; ``doubted``: one of two that clash.

    ``out`` says why it does not count: struck, or set aside, two against one.
    """

    blade: Figure
    answer: Answer
    out: str = ""
    doubted: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """The clearance lies from ``low`` to ``high``; ``high`` is None where no blade refused yet."""

    low: Length
    high: Length | None


@dataclass(frozen=True, slots=True)
class Ruler:
    """What the ruler shows. A single figure has ``band`` with two equal ends.

    ``band_label`` is what the band is called (``setting range``, ``no tolerance printed``);
    ``bracket_label`` says the bracket in words. ``readings`` come oldest first. ``by_feel`` is
    where the drags, as one hand's practice reads them, put it; ``feel_label`` says so. In a
    ``clash`` the bracket is drawn in crosses: it is none. ``role`` is that of the valve's state; the
    line is dashed until it is ``decided``.
    """

    band: tuple[Figure, Figure] | None = None
    band_label: str = "setting range"
    readings: tuple[Tried, ...] = ()
    bracket: Bar | None = None
    widened: Bar | None = None
    bracket_label: str = ""
    upcoming: Figure | None = None
    by_feel: Bar | None = None
    feel_label: str = ""
    role: Role = Role.BRACKET
    decided: bool = True
    clash: bool = False

    @property
    def lengths(self) -> tuple[Length, ...]:
        """Every length that must be in the picture."""
        found: list[Length] = [f.at for f in self.band or ()]
        found += [t.blade.at for t in self.readings]
        for bar in (self.bracket, self.widened, self.by_feel):
            if bar is not None:
                # A low end at nothing would squeeze all the rest: it is drawn as an arrow.
                found += [end for end in (bar.low, bar.high) if end is not None and end > ZERO]
        if self.upcoming is not None:
            found.append(self.upcoming.at)
        return tuple(found)


FEEL_STROKE = "≈"
"""What stands where a bracket by feel lies, on the ruler and in its words."""

_ORDER = (
    *("scale", "marks", "bracket", "limits", "next", "words", "said"),
    *("words above", "scale below", "bracket below", "air"),
)
"""Which rows are given up first, last named first, as the ruler gets lower."""

_PLACES = (
    *("next", "words above", "words", "marks", "scale", "scale below"),
    *("limits", "air", "bracket", "bracket below", "said"),
)
"""The rows from top to bottom."""


def draw(ruler: Ruler, width: int, height: int) -> Grid:
    """The ruler in ``width`` by two to eleven rows; what is left over stays blank."""
    # Where no blade comes next, or few rows are left, its row is better given to the words.
    apart = ruler.upcoming is not None and height >= _APART
    order = [name for name in _ORDER if name != "next" or apart]
    kept = set(order[: max(2, min(height, len(order)))])
    rows = {name: y for y, name in enumerate(p for p in _PLACES if p in kept)}
    grid = Grid(width, height)
    scale = of_lengths(ruler.lengths, width, air=6)
    _scale_row(grid, scale, ruler, rows)
    _marks(grid, scale, ruler, rows)
    if "bracket" in rows:
        _bracket(grid, scale, ruler, rows)
    else:
        _bracket_ends(grid, scale, ruler, rows["scale"])
    if "limits" in rows:
        _limits(grid, scale, ruler, rows["limits"])
    return grid


_APART = 7
"""From so many rows on the next blade has a row above the words of those tried."""


def _scale_row(grid: Grid, scale: Scale, ruler: Ruler, rows: dict[str, int]) -> None:
    y = rows["scale"]
    grid.put(0, y, "─" * grid.width, Role.FAINT)
    if ruler.band is None:
        return
    low, high = (scale.cell(f.at) for f in ruler.band)
    if low == high:
        grid.put(low, y, "┼", Role.BAND)
        return
    for row in (y, rows.get("scale below", y)):
        grid.put(low, row, "┤" + "▒" * (high - low - 1) + "├", Role.BAND)


def _limits(grid: Grid, scale: Scale, ruler: Ruler, y: int) -> None:
    if ruler.band is None:
        return
    low, high = ruler.band
    left, right = scale.cell(low.at), scale.cell(high.at)
    if low.at == high.at:
        if not grid.centre(left, y, f"{low.label} {ruler.band_label}".strip(), Role.BAND):
            grid.centre(left, y, low.label, Role.BAND)
        return
    both = f"{low.label} {ruler.band_label} {high.label}"
    placed = grid.centre(left, y, low.label, Role.BAND)
    if not (placed and grid.centre(right, y, high.label, Role.BAND)):
        # Too close together for a label under each end: one after the other instead.
        grid.put(0, y, " " * grid.width)
        if not grid.centre((left + right) // 2, y, both, Role.BAND):
            grid.centre((left + right) // 2, y, f"{low.label}-{high.label}", Role.BAND)
        return
    for x in ((left + right) // 2, right + len(high.label) + len(ruler.band_label) // 2 + 2):
        if grid.centre(x, y, ruler.band_label, Role.BAND):
            return


def _role(tried: Tried) -> Role:
    if tried.out:
        return Role.FAINT
    return Role.CAUTION if tried.doubted else Role.STRONG


DOUBT = "?"
"""Behind the shape of a reading that contradicts another; its word is ``again?``."""


def _marks(grid: Grid, scale: Scale, ruler: Ruler, rows: dict[str, int]) -> None:
    y = rows["marks"]
    # Struck ones first, so that a reading that counts is drawn over them.
    for tried in (t for t in ruler.readings if t.out):
        grid.put(scale.cell(tried.blade.at), y, STRUCK, _role(tried))
    blades = _by_blade(ruler)
    cells = [scale.cell(answers[0].blade.at) for answers in blades]
    for x, answers in zip(cells, blades, strict=True):
        shapes = "".join(SHAPES[t.answer] + (DOUBT if t.doubted else "") for t in answers)
        # What stands beside the blade's own cell is moved in from the edge.
        start = min(x, grid.width - len(shapes)) if len(shapes) > 1 else x
        grid.put(start, y, shapes, _role(answers[-1]))
    if ruler.upcoming is not None:
        _upcoming(grid, scale, ruler.upcoming, rows)
    if "words" in rows:
        _words(grid, scale, ruler, rows)


def _by_blade(ruler: Ruler) -> list[list[Tried]]:
    """The readings that count, oldest first; what one blade said differently stands together."""
    blades: dict[Length, dict[Answer, Tried]] = {}
    for tried in ruler.readings:
        if not tried.out:
            said = blades.pop(tried.blade.at, {})
            blades[tried.blade.at] = {**said, tried.answer: tried}
    return [list(said.values()) for said in blades.values()]


def _words(grid: Grid, scale: Scale, ruler: Ruler, rows: dict[str, int]) -> None:
    """Each blade's figure and word: those in doubt and the latest first, struck ones last."""
    blades = list(reversed(_by_blade(ruler)))
    blades.sort(key=lambda answers: not any(t.doubted for t in answers))
    blades += [[t] for t in reversed(ruler.readings) if t.out]
    lines = [rows[name] for name in ("words", "words above") if name in rows]
    for answers in blades:
        x, figure = scale.cell(answers[0].blade.at), answers[0].blade.label
        said = answers[0].out or " and ".join(t.answer.value for t in answers)
        doubt = ": again?" if any(t.doubted for t in answers) else ""
        texts = dict.fromkeys((f"{figure} {said}{doubt}", f"{figure} {said}", figure))
        any(_near(grid, x, y, text, _role(answers[-1])) for text in texts for y in lines)


def _near(grid: Grid, x: int, y: int, text: str, role: Role) -> bool:
    """Write ``text`` over cell ``x``, as near to centred as there is room."""
    half = len(text) // 2
    shifts = sorted(range(-half, half + 1), key=abs)
    return any(grid.centre(x + shift, y, text, role) for shift in shifts)


NEXT = "↓"
"""The blade to try."""


def _upcoming(grid: Grid, scale: Scale, upcoming: Figure, rows: dict[str, int]) -> None:
    x, y = scale.cell(upcoming.at), rows["marks"]
    if "next" not in rows and "words" not in rows:
        # The pointer may stand on a blade that was tried before: then it goes beside it.
        spot = x if grid.at(x, y) == " " else min(x + 1, grid.width - 1)
        grid.put(spot, y, NEXT, Role.NEXT)
        for text, start in (
            (f"next {upcoming.label}", spot + 2),
            (f"next {upcoming.label}", spot - 6 - len(upcoming.label)),
            (upcoming.label, spot + 2),
        ):
            if start >= 0 and grid.blank(start - 1, y, len(text) + 1):
                grid.put(start, y, text, Role.NEXT)
                return
        return
    top = rows.get("next", rows.get("words", y))
    text = f"next {upcoming.label}"
    grid.put(x, top, NEXT, Role.NEXT)
    if not grid.blank(x + 2, top, len(text)):
        grid.put(x - 1 - len(text), top, text, Role.NEXT)
    else:
        grid.put(x + 2, top, text, Role.NEXT)
    for name in ("words above", "words"):
        if name in rows and rows[name] != top:
            grid.put(x, rows[name], "│", Role.NEXT)
    if grid.at(x, y) == " ":
        grid.put(x, y, "│", Role.NEXT)


def _bar(  # noqa: PLR0917  # a bar, its place and its look
    grid: Grid,
    scale: Scale,
    bar: Bar,
    y: int,
    strokes: tuple[str, str, str],
    role: Role = Role.BRACKET,
) -> tuple[int, int]:
    """Draw a bar with its left end, middle and right end given; give back its end cells."""
    left = 0 if bar.low <= ZERO else scale.cell(bar.low)
    right = scale.last if bar.high is None else scale.cell(bar.high)
    start, middle, end = strokes
    grid.put(left, y, middle * (right - left + 1), role)
    grid.put(right, y, "►" if bar.high is None else end, role)
    grid.put(left, y, "◄" if bar.low <= ZERO else start, role)
    return left, right


LINE, DASHED = "━", "╌"
"""Where it lies: decided, and while one more blade is wanted."""


def _bracket(grid: Grid, scale: Scale, ruler: Ruler, rows: dict[str, int]) -> None:
    """A thin line in the role of the valve's state; dotted beyond it as far as blades may err."""
    left = right = 0
    for y in (rows["bracket"], rows.get("bracket below", rows["bracket"])):
        if ruler.bracket is None:
            return
        edge = 0
        if ruler.widened is not None:
            _, edge = _bar(grid, scale, ruler.widened, y, ("╶", "╶", "╴"), ruler.role)
        nothing_known = ruler.bracket.low <= ZERO and ruler.bracket.high is None
        stroke = LINE if ruler.decided else DASHED
        ends = ("├", stroke, "┤")
        if nothing_known or ruler.clash:
            ends = ("·", "·", "·") if nothing_known else (STRUCK, STRUCK, STRUCK)
        left, right = _bar(grid, scale, ruler.bracket, y, ends, ruler.role)
        if ruler.bracket.high is not None:
            grid.put(right + 1, y, "╴" * (edge - right), ruler.role)
        if ruler.by_feel is not None:
            # Drawn last: a thin wave on the line, so that both ends of both can be seen.
            _bar(grid, scale, ruler.by_feel, y, (FEEL_STROKE, FEEL_STROKE, FEEL_STROKE))
    labels = (f"{ruler.bracket_label}  {ruler.feel_label}".strip(), ruler.bracket_label)
    if "said" in rows:
        any(grid.centre((left + right) // 2, rows["said"], text, Role.BRACKET) for text in labels)
    elif ruler.by_feel is None and len(ruler.bracket_label) + _ROUND_LABEL <= right - left:
        # No row of its own: it breaks the line, whose ends stay.
        text = f" {ruler.bracket_label} " if ruler.bracket_label else ""
        grid.put((left + right - len(text) + 1) // 2, rows["bracket"], text, ruler.role)


_ROUND_LABEL = 8
"""Cells of line that must be left around a label that breaks it."""


def _bracket_ends(grid: Grid, scale: Scale, ruler: Ruler, y: int) -> None:
    """On a very low ruler the bracket is a pair of square brackets on the scale itself."""
    bar = ruler.bracket
    if bar is None:
        return
    if bar.low > ZERO:
        grid.put(scale.cell(bar.low), y, "[", Role.BRACKET)
    else:
        grid.put(0, y, "◄", Role.BRACKET)
    if bar.high is None:
        grid.put(scale.last, y, "►", Role.BRACKET)
    else:
        grid.put(scale.cell(bar.high), y, "]", Role.BRACKET)


class RulerPicture(Picture[Ruler]):
    """The ruler of one valve."""

    draw = staticmethod(draw)
