"""Which valve is worth one finer reading this time, so that wear can be learned.

Whoever tries no more blades than a verdict needs leaves brackets as wide as the range, and learns of
a drift only when the valve is out. One valve read finely each time, two of a kind in turn, shows a
drift sooner; sisters learn from it. The price is two leaves at one valve: with few valves not at
every check, so that it stays under ``MOST`` insertions a valve (measured: see
tests/simulation/wear_lives.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from benchtui.domain.history.course import courses, fine_enough, meter_of
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Band, GapRole, Sheet, ValveKind

LEAVES = 2
"""A finer reading takes about so many leaves more: each halves the bracket."""

MOST = Fraction(2, 5)
"""So many insertions more a valve and check at most, on the mean (design value)."""

TWICE = 2
"""A valve found out so often is known to move, and is read finely without being asked (design
value)."""

IN_TURN = 2
"""So many valves of a kind take turns: of more, none is read again before it is out."""


@dataclass(frozen=True, slots=True)
class KnownValve:
    """What past checks know of one valve.

    ``out`` counts the checks that found it out of range, ``fine`` how many checks ago its bracket was
    last fine enough (0 is the last check), None where never.
    """

    valve: str
    kind: ValveKind
    band: Band
    out: int = 0
    fine: int | None = None
    role: GapRole = GapRole.OPENER


@dataclass(frozen=True, slots=True)
class FinerReading:
    """Once ``valve`` is in range, read it on until its bracket is no wider than ``enough``.

    ``asked``: the owner has to ask for it; else it is on by itself, for the valve was out twice.
    """

    valve: str
    enough: Length
    asked: bool


def finer_reading(candidates: Sequence[KnownValve]) -> FinerReading | None:
    """The one valve to read finely at the coming check; None at this check.

    Args:
        candidates: every valve of the engine that has a range, in the sheet's order.

    Valves found out twice come first; where there is none, the offer is the owner's to take. Of
    each kind two take turns, those most often out; of them the one that was longest not read finely.
    """
    if not candidates:
        return None
    every = ceil(LEAVES / (MOST * len(candidates)))
    read = [c.fine for c in candidates if c.fine is not None]
    if read and min(read) + 1 < every:
        return None
    moving = [c for c in candidates if c.out >= TWICE]
    pool = _in_turn(moving or candidates)
    chosen = max(pool, key=lambda c: (c.fine is None, c.fine or 0, c.out))
    return FinerReading(chosen.valve, fine_enough(chosen.band), asked=not moving)


def finer_of(
    records: Sequence[SessionRecord], sheet: Sheet, *, unasked: bool = True
) -> FinerReading | None:
    """The one valve of an engine to read finely at its coming check, by all of its records.

    ``unasked``: only where a valve has been found out twice. None where no counter was ever read,
    for then nothing tells how fast a valve moves.
    """
    meter = meter_of(records)
    known = {c.valve: c for c in courses(records, meter, sheet)} if meter is not None else {}
    mine = [known[v.name] for v in sheet.layout.valves if v.name in known]
    told = finer_reading(
        [
            KnownValve(c.valve, c.kind, c.band, c.out, c.fine, c.role)
            for c in mine
            if c.band.width > ZERO  # on the figure there is no range to wear through
        ]
    )
    return None if told is None or (told.asked and unasked) else told


def _in_turn(candidates: Sequence[KnownValve]) -> list[KnownValve]:
    """The two of each kind that are most often out, in the order of the sheet."""
    pool = []
    for kind in dict.fromkeys((c.kind, c.role) for c in candidates):
        mine = [c for c in candidates if (c.kind, c.role) == kind]
        pool += sorted(mine, key=lambda c: -c.out)[:IN_TURN]
    return pool
