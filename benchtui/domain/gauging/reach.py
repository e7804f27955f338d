"""Whether a set of blades reaches a limit: on one leaf, or on a stack that adds up to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from benchtui.domain.blades import MOST_STACKED, BladeSet, Feeler
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Sheet, setting_range


@dataclass(frozen=True, slots=True)
class Reached:
    """A limit and the fewest leaves that make it exactly; None where no stack of the set does."""

    limit: Length
    feeler: Feeler | None

    @property
    def leaves(self) -> int:
        """How many leaves it takes; 0 where it is not reached."""
        return 0 if self.feeler is None else len(self.feeler.leaves)


def reach(blades: BladeSet, limit: Length) -> Reached:
    """The fewest leaves of the set that add up to this limit, by their best known thickness."""
    fitting = [leaf for leaf in blades.leaves if leaf.thickness <= limit]
    for count in range(1, MOST_STACKED):
        for leaves in combinations(fitting, count):
            if sum(leaf.thickness.nm for leaf in leaves) == limit.nm:
                return Reached(limit, Feeler(leaves))
    by_size = {leaf.thickness: leaf for leaf in fitting}
    for first, second in combinations(fitting, MOST_STACKED - 1):
        rest = limit.nm - first.thickness.nm - second.thickness.nm
        third = by_size.get(Length(rest)) if rest > 0 else None
        if third is not None and third not in (first, second):
            return Reached(limit, Feeler((first, second, third)))
    return Reached(limit, None)


def limits_of(sheet: Sheet) -> tuple[Length, ...]:
    """Every limit that decides at a valve of this engine, thinnest first, each once.

    Single figures without a band on the sheet are taken as they are printed.
    """
    ends: set[Length] = set()
    for valve in sheet.layout.valves:
        found = setting_range(sheet, valve)
        band = sheet.clearances.of(valve) if found is None else found.band
        ends |= {band.low, band.high}
    return tuple(sorted(end for end in ends if end > ZERO))


def reaches(blades: BladeSet, limits: Iterable[Length]) -> tuple[Reached, ...]:
    """Each of these limits with the leaves that make it."""
    return tuple(reach(blades, limit) for limit in limits)
