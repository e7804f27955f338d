"""Which valve may be measured with the crank where it is, and on whose authority.

A valve may be measured only on its base circle: outside its opening, widened at both ends by the
margin for the ramps. The ends of the widened opening belong to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.crank.angles import (
    OVERLAP_TDC,
    crank_angle_of,
    cylinder_angle,
    degrees,
    from_dead_centre,
    standing,
    wrapped,
)
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Cylinder, Opening, PrintedStop, Sheet, Timing, Valve

CAUTIOUS_OVERLAP = Fraction(90)
"""Taken each side of overlap TDC for "rocking" where no timing is known (design value: wider than
an overlap of 45 each side, which is much, plus twice the usual margin)."""


class Authority(Enum):
    """What a permission rests on, strongest first."""

    PRINTED = "the manual's own table"
    GEOMETRY = "the valve timing in the sheet"
    COMPRESSION_ONLY = "compression TDC only, since no valve timing is given"


@dataclass(frozen=True, slots=True)
class Permission:
    """Whether ``valve`` may be measured now, and why.

    ``doubt`` is filled where the manual's table is followed although the sheet's own timing
    speaks against it.
    """

    valve: str
    allowed: bool
    authority: Authority
    reason: str
    doubt: str = ""


def widened(opening: Opening, margin: Fraction) -> Opening:
    """The opening with ``margin`` degrees kept clear at each end."""
    return Opening(opening.opens - margin, opening.closes + margin)


def on_base_circle(opening: Opening, margin: Fraction, angle: Fraction) -> bool:
    """Whether a valve rests on its base circle ``angle`` degrees after compression TDC."""
    span = widened(opening, margin)
    return wrapped(angle - span.opens) > span.closes - span.opens


def rocking_span(timing: Timing | None) -> Opening:
    """When a cylinder counts as rocking: inlet opening to exhaust closing, widened by the margin.

    Overlap TDC belongs to it always, and where the exhaust closes before the inlet opens so does all
    that lies between: the one valve has just gone home there and the other is about to go. Without
    timing it is a cautious span.
    """
    if timing is None:
        return Opening(OVERLAP_TDC - CAUTIOUS_OVERLAP, OVERLAP_TDC + CAUTIOUS_OVERLAP)
    between = (timing.inlet.opens, timing.exhaust.closes, OVERLAP_TDC)
    opens, closes = min(between), max(between)
    return widened(Opening(opens, closes), timing.margin)


def is_rocking(timing: Timing | None, angle: Fraction) -> bool:
    """Whether a cylinder ``angle`` degrees after compression TDC is in overlap."""
    span = rocking_span(timing)
    return wrapped(angle - span.opens) <= span.closes - span.opens


def may_measure(sheet: Sheet, valve: Valve, crank_angle: Fraction) -> Permission:
    """Whether ``valve`` may be measured with the crank at ``crank_angle``.

    The manual's printed plan, where there is one, decides alone at each of its places; a cylinder's
    compression TDC that is none of them holds beside it. Then the valve timing; without either only
    a cylinder that is exactly at its compression TDC is offered.

    Raises:
        Refusal: the sheet has no such cylinder as the valve's.
    """
    cylinder = named_cylinder(sheet, valve.cylinder)
    angle = cylinder_angle(cylinder, crank_angle)
    if sheet.plan and (angle != 0 or rows_at(sheet, crank_angle)):
        return _by_print(sheet, valve, cylinder, crank_angle)
    return _by_geometry(sheet.timing, valve, angle)


def permissions(sheet: Sheet, crank_angle: Fraction) -> tuple[Permission, ...]:
    """``may_measure`` of every valve, in the sheet's order."""
    return tuple(may_measure(sheet, valve, crank_angle) for valve in sheet.layout.valves)


def stop_valves(
    sheet: Sheet, cylinder_name: str, angle: Fraction = Fraction(0), *, fewest: bool = False
) -> tuple[Permission, ...]:
    """The valves that may be measured with this cylinder ``angle`` after its compression TDC.

    One cylinder at a time its own valves only, and those of a cylinder that fires together with it;
    with ``fewest`` every valve that is on its base circle. A printed plan offers its row in both. All
    of the permissions returned are allowed ones; there may be none.

    Raises:
        Refusal: the sheet has no cylinder of that name.
    """
    cylinder = named_cylinder(sheet, cylinder_name)
    every = permissions(sheet, crank_angle_of(cylinder, angle))
    together = (c for c in sheet.layout.cylinders if c.firing == cylinder.firing)
    own = {valve.name for c in together for valve in c.valves}
    wide = fewest or bool(rows_at(sheet, crank_angle_of(cylinder, angle)))
    return tuple(p for p in every if p.allowed and (wide or p.valve in own))


def rows_at(sheet: Sheet, crank_angle: Fraction) -> tuple[PrintedStop, ...]:
    """The rows of the printed plan that hold with the crank exactly here."""
    return tuple(r for r in sheet.plan if row_angle(sheet, r) == wrapped(crank_angle))


def row_angle(sheet: Sheet, row: PrintedStop) -> Fraction | None:
    """The crank angle of a printed row, or None where its cylinder is unknown."""
    cylinder = sheet.layout.cylinder(row.cylinder)
    return None if cylinder is None else crank_angle_of(cylinder, row.angle)


def named_cylinder(sheet: Sheet, name: str) -> Cylinder:
    """The cylinder of that name.

    Raises:
        Refusal: there is none.
    """
    cylinder = sheet.layout.cylinder(name)
    if cylinder is None:
        known = tuple(c.name for c in sheet.layout.cylinders)
        raise Refusal(Why.NO_CYLINDER, cylinder=name, known=known)
    return cylinder


def _by_print(sheet: Sheet, valve: Valve, cylinder: Cylinder, crank_angle: Fraction) -> Permission:
    here = rows_at(sheet, crank_angle)
    row = next((r for r in here if valve.name in r.valves), None)
    if row is not None:
        doubt = ""
        if sheet.timing is not None:
            angle = cylinder_angle(cylinder, crank_angle)
            other = _by_geometry(sheet.timing, valve, angle)
            doubt = "" if other.allowed else f"The sheet's timing disagrees. {other.reason}."
        reason = f'{valve.name}: in the manual\'s table at "{row.at}"'
        return Permission(
            valve.name, allowed=True, authority=Authority.PRINTED, reason=reason, doubt=doubt
        )
    rows = [r.at for r in sheet.plan if valve.name in r.valves]
    there = " or ".join(f'"{at}"' for at in rows)
    wanted = f"the manual's table has it at {there}" if rows else "the manual's table leaves it out"
    what = f'not in the row "{here[0].at}"' if here else "this is no stop of the manual's table"
    reason = f"{valve.name}: {what}; {wanted}"
    return Permission(valve.name, allowed=False, authority=Authority.PRINTED, reason=reason)


def _by_geometry(timing: Timing | None, valve: Valve, angle: Fraction) -> Permission:
    authority = Authority.COMPRESSION_ONLY if timing is None else Authority.GEOMETRY
    allowed, why = _judged(timing, valve, angle)
    return Permission(valve.name, allowed, authority, f"{valve.name}: {why}")


def _judged(timing: Timing | None, valve: Valve, angle: Fraction) -> tuple[bool, str]:
    own = f"cylinder {valve.cylinder}"
    if is_rocking(timing, angle):
        return False, f"{own} is rocking (overlap), its valves are or may be off their seats"
    if timing is None:
        if angle == 0:
            return True, f"{own} is at its compression TDC, where its valves are closed"
        return False, f"no valve timing is given, so it waits for the compression TDC of {own}"
    opening = timing.of(valve.kind)
    closes, opens = from_dead_centre(opening.closes), from_dead_centre(opening.opens)
    if on_base_circle(opening, timing.margin, angle):
        left = degrees(wrapped(opening.opens - angle))
        return True, f"closed since {closes}, opens {left} degrees on ({opens})"
    kept = degrees(timing.margin)
    if opening.opens <= angle <= opening.closes:
        return False, f"open from {opens} to {closes}; {own} is {standing(angle)} now"
    edge = f"closes {closes}" if angle > opening.closes else f"opens {opens}"
    return False, f"too near the ramp: it {edge}, and {kept} degrees are kept clear"
