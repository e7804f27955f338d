"""The metal's temperature: whether a reading may be judged at it."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.sheet import Clearances, Condition


def bounds_wanted(clearances: Clearances) -> str:
    """``below 35 C``, ``above 60 C`` or both; empty where the sheet asks for nothing."""
    below, above = clearances.metal_below, clearances.metal_above
    bounds = [f"below {float(round(below, 1)):g} C"] if below is not None else []
    bounds += [f"above {float(round(above, 1)):g} C"] if above is not None else []
    return " and ".join(bounds)


def temperature_fault(clearances: Clearances, metal_c: Fraction | None) -> str:
    """Why no verdict may be given at this metal temperature; empty where one may.

    A clearance is never converted between temperatures: published warm-up tables are not even
    monotonic.
    """
    below, above = clearances.metal_below, clearances.metal_above
    wanted = bounds_wanted(clearances)
    if not wanted:
        return ""
    if metal_c is None:
        return f"metal temperature not taken; the sheet wants it {wanted}"
    if (below is None or metal_c < below) and (above is None or metal_c > above):
        return ""
    what_to_do = (
        "wait until it has cooled"
        if clearances.condition is Condition.COLD
        else "bring it to the sheet's temperature first"
    )
    return f"the metal is at {float(round(metal_c, 1)):g} C and the sheet wants it {wanted}: {what_to_do}"
