"""What past sessions say of the blades: leaves to doubt, and sizes that were lacking."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchtui.domain.blades import BladeSet
from benchtui.domain.gauging.lacking import CannotDecide, blades_to_get, lacking
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord

OFTEN = 2
"""In so many sessions a leaf must have been in doubt to be suspected: once may be dirt (design
value)."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A leaf that disagreed with its neighbours, or was struck out, in so many sessions."""

    marked: Length
    sessions: int


def suspects(records: Iterable[SessionRecord], blades: str) -> tuple[Suspect, ...]:
    """The leaves of one set that are often in doubt, the most often first.

    A leaf is in doubt in a session where taking its reading away would heal a contradiction, where
    it disagreed with another within their errors, or where its reading was struck out or set aside.
    It may be bent, dirty, worn or stamped wrongly; a micrometer tells.
    """
    count = Counter(
        mark for r in records if r.blades == blades and r.counts for mark in _doubted(r)
    )
    often = [Suspect(mark, times) for mark, times in count.items() if times >= OFTEN]
    return tuple(sorted(often, key=lambda s: (-s.sessions, s.marked)))


def _doubted(record: SessionRecord) -> set[Length]:
    """Single leaves only: in a stack nobody can tell which leaf it was."""
    readings = [r for v in record.valves for r in (*v.struck, *v.set_aside)]
    for valve in record.valves:
        for gauged in _told(valve):
            readings += [r for heal in gauged.verdict.heals for r in heal]
            readings += gauged.verdict.disagreeing
    return {r.feeler.marks[0] for r in readings if len(r.feeler.marks) == 1}


def to_get(
    records: Sequence[SessionRecord], key: str, blades: BladeSet
) -> tuple[tuple[Length, int], ...]:
    """The sizes that valves left undecided would have needed and that the set has not got."""
    owned = {leaf.thickness for leaf in blades.leaves} | {leaf.marked for leaf in blades.leaves}
    lacks = [
        lack
        for record in records
        if record.blades == key and record.counts
        for valve in record.valves
        for lack in _lacks(valve)
    ]
    return tuple((size, times) for size, times in blades_to_get(lacks) if size not in owned)


def _lacks(valve: ValveRecord) -> Iterable[CannotDecide]:
    if valve.setting is None:
        return
    for gauged in _told(valve):
        if gauged.verdict.kind is VerdictKind.UNDECIDED:
            yield lacking(gauged.bracket, valve.setting, proof=False)


def _told(valve: ValveRecord) -> tuple[Gauged, ...]:
    """As found, and as left where that is another measurement."""
    if valve.found is None:
        return () if valve.left is None else (valve.left,)
    if valve.left is None or not valve.touched:
        return (valve.found,)
    return (valve.found, valve.left)
