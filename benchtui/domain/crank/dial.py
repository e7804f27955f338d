"""The crank as a picture needs it: marks round the circle, and what each cylinder is doing."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.crank.angles import (
    ONE_TURN,
    cylinder_angle,
    from_dead_centre,
    mark_angle,
    wrapped,
)
from benchtui.domain.crank.windows import is_rocking
from benchtui.domain.sheet import Sheet


@dataclass(frozen=True, slots=True)
class DialPoint:
    """A mark or a compression TDC.

    ``angle``: its crank angle, 0 to 720. ``ahead``: degrees to turn forward until it stands at the
    pointer; less than 360 for a mark, which shows every turn, less than 720 for a compression TDC.
    """

    label: str
    angle: Fraction
    ahead: Fraction
    is_mark: bool


@dataclass(frozen=True, slots=True)
class CylinderNow:
    """One cylinder: ``angle`` after its compression TDC, and what it does there."""

    name: str
    angle: Fraction
    place: str
    rocking: bool


@dataclass(frozen=True, slots=True)
class Dial:
    """The crank at ``crank_angle``: points as they come, cylinders in the sheet's order."""

    crank_angle: Fraction
    points: tuple[DialPoint, ...]
    cylinders: tuple[CylinderNow, ...]


def dial(sheet: Sheet, crank_angle: Fraction) -> Dial:
    """What a drawing of the crank shows with the crank at ``crank_angle`` degrees."""
    layout, crank = sheet.layout, wrapped(crank_angle)
    points = [
        DialPoint(f"{c.name} compression TDC", c.firing, wrapped(c.firing - crank), is_mark=False)
        for c in layout.cylinders
    ]
    for mark in layout.marks:
        at = mark_angle(layout, mark)
        if at is not None:
            points.append(
                DialPoint(mark.text or mark.name, at, (at - crank) % ONE_TURN, is_mark=True)
            )
    points.sort(key=lambda p: p.ahead)
    now = []
    for cylinder in layout.cylinders:
        angle = cylinder_angle(cylinder, crank)
        place, rocking = from_dead_centre(angle), is_rocking(sheet.timing, angle)
        now.append(CylinderNow(cylinder.name, angle, place, rocking))
    return Dial(crank, tuple(points), tuple(now))
