"""Many rehearsed sessions counted up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.session.facts.events import Opened
from benchtui.practice.hand import Hand
from benchtui.practice.metal import Metal, draw_gaps, true_leaves
from tests.simulation.fleet import Case
from tests.simulation.player import Choice, Played, by_the_bench, play


@dataclass(slots=True)
class Tally:
    """Counts over valves, verdicts and brackets; see the report for what they mean."""

    sessions: int = 0
    valves: int = 0
    insertions: int = 0
    halves: int = 0
    undecided: int = 0
    done: int = 0
    brackets: int = 0
    missed: int = 0
    worst_miss: int = 0
    in_plain: int = 0
    false_in_plain: int = 0
    in_proved: int = 0
    false_in_proved: int = 0
    out: int = 0
    false_out: int = 0
    overlaps: int = 0
    overlaps_seen: int = 0
    struck: int = 0
    each: list[tuple[int, int, bool]] = field(default_factory=list)
    """Valve by valve: insertions, their cost in halves, and whether it was decided."""

    def take(self, played: Played) -> None:
        """Count one session in."""
        self.sessions += 1
        self.overlaps += played.overlaps
        self.overlaps_seen += played.overlaps_seen
        for log in played.valves:
            self.valves += 1
            self.insertions += log.insertions
            self.halves += log.halves
            self.undecided += not log.settled
            self.done += log.done
            self.brackets += log.held + log.missed
            self.missed += log.missed
            self.worst_miss = max(self.worst_miss, log.worst_miss)
            self.struck += log.struck
            self.each.append((log.insertions, log.halves, log.settled))
            for said in log.said:
                if said.kind is VerdictKind.IN and said.proved:
                    self.in_proved += 1
                    self.false_in_proved += not said.truly_in
                elif said.kind is VerdictKind.IN:
                    self.in_plain += 1
                    self.false_in_plain += not said.truly_in
                elif said.kind.out:
                    self.out += 1
                    self.false_out += said.truly_in

    @property
    def a_valve(self) -> float:
        """Insertions a valve, as found."""
        return self.insertions / self.valves

    @property
    def cost_a_valve(self) -> float:
        """The same with a stack of two as 1.5 and of three as 2."""
        return self.halves / self.valves / 2


@dataclass(frozen=True, slots=True)
class Beside:
    """Two ways of choosing over the same valves: insertions a valve, and their cost with stacks weighed."""

    valves: int
    ours: float
    theirs: float
    our_cost: float
    their_cost: float

    @property
    def ratio(self) -> float:
        """Ours to theirs, each insertion as one."""
        return self.ours / self.theirs

    @property
    def weighed(self) -> float:
        """Ours to theirs, a stack of two as 1.5 and of three as 2."""
        return self.our_cost / self.their_cost


def beside(ours: Tally, theirs: Tally) -> Beside:
    """Valve by valve, those that both have decided.

    Raises:
        ValueError: they did not play the same valves, or decided none together.
    """
    both = [(a, b) for a, b in zip(ours.each, theirs.each, strict=True) if a[2] and b[2]]
    if not both:
        raise ValueError("no valve was decided by both")
    count = len(both)
    mine, other = (sum(pair[k][0] for pair in both) / count for k in (0, 1))
    cost, their_cost = (sum(pair[k][1] for pair in both) / count / 2 for k in (0, 1))
    return Beside(count, mine, other, cost, their_cost)


def rehearse(
    fleet: Sequence[Case],
    hand: Hand,
    seed: int,
    *,
    sessions: int,
    rule: DecisionRule = DecisionRule.PLAIN,
    choose: Choice = by_the_bench,
) -> Tally:
    """So many sessions on each engine of the fleet.

    The same seed draws the same clearances and leaves whatever the hand, the rule and the way of
    choosing.
    """
    tally = Tally()
    for number, case in enumerate(fleet):
        for session in range(sessions):
            truth = Random(f"{seed}/{number}/{session}")
            gaps = draw_gaps(case.sheet, truth)
            leaves = true_leaves(case.blades, truth)
            metal = Metal(case.sheet, case.blades, hand, truth, gaps=gaps, leaves=leaves)
            opened = Opened(
                "rehearsal", case.sheet, case.blades.name, case.blades, case.particulars, rule=rule
            )
            tally.take(play(opened, metal, choose=choose))
    return tally
