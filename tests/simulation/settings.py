"""Setting rehearsed: valves that are all out of range, so that every one is turned and locked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from random import Random
from statistics import mean, stdev

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.turns import Turn, turn_for
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.lock_shift import shifts_seen
from benchtui.domain.sheet import Sheet
from benchtui.practice.hand import Hand
from benchtui.practice.metal import Metal, drawn
from tests.engines import band
from tests.simulation.fleet import FINE, engine
from tests.simulation.player import Aim, Choice, as_told, by_the_bench, play

PAST = 20
"""So many of the latest shifts are carried on, as the workshop does."""

SLIPPING = engine("slipping", 4, band("0.08", "0.12"), band("0.10", "0.14"))
"""Eight valves with narrow ranges and nuts that take the screw along."""


class Teaching(Enum):
    """What the bench is allowed to know of the nuts."""

    NONE = "no learning"
    LEARNING = "learning"
    TOLD = "told the mean"


@dataclass(slots=True)
class Share:
    """Of ``locked`` valves ``first_in`` were in range after the first locking.

    ``between`` are the readings taken with the nut slack, ``lockings`` all lockings.
    """

    locked: int = 0
    first_in: int = 0
    between: int = 0
    lockings: int = 0

    @property
    def share(self) -> float:
        """In range after the first locking."""
        return self.first_in / self.locked if self.locked else 0.0


def out_of_range(sheet: Sheet, blades: BladeSet, random: Random) -> dict[str, int]:
    """A clearance for every valve, out of range and well within the reach of the leaves."""
    thin, thick = blades.leaves[0], blades.leaves[-1]
    low = thin.thickness.nm + 2 * thin.error.nm
    high = thick.thickness.nm - 3 * thick.error.nm
    gaps = {}
    for valve in sheet.layout.valves:
        asked = sheet.clearances.of(valve)
        gap = asked.middle.nm
        while asked.low.nm <= gap <= asked.high.nm or not low <= gap < high:
            gap = drawn(from_setting(asked), random)
        gaps[valve.name] = gap
    return gaps


def straight_at_the_middle(sheet: Sheet) -> Aim:
    """A turn to the middle of the range, whatever the nut may do."""

    def aim(state: State, view: ValveView) -> Turn | None:
        del state
        if view.setting is None:
            return None
        asked = view.setting.band
        try:
            return turn_for(view.bracket, asked.middle, asked, sheet.adjuster)
        except Refusal:
            return None

    return aim


def at_once(state: State, view: ValveView) -> Feeler | None:
    """Lock without a reading between."""
    return None if view.slack_nut else by_the_bench(state, view)


def shares(
    teaching: Teaching,
    hand: Hand,
    seed: int,
    *,
    rounds: int,
    sessions: int = 5,
    between: bool = False,
    sheet: Sheet = SLIPPING,
    blades: BladeSet = FINE,
) -> list[Share]:
    """Rounds of so many sessions on one engine each; the shares of the first, second ... sessions.

    The same seed gives every bench the same engines, turns and nuts. Each session teaches the next of
    its round, if the bench may learn at all.
    """
    told = Shift(Length(-hand.lock_closes), Length(-hand.lock_closes))
    choose: Choice = by_the_bench if between else at_once
    aim = straight_at_the_middle(sheet) if teaching is Teaching.NONE else as_told
    found = [Share() for _ in range(sessions)]
    for number in range(rounds):
        past: tuple[Shift, ...] = (told,) * PAST if teaching is Teaching.TOLD else ()
        for session, share in enumerate(found):
            random = Random(f"{seed}/{number}/{session}")
            metal = Metal(sheet, blades, hand, random, gaps=out_of_range(sheet, blades, random))
            opened = Opened(
                "rehearsal", sheet, blades.name, blades, Particulars(), past_shifts=past
            )
            played = play(opened, metal, choose=choose, aim=aim)
            if teaching is Teaching.LEARNING:
                past = (*past, *shifts_seen(played.bench.state))[-PAST:]
            for valve in played.valves:
                if valve.locks:
                    share.locked += 1
                    share.first_in += bool(valve.first_lock_in)
                    share.between += valve.between
                    share.lockings += len(valve.locks)
    return found


@dataclass(frozen=True, slots=True)
class Spread:
    """A mean over several seeds, and its standard error."""

    mean: float
    error: float

    def __str__(self) -> str:
        return f"{self.mean:.3f} +-{self.error:.3f}"


Rounds = list[list[Share]]
"""Seed by seed, the shares of the first, second ... sessions."""


def _spread(of_seeds: Sequence[float]) -> Spread:
    count = len(of_seeds)
    error = stdev(of_seeds) / math.sqrt(count) if count > 1 else 0.0
    return Spread(mean(of_seeds), error)


def in_range(every: Rounds) -> Spread:
    """The share in range after the first locking, over all sessions."""
    return _spread([together(one).share for one in every])


def less(a: Rounds, b: Rounds, first: int = 0) -> Spread:
    """By how much the one is above the other, seed by seed, from the session numbered ``first`` (0 up)."""
    pairs = zip(a, b, strict=True)
    return _spread([together(x[first:]).share - together(y[first:]).share for x, y in pairs])


def together(found: list[Share]) -> Share:
    """All sessions of the rounds in one."""
    return Share(
        sum(s.locked for s in found),
        sum(s.first_in for s in found),
        sum(s.between for s in found),
        sum(s.lockings for s in found),
    )
