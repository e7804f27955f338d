"""Lives of valves that never were: how early wear is foretold, how often wrongly, and at what price.

``python -m tests.simulation.wear_lives --lives 60`` prints the table. A life is one kind of valves of
an engine over twelve checks: true leaves, true gaps, three hands with their own noise, the bench's own
choice of blades, valves set when found out of range and at no other time, by a turn and a lock that
are off as a hand and a nut are. Drifts are drawn here by laws of their own, not from the prior of the
estimate: a kind's drift evenly in its logarithm from a twentieth to half of the range from one check
to the next, its valves' about it by a third; one odd valve alone; or none at all.

What is true is known to the count only. A valve *leaves* when its true gap goes through a limit of the
range; it was *foretold* if the last check before gave a place from and to.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from math import exp, log
from random import Random

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Bracket, Reading, bracket_of
from benchtui.domain.gauging.felt import felt
from benchtui.domain.gauging.finer_leaf import finer_leaf
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.history.course import fine_enough
from benchtui.domain.history.estimate import Estimate, estimates
from benchtui.domain.history.finer import KnownValve, finer_reading
from benchtui.domain.history.slopes import Seen
from benchtui.domain.history.wear import ProvedTrend, ValveCheck, runs, wear_of
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band, ValveKind
from benchtui.practice.hand import UM, Hand
from tests.engines import band
from tests.simulation.fleet import COARSE, FINE, HUNDREDTHS, MIXED

CHECKS, INTERVAL = 12, 5000
HANDS = (
    Hand(noise=2 * UM),
    Hand(free_above=8 * UM, drag_above=-8 * UM, noise=2 * UM),
    Hand(free_above=14 * UM, drag_above=0, noise=2 * UM),
)
ENGINES: tuple[tuple[Band, BladeSet, int], ...] = (
    (band("0.08", "0.12"), FINE, 1),
    (band("0.08", "0.12"), FINE, 4),
    (band("0.15", "0.25"), COARSE, 4),
    (band("0.20", "0.30"), HUNDREDTHS, 4),
    (band("0.28", "0.34"), MIXED, 4),
)
DRIFTS = ("closing", "odd", "steady")
WAYS = ("none", "by itself", "asked for")
"""Finer readings: none, where a valve was found out twice, or at every turn."""


@cache
def _advice(
    bracket: Bracket, setting: Band, blades: BladeSet, tried: frozenset[Feeler]
) -> Feeler | None:
    prior = from_setting(setting)
    told = next_blade(bracket, blades, setting, prior=prior, window=setting.width, tried=tried)
    return told.feeler if isinstance(told, NextBlade) else None


@dataclass
class Valve:
    """True gap and drift in nanometres (a km), and what the checks have said."""

    gap: float
    slope: float
    checks: list[ValveCheck] = field(default_factory=list)
    out: int = 0
    fine: int | None = None
    forecast: tuple[float, float] | None = None
    claimed: bool = False
    left: int = 0


class Life:
    """One kind of valves of one engine, checked by one hand."""

    def __init__(self, number: int, drift: str, seed: int, wrong: float = 0.0) -> None:
        self.random = random = Random(f"{seed}-{number}")
        self.setting, self.blades, count = ENGINES[number % len(ENGINES)]
        self.hand = HANDS[number // len(ENGINES) % len(HANDS)]
        self.wrong = wrong
        self.leaves: dict[Leaf, int] = {
            leaf: leaf.thickness.nm + random.randint(-leaf.error.nm, leaf.error.nm)
            for leaf in self.blades.leaves
        }
        self.nut = random.gauss(-12, 8) * UM
        self.x = Fraction(0)
        self.tries = self.extra = 0
        wide = self.setting.width.nm
        kind = -wide / INTERVAL * exp(random.uniform(log(0.05), log(0.5)))
        odd = random.randrange(count)
        slopes = {
            "closing": [kind * exp(random.gauss(0, 0.35)) for _ in range(count)],
            "odd": [kind if k == odd else 0.0 for k in range(count)],
            "steady": [0.0] * count,
        }[drift]
        self.valves = [Valve(self._first_gap(wide), slope) for slope in slopes]

    def _first_gap(self, wide: int) -> float:
        beside = 0.0 if self.random.random() < 0.85 else wide / 2
        return self.random.uniform(self.setting.low.nm - beside, self.setting.high.nm + beside)

    def feel(self, gap: float, feeler: Feeler) -> Answer:
        """What the hand says; now and then it says something else."""
        joints = sum(self.random.randint(0, 7 * UM) for _ in feeler.leaves[1:])
        size = sum(self.leaves[leaf] for leaf in feeler.leaves) + joints
        said = self.hand.feel(round(self.random.gauss(gap, self.hand.noise)), size)
        if self.random.random() < self.wrong:
            said = self.random.choice([a for a in Answer if a is not said])
        return said

    def gauge(self, valve: Valve, *, finely: bool) -> list[Reading]:
        """To the verdict as the bench advises, and finer where it is this valve's turn."""
        readings: list[Reading] = []
        while len(readings) < 12:
            tried = frozenset(r.feeler for r in readings)
            feeler = _advice(bracket_of(readings), self.setting, self.blades, tried)
            if feeler is None:
                break
            readings.append(Reading(feeler, self.feel(valve.gap, feeler)))
        self.tries += len(readings)
        while finely and not self._out(here := bracket_of(readings)):
            leaf = finer_leaf(here, self.blades, fine_enough(self.setting))
            if leaf is None:
                break
            readings.append(Reading(leaf, self.feel(valve.gap, leaf)))
            self.extra += 1
        return readings

    def check(self, valve: Valve, *, finely: bool) -> None:
        """Gauge it, and set it where it is out."""
        found = self.gauge(valve, finely=finely)
        here, last, moved = bracket_of(found), found, None
        if out := self._out(here):
            valve.out += 1
            low = high = 0
            for _ in range(4):
                if here.width is None or here.clash:
                    break
                wanted = (self.setting.middle - here.low).nm - here.width.nm // 2
                hand = self.random.uniform(-10.4, 10.4) * UM
                valve.gap += wanted + hand + self.nut + self.random.gauss(0, 6) * UM
                valve.gap = max(0.0, valve.gap)
                low, high = low + wanted - 45 * UM, high + wanted + 25 * UM
                last = self.gauge(valve, finely=finely)
                here = bracket_of(last)
                if not self._out(here):
                    break
            moved = (Length(low), Length(high))
        seen = self._seen(found)
        valve.checks.append(ValveCheck(seen, self._seen(last) if out else None, out, moved))
        brackets = [bracket_of(readings) for readings in (found, last)]
        fine = any(b.width is not None and b.width <= fine_enough(self.setting) for b in brackets)
        valve.fine = 0 if fine else None if valve.fine is None else valve.fine + 1

    def _out(self, here: Bracket) -> bool:
        if here.high is None or here.clash:
            return False
        return here.high <= self.setting.low or here.low >= self.setting.high

    def _seen(self, readings: list[Reading]) -> Seen | None:
        here = bracket_of(readings)
        return None if here.clash else Seen.of(self.x, here, widened=True, felt=felt(readings))

    def turn(self, way: str) -> str | None:
        """The valve to read finely now, by name."""
        told = finer_reading(
            [
                KnownValve(str(k), ValveKind.EXHAUST, self.setting, v.out, v.fine)
                for k, v in enumerate(self.valves)
            ]
        )
        if told is None or way == "none" or (told.asked and way == "by itself"):
            return None
        return told.valve

    def estimated(self) -> dict[str, Estimate]:
        """What the checks so far let one guess."""
        seen = {str(k): runs(v.checks) for k, v in enumerate(self.valves)}
        known = {name: each for name, each in seen.items() if each}
        return estimates(known, self.setting.width.nm / INTERVAL) if known else {}

    def inside(self, valve: Valve) -> bool:
        """Whether the true gap is in range."""
        return self.setting.low.nm <= valve.gap <= self.setting.high.nm


def live(life: Life, way: str, count: Counter[str]) -> None:
    """One whole life, counted up."""
    for number in range(CHECKS):
        finely = life.turn(way)
        for k, valve in enumerate(life.valves):
            life.check(valve, finely=str(k) == finely)
        told = life.estimated() if number else {}
        for k, valve in enumerate(life.valves):
            valve.forecast = None
            if str(k) in told:
                _judge(life, valve, told[str(k)], count)
        _drive(life, count)
    count["valves"] += len(life.valves)
    count["claimed"] += sum(v.claimed for v in life.valves)
    count["extra"] += life.extra
    count["tries"] += life.tries
    count["checks"] += CHECKS * len(life.valves)


def _judge(life: Life, valve: Valve, told: Estimate, count: Counter[str]) -> None:
    low, high = told.band
    count["bands"] += 1
    count["bands held"] += low <= valve.slope <= high
    count["proofs wrong"] += _wrongly_proved(valve)
    if told.trend is ProvedTrend.NONE:
        return
    valve.claimed = True
    closing = told.trend is ProvedTrend.CLOSING
    limit = life.setting.low.nm if closing else life.setting.high.nm
    first, _, last = told.meets(limit)
    if last is None:
        return
    if valve.slope and (valve.slope < 0) == closing:
        true = float(life.x) + (limit - valve.gap) / valve.slope
        if true < float(life.x):
            return  # out already, and the check has not seen it: no place ahead to hold
        count["forecasts"] += 1
        count["forecasts held"] += max(first, float(life.x)) <= true <= last
        valve.forecast = (first, last)


def _wrongly_proved(valve: Valve) -> bool:
    slope = wear_of(runs(valve.checks)[-1]).slope
    if slope is None:
        return False
    below = slope.low is not None and valve.slope < slope.low
    return below or (slope.high is not None and valve.slope > slope.high)


def _drive(life: Life, count: Counter[str]) -> None:
    way = Fraction(round(INTERVAL * life.random.uniform(0.8, 1.2)))
    life.x += way
    for valve in life.valves:
        before = life.inside(valve)
        valve.gap = max(0.0, valve.gap + valve.slope * float(way))
        if before and not life.inside(valve):
            kinds = ["left", "left again" if valve.left else "left first"]
            for kind in kinds:
                count[kind] += 1
                count[f"{kind}, foretold"] += valve.forecast is not None
            valve.left += 1


def lived(drift: str, way: str, lives: int, seed: int, wrong: float = 0.0) -> Counter[str]:
    """So many lives of one law of drift with one way of reading finely."""
    count: Counter[str] = Counter()
    for number in range(lives):
        live(Life(number, drift, seed, wrong), way, count)
    return count


COLUMNS: tuple[tuple[str, Callable[[Counter[str]], tuple[int, int]]], ...] = (
    ("foretold", lambda c: (c["left, foretold"], c["left"])),
    ("first time", lambda c: (c["left first, foretold"], c["left first"])),
    ("again", lambda c: (c["left again, foretold"], c["left again"])),
    ("place held", lambda c: (c["forecasts held"], c["forecasts"])),
    ("band held", lambda c: (c["bands held"], c["bands"])),
    ("claimed", lambda c: (c["claimed"], c["valves"])),
    ("proved wrong", lambda c: (c["proofs wrong"], c["bands"])),
    ("extra", lambda c: (c["extra"], c["checks"])),
    ("tries", lambda c: (c["tries"], c["checks"])),
)


def row(label: str, count: Counter[str]) -> str:
    """One line of the table: shares, and insertions a valve and check."""
    cells = []
    for heading, parts in COLUMNS:
        part, whole = parts(count)
        cells.append(
            f"{part / whole:.3f}".rjust(len(heading)) if whole else "-".rjust(len(heading))
        )
    return f"{label:<22}  " + "  ".join(cells)


def table(lives: int, seed: int, wrong: float) -> Iterable[str]:
    """A line for each law of drift and each way."""
    yield f"{'drift, finer reading':<22}  " + "  ".join(heading for heading, _ in COLUMNS)
    for drift in DRIFTS:
        for way in WAYS:
            yield row(f"{drift}, {way}", lived(drift, way, lives, seed, wrong))


def main(words: Sequence[str] | None = None) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulation.wear_lives")
    parser.add_argument("--lives", type=int, default=60, help="of each kind (default 60)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--wrong", type=float, default=0.0, help="share of wrong answers (default 0)"
    )
    wanted = parser.parse_args(words)
    for line in table(wanted.lives, wanted.seed, wanted.wrong):
        print(line, flush=True)


if __name__ == "__main__":
    main()
