"""The fewest crank positions at which every valve can be measured once.

What is left of the cycle when one opening is taken out is a single arc, so each valve may be
measured at a run of neighbouring candidates. That makes the set cover exact and quick: fix the
first stop, unroll the circle after it, and find the cheapest path of stops such that no valve's
whole run lies strictly between two of them. Every candidate is tried as the first.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.sheet import FULL_CYCLE


@dataclass(frozen=True, slots=True)
class CrankChoice:
    """A crank position, its ``handicap`` (less is better), and the valves that rest there."""

    angle: Fraction
    handicap: int
    rests: frozenset[str]


@dataclass(frozen=True, order=True, slots=True)
class _Path:
    """Compared field by field: stops, handicaps, degrees turned, then where the stops are."""

    stops: int
    handicap: int
    turned: Fraction
    angles: tuple[Fraction, ...]

    def on_to(self, candidate: CrankChoice, turn: Fraction) -> _Path:
        return _Path(
            self.stops + 1,
            self.handicap + candidate.handicap,
            self.turned + turn,
            (*self.angles, candidate.angle),
        )


def fewest_stops(
    candidates: tuple[CrankChoice, ...], wanted: frozenset[str]
) -> tuple[Fraction, ...] | None:
    """The angles of a least set of candidates that serves every wanted valve, in turning order.

    Among sets of the same number the one with the least sum of handicaps, then the least turning from
    its first stop to its last, then the smallest angles. ``candidates`` have different angles
    (0 <= angle < 720), and those that serve one valve follow each other round the cycle. None is
    returned where some valve rests at no candidate.
    """
    ring = tuple(sorted(candidates, key=lambda c: c.angle))
    if not wanted <= frozenset[str]().union(*(c.rests for c in ring)):
        return None
    if not wanted:
        return ()
    paths = (_from_first(ring[i:] + ring[:i], wanted) for i in range(len(ring)))
    best = min(p for p in paths if p is not None)
    return best.angles


def _from_first(line: tuple[CrankChoice, ...], wanted: frozenset[str]) -> _Path | None:
    """The cheapest path that starts at ``line[0]`` and goes on in the order of the line."""
    first = line[0]
    runs = _runs(line, wanted - first.rests)
    best: list[_Path | None] = [None] * len(line)
    best[0] = _Path(1, first.handicap, Fraction(0), (first.angle,))
    ends: list[_Path] = []
    for here, path in enumerate(best):
        if path is None:
            continue
        # The nearest end of a run that begins after this stop: the next stop comes no later.
        limit = min((high for low, high in runs if low > here), default=None)
        if limit is None:
            ends.append(path)
            continue
        for there in range(here + 1, limit + 1):
            turn = (line[there].angle - line[here].angle) % FULL_CYCLE
            longer = path.on_to(line[there], turn)
            known = best[there]
            if known is None or longer < known:
                best[there] = longer
    return min(ends, default=None)


def _runs(line: tuple[CrankChoice, ...], wanted: frozenset[str]) -> set[tuple[int, int]]:
    """From which place in the line to which each valve rests."""
    runs = set()
    for valve in wanted:
        places = [i for i, c in enumerate(line) if valve in c.rests]
        if places[-1] - places[0] + 1 != len(places):
            raise ValueError(f"{valve} rests at candidates that do not follow each other")
        runs.add((places[0], places[-1]))
    return runs
