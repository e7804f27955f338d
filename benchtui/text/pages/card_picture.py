"""The picture on the card: one small drawing a valve, all to one scale.

The setting range is a grey field, what was found an outline above, what was left a filled bar
below: told apart by place and shape, so that it prints on any printer. An open end has an arrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from html import escape

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.text.pages.card import CardValve
from benchtui.text.quantities.show import LengthUnit, figure, inert, rounded

WIDE, HIGH = 1000, 20
"""Of one drawing, in its own units; it is drawn as wide as the page, and a line and a half high."""

_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
_LEAST: dict[LengthUnit, Length] = {
    "mm": Length.um(10),
    "in": Length.thou(1),
    "thou": Length.thou(1),
}
"""The finest step of the scale; the others are so many of it."""
MOST_TICKS = 8


def scale_end(valves: Sequence[CardValve]) -> Length:
    """Where the common scale ends: a tenth beyond the largest figure of all."""
    largest = Length.mm("0.05")
    for valve in valves:
        if valve.band is not None:
            largest = max(largest, valve.band.high)
        for bracket in (valve.found_bracket, valve.left_bracket):
            if bracket is not None:
                largest = max(largest, bracket.low, bracket.high or bracket.low)
    return largest.scaled(Fraction(11, 10))


def axis(end: Length, unit: LengthUnit = "mm") -> str:
    """The scale, as marks that stand where their figures lie in the drawings below."""
    steps = [_LEAST[unit] * count for count in _STEPS]
    step = next((s for s in steps if end.nm <= s.nm * MOST_TICKS), steps[-1])
    parts = []
    for count in range(1, end.nm // step.nm + 1):
        at = rounded(Fraction((step * count).nm * 100, end.nm), 2)
        parts.append(f'<span style="left:{at}%">{figure(step * count, unit)}</span>')
    return f'<div class="axis" title="scale in {unit}">{"".join(parts)}</div>'


def drawing(valve: CardValve, end: Length) -> str:
    """One valve against its range, as an SVG drawing."""
    parts = []
    if valve.band is not None:
        low, high = valve.band.low, valve.band.high
        parts.append(_box(_x(low, end), _x(high, end), (1, HIGH - 2), "range"))
    if valve.found_bracket is not None:
        parts += _bracket(valve.found_bracket, end, 4, "found")
    if valve.left_bracket is not None:
        parts += _bracket(valve.left_bracket, end, 12, "left")
    return _svg(f"{valve.name}: range, found and left", parts)


def _bracket(bracket: Bracket, end: Length, top: int, kind: str) -> Iterator[str]:
    low, high = bracket.low, bracket.high
    if high is None:
        # Nothing refused: it may be anything above, so the bar runs out of the drawing.
        yield _box(_x(low, end), _x(end, end), (top, 5), kind)
        yield f'<path d="M{WIDE - 14} {top - 1}l14 3.5l-14 3.5z" class="{kind}"/>'
        return
    if low > high:
        low, high, kind = high, low, f"{kind} clash"
    yield _box(_x(low, end), _x(high, end), (top, 5), kind)


def _box(left: str, right: str, rows: tuple[int, int], kind: str) -> str:
    """A bar from left to right; ``rows`` are its top and its height."""
    wide = f"{max(1.0, float(right) - float(left)):.1f}"
    return f'<rect x="{left}" y="{rows[0]}" width="{wide}" height="{rows[1]}" class="{kind}"/>'


def _x(length: Length, end: Length) -> str:
    return rounded(Fraction(min(length, end).nm * WIDE, end.nm), 1)


def _svg(title: str, parts: Sequence[str] | Iterator[str]) -> str:
    words = escape(inert(title))
    box = f'viewBox="0 0 {WIDE} {HIGH}" preserveAspectRatio="none" role="img"'
    return f"<svg {box}><title>{words}</title>{''.join(parts)}</svg>"
