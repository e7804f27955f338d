"""Going round a stop by the leaf, beside going valve by valve: changes of the blade in hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from benchtui.bench import Bench
from benchtui.domain.blades import Feeler
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import (
    CrankTurned,
    Evidence,
    Opened,
    Particulars,
    ReadingTaken,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.round_by_leaf import wanting
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.metal import Metal, true_leaves
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from tests.simulation.cheapest_round import at_one_valve, round_by_leaf
from tests.simulation.drifted import DAY, NEGLECTED, WELL_KEPT, Moved, gaps_of, sixteen
from tests.simulation.fleet import HUNDREDTHS
from tests.simulation.player import MOST_STEPS


@dataclass(slots=True)
class Went:
    """Over so many engines: insertions, changes of the blade in hand, moves from valve to valve."""

    engines: int = 0
    insertions: int = 0
    changes: int = 0
    moves: int = 0

    def __str__(self) -> str:
        each = (self.insertions, self.changes, self.moves)
        inserted, changed, moved = (n / self.engines for n in each)
        return f"{inserted:5.1f} insertions {changed:5.1f} changes {moved:5.1f} moves"


Step = tuple[Feeler, str]


def best_at_each(state: State, _held: Feeler | None, _at: str | None) -> Step | None:
    """Valve by valve, always the best blade."""
    first = next(iter(wanting(state)), None)
    return None if first is None else (first.losses[0][0], first.valve)


def held_at_each(state: State, held: Feeler | None, _at: str | None) -> Step | None:
    """Valve by valve, beginning with the leaf in hand where it loses little."""
    first = next(iter(wanting(state)), None)
    if first is None:
        return None
    feeler = at_one_valve(state, first.valve, held)
    return None if feeler is None else (feeler, first.valve)


def by_leaf(state: State, held: Feeler | None, at: str | None) -> Step | None:
    """The leaf in hand round the whole stop."""
    found = round_by_leaf(state, held, at=at)
    return None if found is None else (found.feeler, found.here)


ORDERS = {
    "valve by valve": best_at_each,
    "leaf in hand first": held_at_each,
    "by the leaf": by_leaf,
}


def go_round(way: str, moved: Moved, seed: int, *, engines: int) -> Went:
    """Sixteen valves at four stops of four, as found."""
    went, sheet, order = Went(engines), sixteen(), ORDERS[way]
    for number in range(engines):
        random = Random(f"{seed}/{moved.what}/{number}")
        leaves = true_leaves(HUNDREDTHS, random)
        gaps = gaps_of(sheet, moved, random)
        metal = Metal(sheet, HUNDREDTHS, STORY_HAND, random, gaps=gaps, leaves=leaves)
        who = Particulars(metal_c=Fraction(20))
        opened = Opened("rounds", sheet, HUNDREDTHS.name, HUNDREDTHS, who)
        bench = Bench.open(MemoryJournal(), clock_from(DAY), opened)
        crank = Fraction(0)
        held: Feeler | None = None
        at: str | None = None
        for cylinder in sheet.layout.firing_order:
            if cylinder.firing > crank:
                bench.do(CrankTurned(cylinder.firing - crank))
                crank = cylinder.firing
            bench.do(ConfirmPosition(cylinder.name, (Evidence.MARK, Evidence.INLET)))
            for _ in range(MOST_STEPS):
                step = order(bench.state, held, at)
                if step is None:
                    break
                feeler, name = step
                went.insertions += 1
                went.changes += held is None or feeler.marks != held.marks
                went.moves += name != at
                held, at = feeler, name
                bench.do(ReadingTaken(name, feeler, metal.feel(name, feeler)))
    return went


def round_lines(seed: int, *, engines: int) -> Iterator[str]:
    """The table."""
    yield "ROUND BY THE LEAF: sixteen valves at four stops of four; usual hand, an engine:"
    for moved in (WELL_KEPT, NEGLECTED):
        for way in ORDERS:
            yield f"  {moved.what:12} {way:20} {go_round(way, moved, seed, engines=engines)}"
