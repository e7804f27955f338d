"""First locks, blades and turns by three kinds of hand: valves that are all out of range and are set."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.session.facts.events import Opened, Particulars, ScrewSetOn, ScrewTurned
from benchtui.domain.session.valve.lock_shift import shifts_seen
from benchtui.practice.hand import Hand
from benchtui.practice.metal import Metal
from tests.simulation.fleet import FINE
from tests.simulation.player import by_the_bench, play
from tests.simulation.settings import PAST, SLIPPING, at_once, out_of_range

ROUND = 4
"""Sessions on one engine, each of which teaches the next."""


@dataclass(slots=True)
class Set:
    """Over ``locked`` valves: in range after the first locking, blades in all, turns, lockings."""

    locked: int = 0
    first_in: int = 0
    insertions: int = 0
    turns: int = 0
    lockings: int = 0
    not_done: int = 0

    @property
    def share(self) -> float:
        """In range after the first locking."""
        return self.first_in / max(1, self.locked)

    @property
    def turns_each(self) -> float:
        """Turns a valve that was set."""
        return self.turns / max(1, self.locked)

    def __str__(self) -> str:
        many = max(1, self.locked)
        return (
            f"first lock {self.share:.3f}, {self.insertions / many:.2f} insertions, "
            f"{self.turns_each:.2f} turns, {self.lockings / many:.2f} lockings of {self.locked}"
        )


def valves_set(hand: Hand, seed: int, *, rounds: int, between: bool, by_blade: bool = False) -> Set:
    """Rounds of sessions with eight valves each; ``between``: a blade before locking where it pays.

    ``by_blade``: set on a blade held in the gap, where a leaf near the aim exists.
    """
    found = Set()
    for number in range(rounds):
        past: tuple[Shift, ...] = ()
        for session in range(ROUND):
            random = Random(f"{seed}/{number}/{session}")
            gaps = out_of_range(SLIPPING, FINE, random)
            metal = Metal(SLIPPING, FINE, hand, random, gaps=gaps)
            opened = Opened("hands", SLIPPING, FINE.name, FINE, Particulars(), past_shifts=past)
            choose = by_the_bench if between else at_once
            played = play(opened, metal, choose=choose, by_blade=by_blade)
            past = (*past, *shifts_seen(played.bench.state))[-PAST:]
            found.turns += sum(
                isinstance(e.fact, ScrewTurned | ScrewSetOn) for e in played.bench.events
            )
            for valve in played.valves:
                if valve.locks:
                    found.locked += 1
                    found.first_in += bool(valve.first_lock_in)
                    found.insertions += valve.all_insertions
                    found.lockings += len(valve.locks)
                    found.not_done += not valve.done
    return found
