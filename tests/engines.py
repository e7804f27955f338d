"""Invented engines in a line or two: cylinders, their firing and valves, one range for each kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from benchtui.domain.length import Length
from benchtui.domain.sheet import (
    Adjuster,
    AdjusterKind,
    Band,
    Clearances,
    Cylinder,
    GapRole,
    Layout,
    Sheet,
    Valve,
    ValveKind,
)

SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.75"))


def band(low: str, high: str) -> Band:
    """Millimetres."""
    return Band(Length.mm(low), Length.mm(high))


def cylinder(name: str, firing: int | Fraction = 0, valves: Iterable[str] = "IE") -> Cylinder:
    """Its valves by what follows the cylinder's name: ``I``, ``E-left``, ``I-closer``."""
    return Cylinder(name, Fraction(firing), tuple(_valve(name, end) for end in valves))


def _valve(cylinder: str, end: str) -> Valve:
    kind = ValveKind.INLET if end.startswith("I") else ValveKind.EXHAUST
    role = GapRole.CLOSER if end.endswith("-closer") else GapRole.OPENER
    return Valve(cylinder + end, cylinder, kind, role)


def fired(firing: Mapping[str, int | Fraction], valves: Iterable[str] = "IE") -> Layout:
    """Cylinders along the engine, each with the degrees at which it fires."""
    ends = tuple(valves)
    return Layout(tuple(cylinder(name, at, ends) for name, at in firing.items()))


def even(order: str) -> dict[str, Fraction]:
    """Cylinders that fire evenly in this order (``1-3-4-2``), as they stand along the engine."""
    names = order.split("-")
    return {n: Fraction(720 * names.index(n), len(names)) for n in sorted(names, key=int)}


def printed(inlet: Band | None, exhaust: Band | None = None, **more: Any) -> Clearances:
    """One range for each kind that has one."""
    bands = ((ValveKind.INLET, inlet), (ValveKind.EXHAUST, exhaust))
    told = tuple((kind, GapRole.OPENER, each) for kind, each in bands if each is not None)
    return Clearances(told, **more)


def sheet(
    key: str, layout: Layout, clearances: Clearances, adjuster: Adjuster = SCREW, **more: Any
) -> Sheet:
    """``quay-pump`` is called Quay pump."""
    name = key.replace("-", " ").capitalize()
    return Sheet(key, name, layout, clearances, adjuster, **more)
