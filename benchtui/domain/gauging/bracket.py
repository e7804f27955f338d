"""Readings of one gap, and the bracket they leave."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import Enum
from itertools import product

from benchtui.domain.blades import Feeler
from benchtui.domain.length import ZERO, Length


class Answer(Enum):
    """What the hand felt. Free and drag both mean that the blade goes."""

    FREE = "free"
    DRAG = "drag"
    REFUSES = "refuses"

    @property
    def goes(self) -> bool:
        """Whether the blade went in without force."""
        return self is not Answer.REFUSES


@dataclass(frozen=True, slots=True)
class Reading:
    """One blade, or stack, tried in one gap.

    ``forced`` tells that it went only by force, which counts as refuses. ``number`` is the number
    of the event that recorded it, 0 outside a session.
    """

    feeler: Feeler
    answer: Answer
    forced: bool = False
    number: int = 0

    def __post_init__(self) -> None:
        if self.forced and self.answer is not Answer.REFUSES:
            raise ValueError("a blade that went only by force counts as refuses")

    def __str__(self) -> str:
        return f"{self.feeler} {self.answer.value}".replace(" mm", "")


@dataclass(frozen=True, slots=True)
class Measured:
    """A clearance as it was measured, and the most that it may be off, either way.

    ``number`` is that of the event that recorded it, 0 outside a session.
    """

    value: Length
    error: Length
    number: int = 0

    def __str__(self) -> str:
        return f"{self.value.bare} measured, give or take {self.error.bare}"


@dataclass(frozen=True, slots=True)
class Bracket:
    """Where a clearance lies, told by the blades; a ``high`` of None is open.

    ``measured`` is set where it is not the blades that tell it.

    ``low`` to ``high`` takes each blade as its best known thickness. ``wide_low`` to ``wide_high``
    takes every blade's error, and the joints of stacks, against us: the true clearance is inside
    as long as each blade keeps its error. In a contradiction low is above high.
    """

    low: Length = ZERO
    high: Length | None = None
    wide_low: Length = ZERO
    wide_high: Length | None = None
    measured: Measured | None = field(default=None, kw_only=True)

    @property
    def closed(self) -> bool:
        """Whether a blade has refused."""
        return self.high is not None

    @property
    def width(self) -> Length | None:
        """High less low, or None while it is open."""
        return None if self.high is None else self.high - self.low

    @property
    def clash(self) -> bool:
        """Whether a blade goes that is thicker than one that refuses."""
        return self.high is not None and self.low > self.high

    def told(self, figure: Callable[[Length], str]) -> str:
        """In words, ``figure`` writing a thickness: ``0.06 goes, 0.10 refuses``, and so on."""
        if self.measured is not None:
            value, error = figure(self.measured.value), figure(self.measured.error)
            return f"{value} measured, give or take {error}"
        goes = f"{figure(self.low)} goes" if self.low else ""
        refuses = "" if self.high is None else f"{figure(self.high)} refuses"
        if not goes and not refuses:
            return "not measured"
        return f"{goes or refuses}, {(refuses if goes else '') or _NOTHING[bool(goes)]}"

    def __str__(self) -> str:
        return self.told(lambda length: length.bare)

    @property
    def clash_beyond_error(self) -> bool:
        """Whether the blades clash by more than their errors together can explain."""
        return self.wide_high is not None and self.wide_low > self.wide_high


_NOTHING = {True: "nothing has refused", False: "nothing has gone in"}

OPEN = Bracket()
"""Nothing read yet."""


def bracket_of(readings: Iterable[Reading]) -> Bracket:
    """The bracket that all these readings leave together, in whatever order they came."""
    low = wide_low = ZERO
    high: Length | None = None
    wide_high: Length | None = None
    for reading in readings:
        feeler = reading.feeler
        if reading.answer is not Answer.REFUSES:
            low = max(low, feeler.nominal)
            wide_low = max(wide_low, feeler.thinnest)
        else:
            high = feeler.nominal if high is None or feeler.nominal < high else high
            thickest = feeler.thickest
            wide_high = thickest if wide_high is None or thickest < wide_high else wide_high
    return Bracket(low, high, wide_low, wide_high)


def healing_sets(readings: Iterable[Reading]) -> tuple[tuple[Reading, ...], ...]:
    """The smallest sets of readings whose removal leaves no clash; () where nothing clashes.

    Every set of the least size is given, each in the order of the readings. The latest reading has
    no more weight than the first. Two things clash: a blade that goes and one that refuses, thinner
    by more than their errors explain; and one and the same blade that was free once and refused
    once, for then the bracket would close to nothing, which no blade can show.

    Exact: whatever heals the first kind is a cut at some thickness (drop what goes above it and
    what refuses below it), and the least cut lies at one of the blades' own edges. What is left of
    the second kind then falls apart into single blades.
    """
    taken = tuple(readings)
    bracket = bracket_of(taken)
    if bracket.high is None or not bracket.low:
        return ()  # all of them say one thing
    if not bracket.clash_beyond_error and not _same_blade_sides(taken, frozenset()):
        return ()  # nothing clashes, as nearly always
    edges = {r.feeler.thinnest if r.answer.goes else r.feeler.thickest for r in taken}
    heals: set[frozenset[int]] = set()
    for cut in edges:
        dropped = frozenset(i for i, r in enumerate(taken) if _drops(r, cut))
        sides = _same_blade_sides(taken, dropped)
        heals |= {dropped.union(*choice) for choice in product(*sides)}
    least = min((len(heal) for heal in heals), default=0)
    if least == 0:
        return ()
    shortest = sorted(sorted(heal) for heal in heals if len(heal) == least)
    return tuple(tuple(taken[i] for i in heal) for heal in shortest)


def _drops(reading: Reading, cut: Length) -> bool:
    if reading.answer.goes:
        return reading.feeler.thinnest > cut
    return reading.feeler.thickest < cut


def _same_blade_sides(
    taken: tuple[Reading, ...], dropped: frozenset[int]
) -> list[tuple[frozenset[int], frozenset[int]]]:
    """For each blade that was both free and refused: the two sets, one of which must go."""
    free: dict[tuple[Length, ...], set[int]] = {}
    refused: dict[tuple[Length, ...], set[int]] = {}
    for i, reading in enumerate(taken):
        if i not in dropped and reading.answer is not Answer.DRAG:
            side = free if reading.answer is Answer.FREE else refused
            side.setdefault(reading.feeler.marks, set()).add(i)
    both = sorted(free.keys() & refused.keys())
    return [(frozenset(free[marks]), frozenset(refused[marks])) for marks in both]
