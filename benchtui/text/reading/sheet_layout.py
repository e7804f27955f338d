"""The [layout] of a sheet: cylinders, firing angles, valves and marks."""

from __future__ import annotations

import re
from fractions import Fraction

from benchtui.domain.sheet import FULL_CYCLE, Cylinder, GapRole, Layout, Mark, Valve, ValveKind
from benchtui.text.quantities import measure, show
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table
from benchtui.text.reading.readers import as_checked, as_number, as_text, as_whole, described

MOST_CYLINDERS = 12
MOST_GAPS = 10
"""Five valves a cylinder, and twice as many gaps where each has an opener and a closer."""

_CYLINDERS = 'the cylinders in quotes along the engine, as in ["1", "2"]'
_NAME = re.compile(r"[A-Za-z0-9]{1,12}")
_ANGLE = "0 or more and less than 720 degrees of crank after the first one's compression TDC"
_DEGREES = as_number(Fraction(0), FULL_CYCLE, _ANGLE)


def parse_layout(table: Table) -> Layout | None:
    """The layout, or None where what is left of it could not be checked further."""
    names = _cylinders(table)
    firing: dict[str, Fraction] = {}
    valves: dict[str, tuple[Valve, ...]] = {}
    marks: tuple[Mark, ...] = ()
    if names:
        firing = _firing(table, names)
        valves = _valves(table, names)
        marks = _marks(table, names)
    else:
        # Nothing can be said about them until the cylinders are known.
        table.know("firing", "valves", "marks")
    turns = table.get("turns", as_text, "")
    decompressor = table.get("decompressor", as_text, "")
    rows = table.get("valve_rows", as_whole(1, 2, "1 row of valves, or 2"), 2)
    table.done()
    if not names or any(n not in firing or n not in valves for n in names):
        return None
    cylinders = tuple(Cylinder(n, firing[n], valves[n]) for n in names)
    return Layout(cylinders, turns, marks, decompressor, rows)


def _cylinders(table: Table) -> tuple[str, ...]:
    if not table.has("cylinders"):
        table.fault("cylinders", "nothing", _CYLINDERS)
        return ()
    names = table.each("cylinders", _cylinder_name, _CYLINDERS)
    if names is None:
        return ()
    if not 1 <= len(names) <= MOST_CYLINDERS:
        table.fault("cylinders", f"{len(names)} cylinders", f"1 to {MOST_CYLINDERS}")
    table.once("cylinders", names, "each cylinder once")
    return tuple(dict.fromkeys(names[:MOST_CYLINDERS]))


_cylinder_name = as_checked(
    as_text, lambda name: _NAME.fullmatch(name) is not None, "up to 12 letters and digits"
)


def as_crank_angle(value: object) -> Fraction:
    """Degrees of crank, 0 <= angle < 720: a plain number, or an angle in quotes."""
    degrees = measure.angle(value) if isinstance(value, str) else _DEGREES(value)
    if degrees >= FULL_CYCLE:  # the reader takes its upper end, the cycle does not
        raise FaultyQuantity(described(value), _ANGLE)
    return degrees


def _firing(table: Table, names: tuple[str, ...]) -> dict[str, Fraction]:
    one = len(names) == 1
    angles = table.table("firing", None if one else "an angle for each cylinder")
    if angles is None:
        return {names[0]: Fraction(0)} if one and not table.has("firing") else {}
    found = {n: angles.need(n, as_crank_angle, _ANGLE) for n in names}
    angles.done()
    firing = {n: degrees for n, degrees in found.items() if degrees is not None}
    first_at: dict[Fraction, str] = {}
    for name, degrees in firing.items():
        other = first_at.setdefault(degrees, name)
        if other != name:
            wanted = "another angle for each cylinder, over two turns of the crank"
            angles.fault(name, f"{show.number(degrees)}, as cylinder {other} has", wanted)
    if len(firing) == len(names) and firing and 0 not in firing.values():
        table.fault("firing", "no cylinder at 0", "0 for the one that the others count from")
    return firing


def _valves(table: Table, names: tuple[str, ...]) -> dict[str, tuple[Valve, ...]]:
    rows = table.table("valves", 'the valves of each cylinder, as in { 1 = ["1I", "1E"] }')
    if rows is None:
        return {}
    found = {name: _row(rows, name) for name in names}
    rows.done()
    return {name: valves for name, valves in found.items() if valves is not None}


def _row(rows: Table, cylinder: str) -> tuple[Valve, ...] | None:
    wanted = f'a list, as in ["{cylinder}I", "{cylinder}E"]'
    if not rows.has(cylinder):
        rows.fault(cylinder, "nothing", wanted)
        return None
    valves = rows.each(cylinder, lambda value: _valve(value, cylinder), wanted)
    if valves is None:
        return None
    if not 1 <= len(valves) <= MOST_GAPS:
        rows.fault(cylinder, f"{len(valves)} valves", f"1 to {MOST_GAPS}")
    rows.once(cylinder, [v.name for v in valves], "each valve once")
    raw = rows.data[cylinder]
    whole = isinstance(raw, list) and len(raw) == len(valves) > 0
    return valves if whole else None


def _valve(value: object, cylinder: str) -> Valve:
    name = as_text(value)
    found = re.fullmatch(rf"{re.escape(cylinder)}([IE])((?:-[a-z0-9]+)*)", name)
    if found is None or len(name) > 30:  # noqa: PLR2004 - fits a column of the screen
        wanted = (
            f"{cylinder}I or {cylinder}E, or with a word after it in small letters, "
            f"as in {cylinder}I-left or {cylinder}E-closer"
        )
        raise FaultyQuantity(described(value), wanted)
    kind = ValveKind.INLET if found[1] == "I" else ValveKind.EXHAUST
    closer = found[2].endswith("-closer")
    return Valve(name, cylinder, kind, GapRole.CLOSER if closer else GapRole.OPENER)


def _marks(table: Table, names: tuple[str, ...]) -> tuple[Mark, ...]:
    marks = table.table("marks")
    if marks is None:
        return ()
    found = [_mark(marks, key, names) for key in marks.open_keys()]
    return tuple(mark for mark in found if mark is not None)


def _mark(marks: Table, key: str, names: tuple[str, ...]) -> Mark | None:
    cylinder = key if key in names else None
    angle: Fraction | None = None
    if isinstance(marks.data[key], dict):
        inner = marks.table(key)
        assert inner is not None
        text = inner.need("text", as_text, "what can be seen, in quotes")
        angle = inner.take("angle", as_crank_angle)
        named = inner.take("cylinder", as_text)
        placed = inner.has("angle")
        inner.done()
        if named is not None and named not in names:
            inner.fault("cylinder", f'"{named}"', f"one of {', '.join(names)}")
        cylinder = named or cylinder
    else:
        text = marks.take(key, as_text)
        placed = False
    if cylinder is None and not placed:
        wanted = f'a cylinder ({", ".join(names)}), or {{ text = "...", angle = 30 }}'
        marks.fault(key, "a mark without a place", wanted)
        return None
    return None if text is None else Mark(key, text, cylinder, angle)
