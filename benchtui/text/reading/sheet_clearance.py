"""The [clearance] of a sheet: printed figures, service limits, and when they hold."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import TypeGuard

from benchtui.domain.length import ZERO, Length
from benchtui.domain.rule import DecisionRule
from benchtui.domain.sheet import Band, Clearances, Condition, GapRole, Layout, ValveKind
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table
from benchtui.text.reading.readers import as_checked, as_one_of, as_quantity, described
from benchtui.text.reading.two_units import Ends, agree, leading

MOST_CLEARANCE = Length.mm(5)
"""More than any valve gear has, a closer's gap or a lifter's dry one included (design value)."""

HEAT_LASTS = Fraction(20)
"""Minutes for which a hot-set engine's heat, once told, is taken to hold (design value)."""

_WANTED = (
    'one figure, as in "0.08 mm" or "0.011 in (0.28 mm)", or two, as in ["0.06 mm", "0.10 mm"]'
)
_TEMPERATURE = as_quantity(measure.temperature, "35 degC")
_HOURS = as_quantity(measure.hours, "4 h")

Printed = tuple[ValveKind, GapRole, Band]


def parse_clearance(table: Table) -> Clearances:
    """The clearances; what is faulty in them is left out."""
    printed: list[Printed] = []
    service: list[Printed] = []
    for kind in ValveKind:
        for role, suffix in ((GapRole.OPENER, ""), (GapRole.CLOSER, "_closer")):
            key = f"{kind.value}{suffix}"
            band = _band(table, key)
            limits = _band(table, f"{key}_service")
            if band is not None:
                printed.append((kind, role, band))
            if limits is not None:
                service.append((kind, role, limits))
            if band and limits and not limits.low <= band.low <= band.high <= limits.high:
                wanted = f"limits that hold the setting range, {band}"
                table.fault(f"{key}_service", str(limits), wanted)
    clearances = Clearances(
        printed=tuple(printed),
        condition=table.get("condition", as_one_of(Condition), Condition.COLD),
        metal_below=table.take("metal_below", _TEMPERATURE),
        metal_above=table.take("metal_above", _TEMPERATURE),
        stood_hours=table.take("stood", _HOURS),
        owner_band=table.take("owner_band", _own_band),
        service=tuple(service),
        rule=table.take("rule", _rule),
    )
    if clearances.condition is Condition.HOT:
        clearances = replace(clearances, heat_lasts=HEAT_LASTS)
    below, above = clearances.metal_below, clearances.metal_above
    if below is not None and above is not None and below <= above:
        table.fault("metal_below", "not above metal_above", "the cooler figure as metal_above")
    table.done()
    return clearances


def check_kinds(table: Table, layout: Layout, clearances: Clearances, *, measured: bool) -> None:
    """Note each kind of valve without a figure, and each figure without a valve.

    Hydraulic gear has no clearance to print, so none is asked for.
    """
    wanted = {(v.kind, v.role) for v in layout.valves}
    given = {(k, r) for k, r, _ in clearances.printed}
    for valve_kind in ValveKind:
        for role in GapRole:
            key = valve_kind.value + ("_closer" if role is GapRole.CLOSER else "")
            pair = (valve_kind, role)
            # A figure that is there but faulty has its own fault already.
            if pair in wanted and not table.has(key) and measured:
                table.fault(key, "nothing", _WANTED)
            if pair in given and pair not in wanted:
                name = "..." + valve_kind.value[0].upper()
                closer = "-closer" if role is GapRole.CLOSER else ""
                table.fault(key, "a figure for which there is no valve", f"a valve {name}{closer}")


def _length_ends(text: str) -> Ends:
    return (Fraction(measure.length(text, zero=True).nm),)


_clearance = as_checked(
    as_quantity(lambda text: measure.length(leading(text, _length_ends), zero=True), "0.08 mm"),
    lambda found: found <= MOST_CLEARANCE,
    f"a clearance of at most {MOST_CLEARANCE}",
)
_own_band = as_checked(_clearance, lambda found: found > ZERO, "so much either side, above zero")


def _rule(value: object) -> DecisionRule:
    """By feel is one person's choice after practice, never an engine's."""
    found = next((r for r in (DecisionRule.PLAIN, DecisionRule.PROVED) if r.value == value), None)
    if found is None:
        raise FaultyQuantity(described(value), '"plain" or "proved"')
    return found


def _band(table: Table, key: str) -> Band | None:
    if not table.has(key):
        return None
    raw = table.data[key]
    if _one_in_two_units(raw):
        once = f'"{raw[0]} ({raw[1]})"'
        table.fault(key, "one figure in two units, not a range", f"{once} for the one figure")
        return None
    figures: tuple[Length | None, ...]
    if not isinstance(raw, list):
        figures = (table.take(key, _clearance),)
    else:
        figures = table.each(key, _clearance, _WANTED) or ()
        if len(raw) != 2:  # noqa: PLR2004 - from and to
            table.fault(key, described(raw), _WANTED)
            return None
        if len(figures) != len(raw):
            return None
    low, high = figures[0], figures[-1]
    if low is None or high is None:
        return None
    if low > high:
        table.fault(key, f"{low} to {high}, upside down", "the smaller figure first")
        return None
    if high == ZERO:
        table.fault(key, "no clearance at all", _WANTED)
        return None
    return Band(low, high)


def _one_in_two_units(raw: object) -> TypeGuard[list[str]]:
    """Whether ``["0.011 in", "0.28 mm"]`` says one figure twice: other units, the same length."""
    if not (isinstance(raw, list) and len(raw) == 2 and all(isinstance(r, str) for r in raw)):  # noqa: PLR2004 - a pair
        return False
    units = [re.sub(r"[^a-z]", "", text.lower()) for text in raw]
    try:
        return units[0] != units[1] and agree(raw[0], raw[1], _length_ends)
    except FaultyQuantity:
        return False
