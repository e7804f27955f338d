"""Which blades and stacks are worth a thought: every leaf, and the few stacks that can add to it.

A set of 26 leaves makes 2 925 stacks; a plan over all of them would take minutes. A stack stays out
where another candidate does the same for no more:

- Beside a limit only the nearest stack of each count and side can matter, and only if it lies
  nearer than what costs less. Of two on one side of a limit the nearer says all that the other says
  about the verdict: beyond it everything is settled alike, so a plan that asks the farther one is
  no worse, and often better, when it asks the nearer one in its place.
- Where the bracket is to be proved, the same holds with each blade's error taken against us.
- Out of the range stacks serve only to narrow what is left to the window. There one ladder of
  stacks is taken in every gap that is wider, each rung as high as the window lets it be, and then,
  nearest the range first, as many others as the time allows. A set of few leaves is thus planned
  over every stack that could help; a larger one may lose part of an insertion where a clearance is
  far out, and never a verdict.

Inside the range a stack that is not beside a limit could only serve to halve what is left. A single
leaf does that for less wherever there is one; where there is none, the limits themselves do.

The choice is made once, with nothing read yet, and kept while the bracket narrows: whoever follows
the advice is then led down one and the same tree, and pays just what its top has promised.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from benchtui.domain.blades import JOINT, MOST_STACKED, BladeSet, Feeler
from benchtui.domain.gauging.bracket import OPEN, Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

ENOUGH = 48
"""No stack that only narrows is added to so many candidates: the time goes with their cube."""

MOST = 60
"""So many at most, rungs of ladders among them; beyond them the next call looks anew."""

Marks = tuple[Length, ...]
Row = tuple[int, int, int, tuple[int, ...]]
"""Nominal, thickest and thinnest in nanometres, and the leaves by their place in the set."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A feeler as whole numbers: ``at`` is where it divides the bracket, all in nanometres."""

    at: int
    nominal: int
    thinnest: int
    thickest: int
    leaves: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many leaves."""
        return len(self.leaves)

    def feeler(self, blades: BladeSet) -> Feeler:
        """The blades themselves."""
        return Feeler(tuple(blades.leaves[i] for i in self.leaves))


@lru_cache(maxsize=16)
def _rows(blades: BladeSet, count: int) -> tuple[tuple[Row, ...], tuple[int, ...]]:
    """Every stack of ``count`` leaves, thinnest first, the surest of each thickness; nominals."""
    size = [leaf.thickness.nm for leaf in blades.leaves]
    error = [leaf.error.nm for leaf in blades.leaves]
    joints = JOINT.nm * (count - 1)
    surest: dict[int, tuple[int, tuple[int, ...]]] = {}
    for leaves in combinations(range(len(size)), count - 1):
        base, spread = sum([size[i] for i in leaves]), sum([error[i] for i in leaves])
        first = leaves[-1] + 1 if leaves else 0
        for i in range(first, len(size)):
            nominal, off = base + size[i], spread + error[i]
            known = surest.get(nominal)
            if known is None or off < known[0]:
                surest[nominal] = off, (*leaves, i)
    rows = [
        (nominal, nominal + off + joints, nominal - off, leaves)
        for nominal, (off, leaves) in sorted(surest.items())
    ]
    return tuple(rows), tuple(row[0] for row in rows)


class _Finder:
    """Looks for stacks strictly inside one bracket, leaving out what was tried."""

    def __init__(self, bracket: Bracket, blades: BladeSet, tried: frozenset[Marks]) -> None:
        self.rows = [_rows(blades, count) for count in range(1, MOST_STACKED + 1)]
        self.low = bracket.low.nm
        self.high = None if bracket.high is None else bracket.high.nm
        self.top = sum(sorted(leaf.thickness.nm for leaf in blades.leaves)[-MOST_STACKED:])
        self.tried = {tuple(m.nm for m in marks) for marks in tried}
        self.stamps = [leaf.marked.nm for leaf in blades.leaves]

    def fresh(self, row: Row) -> bool:
        """Whether this feeler was not tried yet."""
        return self.untried(row[3])

    def untried(self, leaves: tuple[int, ...]) -> bool:
        """The same of the leaves by their place in the set."""
        return not self.tried or tuple(sorted(self.stamps[i] for i in leaves)) not in self.tried

    def inside(self, nominal: int) -> bool:
        """Whether a blade of this thickness tells anything."""
        return self.low < nominal and (self.high is None or nominal < self.high)

    def upwards(self, count: int, start: int) -> Iterator[Row]:
        """From ``start`` nm up, thinnest first, inside the bracket or not."""
        rows, nominals = self.rows[count - 1]
        for k in range(bisect_left(nominals, start), len(rows)):
            if self.fresh(rows[k]):
                yield rows[k]

    def downwards(self, count: int, start: int) -> Iterator[Row]:
        """From ``start`` nm down, thickest first, inside the bracket or not."""
        rows, nominals = self.rows[count - 1]
        for k in range(bisect_right(nominals, start) - 1, -1, -1):
            if self.fresh(rows[k]):
                yield rows[k]

    def between(self, count: int, low: int, high: int) -> list[Row]:
        """Those with low <= nominal <= high that tell anything."""
        rows, nominals = self.rows[count - 1]
        some = rows[bisect_left(nominals, low) : bisect_right(nominals, high)]
        return [row for row in some if self.inside(row[0]) and self.fresh(row)]


def candidates(
    bracket: Bracket,
    blades: BladeSet,
    setting: Band,
    *,
    proved: bool,
    window: Length | None,
    tried: frozenset[Marks],
) -> tuple[Candidate, ...]:
    """What may be tried next, by the place where it divides the bracket, one a place.

    With ``proved`` a blade outside the plain bracket may be asked for too, where its smaller error
    would prove what a stack could not; it then stands at the bracket's very end.
    """
    kept = _kept(blades, setting, window)
    finder = _Finder(bracket, blades, tried)
    found = {c.nominal: c for c in kept if finder.inside(c.at) and finder.untried(c.leaves)}
    places = {0, *(c.at for c in kept)}
    cut = finder.low not in places or (finder.high is not None and finder.high not in places)
    missed = len(found) < sum(finder.inside(c.at) for c in kept)
    # A borrowed blade has cut a stretch in two, something was tried that may have a double, or this
    # stretch lies beyond what was kept: what is best here was not asked yet.
    if cut or missed or not found:
        found = _picked(finder, setting, window) | found
    some = list(found.values())
    if proved:
        limits = (setting.low.nm, setting.high.nm)
        some += _provers(finder, bracket, limits, set(found))
    return tuple(sorted(some, key=lambda c: (c.at, c.nominal)))


@lru_cache(maxsize=64)
def _kept(blades: BladeSet, setting: Band, window: Length | None) -> tuple[Candidate, ...]:
    """What the whole plan is made of, nothing being known yet."""
    return tuple(_picked(_Finder(OPEN, blades, frozenset()), setting, window).values())


def _picked(finder: _Finder, setting: Band, window: Length | None) -> dict[int, Candidate]:
    """The leaves and the chosen stacks, by nominal."""
    end = finder.top if finder.high is None else finder.high
    found = {row[0]: _at(row, row[0]) for row in finder.between(1, finder.low, end)}
    limits = (setting.low.nm, setting.high.nm)
    for row in _beside_limits(finder, limits):
        found.setdefault(row[0], _at(row, row[0]))
    if window is not None and window.nm > 0:
        gaps = _wide_gaps(finder, sorted(found), limits, window.nm)
        rungs = [row for gap in gaps for row in _ladder(finder, *gap, window.nm)]
        rungs.sort(key=lambda row: _outside(row, limits))
        for most, rows in (MOST, rungs), (ENOUGH, _nearest(finder, limits, found)):
            new = [row for row in rows if row[0] not in found]
            found |= {row[0]: _at(row, row[0]) for row in new[: max(0, most - len(found))]}
    return found


def _at(row: Row, at: int) -> Candidate:
    return Candidate(at, row[0], row[2], row[1], row[3])


def _beside_limits(finder: _Finder, limits: tuple[int, int]) -> Iterator[Row]:
    """The nearest stack below and above each limit, by count, where nothing cheaper is as near."""
    for limit in limits:
        below = above = None
        for count in range(1, MOST_STACKED + 1):
            row = next(finder.downwards(count, limit), None)
            if row and finder.inside(row[0]) and (below is None or row[0] > below):
                below = row[0]
                yield row
            row = next(finder.upwards(count, limit), None)
            if row and finder.inside(row[0]) and (above is None or row[0] < above):
                above = row[0]
                yield row


def _provers(
    finder: _Finder, bracket: Bracket, limits: tuple[int, int], have: set[int]
) -> Iterator[Candidate]:
    """The blades that prove most: surely above the lower limit, surely below the upper one."""
    low, high = limits
    if bracket.wide_low.nm < low:
        best = None
        for count in range(1, MOST_STACKED + 1):
            rows = finder.upwards(count, low)
            row = next((r for r in rows if r[2] >= low), None)
            if row and (best is None or row[0] < best):
                best = row[0]
                if row[0] not in have and (finder.high is None or row[0] < finder.high):
                    have.add(row[0])
                    yield _at(row, max(row[0], finder.low))
    if bracket.wide_high is None or bracket.wide_high.nm > high:
        best = None
        for count in range(1, MOST_STACKED + 1):
            rows = finder.downwards(count, high)
            row = next((r for r in rows if r[1] <= high), None)
            if row and (best is None or row[0] > best):
                best = row[0]
                if row[0] not in have and row[0] > finder.low:
                    have.add(row[0])
                    yield _at(row, row[0] if finder.high is None else min(row[0], finder.high))


Gap = tuple[int, int | None]


def _wide_gaps(finder: _Finder, have: list[int], limits: tuple[int, int], window: int) -> list[Gap]:
    """The stretches out of the range, between neighbours, that are wider than the window."""
    ends: list[int | None] = [*have, finder.high]
    gaps: list[Gap] = []
    for low, high in zip([finder.low, *have], ends, strict=True):
        out = low >= limits[1] or (high is not None and high <= limits[0])
        if out and (high is None or high - low > window):
            gaps.append((low, high))
    return gaps


def _outside(row: Row, limits: tuple[int, int]) -> tuple[int, int]:
    """How far out of the range, for an order from the range outwards."""
    return max(limits[0] - row[0], row[0] - limits[1]), row[0]


def _nearest(finder: _Finder, limits: tuple[int, int], have: Container[int]) -> list[Row]:
    """Every other stack out of the range, the nearest to it first, fewer leaves before more."""
    found: dict[int, Row] = {}
    for low, high in ((0, limits[0]), (limits[1], finder.top)):
        for count in range(2, MOST_STACKED + 1):
            for row in finder.between(count, low, high):
                if row[0] not in have:
                    found.setdefault(row[0], row)
    return sorted(found.values(), key=lambda row: _outside(row, limits))


def _ladder(finder: _Finder, low: int, high: int | None, window: int) -> Iterator[Row]:
    """From ``low`` up, each rung at most a window above the last where a stack can do it."""
    while high is None or high - low > window:
        row = _rung(finder, low, high, window)
        if row is None:
            return
        yield row
        low = row[0]


def _rung(finder: _Finder, low: int, high: int | None, window: int) -> Row | None:
    reach = low + window if high is None else min(low + window, high - 1)
    counts = range(2, MOST_STACKED + 1)
    if high is not None and high - low <= 2 * window:
        for count in counts:  # one may do for both parts: the nearest to the middle
            rows = finder.between(count, max(low + 1, high - window), reach)
            if rows:
                return min(rows, key=lambda r: (abs(2 * r[0] - low - high), r[0]))
    for count in counts:
        row = next((r for r in finder.downwards(count, reach)), None)
        if row and low < row[0] and finder.inside(row[0]):
            return row
    # No stack is near enough: the next one up leaves a wide part, and still narrows.
    later = [next(finder.upwards(count, reach + 1), None) for count in counts]
    rows = [r for r in later if r and finder.inside(r[0]) and (high is None or r[0] < high)]
    return min(rows, default=None)
