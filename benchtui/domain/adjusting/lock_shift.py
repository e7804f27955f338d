"""What tightening the locknut does to a clearance that was set right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length, midpoint

AGREEING = 2
"""So many shifts that agree are needed before one is aimed off without a failed lock."""

USUAL = Length.um(12)
"""How far locking moves most nuts' screws, either way, before any has been seen (design value)."""

SCATTER = Length.um(7)
"""How far one nut's lockings lie about their mean, as a standard deviation (design value)."""

BLIND = 6
"""An interval of the blades is this many standard deviations wide: all but its ends (design value)."""


@dataclass(frozen=True, slots=True)
class Shift:
    """How far locking moved the clearance, as an interval; minus means that it closed.

    ``likely`` is where drag lets one look for it, by feel; None where it was not told. It weighs in
    the mean of several: blades that only show *in range* leave an interval as wide as the range, and
    its middle leans towards no shift at all.
    """

    low: Length
    high: Length
    likely: Length | None = None

    @property
    def middle(self) -> Length:
        """The middle of the interval."""
        return midpoint(self.low, self.high)

    @property
    def one_sided(self) -> bool:
        """Whether the blades exclude that nothing moved."""
        return self.low > ZERO or self.high < ZERO

    def overlaps(self, other: Shift) -> bool:
        """Whether one true shift could explain both."""
        return self.low <= other.high and other.low <= self.high


def shift_between(before: Bracket, after: Bracket, unsure: Length = ZERO) -> Shift | None:
    """The shift from the bracket before locking to the one after; None while either is open.

    Intervals subtract crosswise: the least shift is from the top of the first to the bottom of the
    second. ``unsure`` is how far off, either way, the first may be: a turn that no blade has checked.
    A bracket from zero is open below, for the valve may be held off its seat.
    """
    if before.high is None or after.high is None or before.clash or after.clash:
        return None
    if not before.low or not after.low:
        return None
    return Shift(after.low - before.high - unsure, after.high - before.low + unsure)


def learned(
    failed_here: Sequence[Shift], past: Sequence[Shift], seen_here: Sequence[Shift] = ()
) -> Shift | None:
    """The shift to aim off by, or None while too little is known.

    One failed lock in this session is enough where the blades exclude that nothing moved: the turn
    before it may have been off. Otherwise two that agree are wanted, of this session or before. What
    is learned is their mean: locking scatters, so that an intersection would claim too much.
    Once anything is learned, every lock of this session counts, not only those that failed (by
    themselves they would make the shift out too large), and of the past all that agree.
    """
    here = list(seen_here) or list(failed_here)
    if any(s.one_sided for s in failed_here):
        return _mean([*here, *(p for p in past if any(p.overlaps(s) for s in here))])
    agreeing = _agreeing((*past, *here))
    if len(agreeing) < AGREEING:
        return None
    found = _mean(agreeing)
    return found if found.middle else None  # locks that moved nothing are nothing to aim off


@lru_cache(maxsize=64)
def _agreeing(seen: tuple[Shift, ...]) -> tuple[Shift, ...]:
    """Those that have another beside them; remembered, for screens ask at every key."""
    return tuple(s for s in seen if sum(s.overlaps(o) for o in seen) >= AGREEING)


def _mean(shifts: Sequence[Shift]) -> Shift:
    """The mean interval, about the likeliest mean of what locking does; a single one as it was seen.

    A normal mean with a normal prior (the textbook's weights): each lock weighs by how well it is
    known, its nut's scatter and its blades together, and all are drawn towards no shift by what nuts
    usually do. Few and coarse locks are so followed a little, many and fine ones all the way.
    """
    if len(shifts) == 1:
        return Shift(shifts[0].low, shifts[0].high)
    knows = [SCATTER.nm**2 + ((s.high - s.low).nm / BLIND) ** 2 for s in shifts]
    likely = sum(
        (s.middle if s.likely is None else s.likely).nm / k
        for s, k in zip(shifts, knows, strict=True)
    )
    middle = likely / (1 / USUAL.nm**2 + sum(1 / k for k in knows))
    half = sum((s.high - s.low).nm for s in shifts) / len(shifts) / 2
    # To whole micrometres: no aim is better than that, and it is read out.
    at, either_way = round(middle / 1000), round(half / 1000)
    return Shift(Length.um(at - either_way), Length.um(at + either_way))
