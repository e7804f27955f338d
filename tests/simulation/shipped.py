"""The mixed fleet: the engines of the shipped sheets with the shipped blade sets that suit them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from benchtui.domain.length import Length
from benchtui.domain.sheet import AdjusterKind, Band, Sheet
from benchtui.store.library import Library
from benchtui.store.paths import shipped_specs
from tests.engines import band
from tests.simulation.fleet import Case, blade_set, engine

OWN_BAND = Length.mm("0.03")
"""The owner's own tolerance either side of a single figure, as in the stories."""

SPARSE = blade_set("sparse", *(f"0.{k:02}" for k in range(3, 11)), "0.15", "0.20", "0.25", "0.30")
"""The set of the story that is settled by a stack."""

STACKED = Case(engine("stacked", 1, band("0.28", "0.34"), band("0.28", "0.34")), SPARSE)


@cache
def mixed_fleet() -> tuple[Case, ...]:
    """Every shipped sheet with screws or shims, each with every shipped set that suits it.

    A set suits where two of its leaves at least lie in each range, for it takes one that goes and
    one that refuses to show that a clearance is in it. The engine that is settled by a stack comes
    on top: the other stories play on shipped sheets.

    Raises:
        FaultyInput: a shipped file has faults.
    """
    specs = shipped_specs()
    shelf = Library((specs,), (specs / "blades",))
    sheets = [_with_ranges(shelf.sheet(name)) for name in shelf.sheet_names()]
    sets = [shelf.blades(name) for name in shelf.blade_names()]
    cases = [
        Case(s, b) for s in sheets if s.adjuster.kind is not AdjusterKind.HYDRAULIC for b in sets
    ]
    return (*(case for case in cases if all(_suits(case, asked) for asked in case.bands)), STACKED)


def _suits(case: Case, asked: Band) -> bool:
    return sum(asked.low <= leaf.thickness <= asked.high for leaf in case.blades.leaves) > 1


def _with_ranges(sheet: Sheet) -> Sheet:
    """Single figures with the owner's own band about them."""
    printed = tuple(
        (kind, role, asked if asked.width.nm else Band(asked.low - OWN_BAND, asked.high + OWN_BAND))
        for kind, role, asked in sheet.clearances.printed
    )
    return replace(sheet, clearances=replace(sheet.clearances, printed=printed))
