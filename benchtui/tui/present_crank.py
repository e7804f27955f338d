"""From the crank's angles to its picture: a matter of words and shapes, not of rules."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchtui.domain.crank.dial import Dial
from benchtui.domain.crank.plan import Stop
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities.show import inert
from benchtui.tui.widgets.crank_dial import CrankDial, DialMark
from benchtui.tui.widgets.valve_map import ValveMap, ValveSpot

_LONGEST_NAME = 10
_ONE_TURN = 360


def crank_dial(now: Dial, sheet: Sheet) -> CrankDial:
    """The crank at an angle, with every mark and TDC.

    Cylinders whose pistons come up together share one name: ``TDC 1,4``, the one on compression
    first.
    """
    return CrankDial(_marks(now), clockwise=not sheet.layout.turns.lower().startswith("anti"))


def map_at(stop: Stop, head: ValveMap) -> ValveMap:
    """The head with the valves of a stop as those that may be touched, none of them in hand."""
    ready = {inert(name) for name in stop.valves}

    def spots(side: tuple[ValveSpot, ...]) -> tuple[ValveSpot, ...]:
        return tuple(replace(spot, ready=spot.name in ready) for spot in side)

    rows = tuple(
        tuple(replace(c, far=spots(c.far), near=spots(c.near)) for c in row) for row in head.rows
    )
    return replace(head, rows=rows, current=None)


def _marks(now: Dial) -> tuple[DialMark, ...]:
    together: dict[Fraction, list[str]] = {}
    for point in (p for p in now.points if not p.is_mark):
        name = point.label.removesuffix(" compression TDC")
        together.setdefault(point.ahead % _ONE_TURN, []).append(inert(name))
    marks = [DialMark(f"TDC {','.join(names)}", ahead) for ahead, names in together.items()]
    others = (p for p in now.points if p.is_mark and p.ahead % _ONE_TURN not in together)
    return (*marks, *(DialMark(_short(inert(p.label)), p.ahead) for p in others))


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}~"
