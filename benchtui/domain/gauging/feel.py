"""Drag as a personal band, learned on a known gap.

A hand says *drag* while the gap is from a little less to a little more than the blade. Practice on
a known gap (a micrometer, or a stack) shows where that band begins and ends for one hand. It advises;
it decides nothing unless its owner has practised and has chosen the grade *by feel* for himself.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from benchtui.domain.blades import JOINT, Feeler
from benchtui.domain.gauging.bracket import Answer, Bracket, Reading
from benchtui.domain.length import ZERO, Length, lesser, midpoint
from benchtui.domain.sheet import Band

LEAST_TRIES = 8
"""Fewer say too little of a hand (own choice)."""

LEAST_PLACES = 4
"""So many different amounts, gap less blade, were tried before a band is told (own choice)."""

LEAST_DRAGS = 3
"""Two ends and one between (own choice)."""


@dataclass(frozen=True, slots=True)
class Try:
    """One blade in a gap that is known; it may be wider by up to ``doubt``, as a stack's joints are."""

    gap: Length
    blade: Length
    answer: Answer
    doubt: Length = ZERO

    @property
    def excess(self) -> Length:
        """Gap less blade; below zero where the blade is the thicker."""
        return self.gap - self.blade

    @property
    def most(self) -> Length:
        """The same with the doubt about the gap in it."""
        return self.excess + self.doubt


@dataclass(frozen=True, slots=True)
class FeelBand:
    """Where a hand says drag, as gap less blade.

    A drag was only ever felt, or may have been, from ``floor`` to ``ceiling``. A blade was free from
    ``free_from`` up and refused from ``refused_to`` down. For a steady hand floor <= refused_to <=
    free_from <= ceiling; for an unsteady one the spans reach over each other as far as they did in
    practice.
    """

    floor: Length
    refused_to: Length
    free_from: Length
    ceiling: Length

    def __post_init__(self) -> None:
        if self.floor > self.ceiling:
            raise ValueError(f"a band of drag runs upwards, not {self.floor} to {self.ceiling}")

    @classmethod
    def exactly(cls, low: Length, high: Length) -> FeelBand:
        """A band whose ends are known."""
        return cls(low, low, high, high)


USUAL_BAND = FeelBand.exactly(Length.um(-4), Length.um(10))
"""Of a hand that has not practised: good enough to choose the next blade by (design value)."""

ON_SCALE = Length.um(1000)
"""Where gap and blade are alike on a scale that draws no length below zero."""


def on_scale(excess: Length) -> Length:
    """A gap less a blade, moved up so that it can be drawn on a scale of lengths."""
    return max(ZERO, ON_SCALE + excess)


def learn(tries: Iterable[Try]) -> FeelBand | None:
    """The band that these tries show, or None while they are too few to tell.

    Wanted are eight tries, three drags among them, and at least one refusal and one free blade; and
    four different gaps beside a blade at least, for one gap alone shows no band. The
    end of a steady hand's band lies somewhere between the outermost drag and the next answer of the
    other kind; each reading is later taken with that doubt, and any about the gaps, against us.
    """
    taken = tuple(tries)
    felt = {answer: [t for t in taken if t.answer is answer] for answer in Answer}
    drags, free, refused = felt[Answer.DRAG], felt[Answer.FREE], felt[Answer.REFUSES]
    if len({t.excess for t in taken}) < LEAST_PLACES:
        return None
    if len(taken) < LEAST_TRIES or len(drags) < LEAST_DRAGS or not free or not refused:
        return None
    return FeelBand(
        floor=min(max(t.excess for t in refused), *(t.excess for t in drags)),
        refused_to=max(*(t.most for t in refused), min(t.most for t in drags)),
        free_from=min(*(t.excess for t in free), max(t.excess for t in drags)),
        ceiling=max(min(t.most for t in free), *(t.most for t in drags)),
    )


FIRST_LOW, FIRST_HIGH = Length.um(-5), Length.um(15)
"""Where practice begins to look for a refusal, and for a free blade (own choice)."""

FINE = Length.um(2)
"""Ends of a band that are known so closely need no more practice (own choice)."""


def next_excess(tries: Iterable[Try]) -> Length | None:
    """Gap less blade to try next, where most is to be learned; None: enough is known.

    First a refusal and a free blade are looked for, farther out each time, then whichever end of the
    band is less well known is halved.
    """
    taken = tuple(tries)
    felt = {answer: [t.excess for t in taken if t.answer is answer] for answer in Answer}
    drags, free, refused = felt[Answer.DRAG], felt[Answer.FREE], felt[Answer.REFUSES]
    every = [t.excess for t in taken]
    if not refused:
        return min([FIRST_LOW, *(e - Length.um(5) for e in every)])
    if not free:
        return max([FIRST_HIGH, *(e + Length.um(5) for e in every)])
    if not drags:
        return _whole(midpoint(max(refused), min(free)))
    below, above = min(drags) - max(refused), min(free) - max(drags)
    if max(below, above) > FINE:
        if below >= above:
            return _whole(midpoint(max(refused), min(drags)))
        return _whole(midpoint(max(drags), min(free)))
    if len(set(every)) < LEAST_PLACES:
        return max([FIRST_HIGH, *(e + Length.um(5) for e in every)])
    if learn(taken) is None:
        return _whole(midpoint(min(drags), max(drags)))
    return None


def _whole(excess: Length) -> Length:
    """To the whole micrometre, as fine as a micrometer is read."""
    return Length.um(round(Fraction(excess.nm, 1000)))


def steady(tries: Iterable[Try]) -> bool:
    """Whether refusals, drags and free blades follow each other without overlapping."""
    order = [Answer.REFUSES, Answer.DRAG, Answer.FREE]
    taken = [(t.excess, order.index(t.answer)) for t in tries]
    return all(a <= b for e, a in taken for f, b in taken if e < f)


@dataclass(frozen=True, slots=True)
class Practice:
    """Tries in a row, and the gap that is set now."""

    tries: tuple[Try, ...] = ()
    gap: Length | None = None
    doubt: Length = ZERO

    @property
    def band(self) -> FeelBand | None:
        """What it shows so far."""
        return learn(self.tries)

    def at(self, gap: Length) -> Practice:
        """With another gap set, by the micrometer."""
        return replace(self, gap=gap, doubt=ZERO)

    def at_stack(self, stack: Feeler) -> Practice:
        """With a gap set by leaves laid together: what is between them is doubt."""
        joints = JOINT * (len(stack.leaves) - 1)
        return replace(self, gap=stack.nominal, doubt=joints)

    def felt(self, blade: Length, answer: Answer) -> Practice:
        """With one more try in the gap that is set.

        Raises:
            ValueError: no gap is set.
        """
        if self.gap is None:
            raise ValueError("a try needs a gap")
        return replace(self, tries=(*self.tries, Try(self.gap, blade, answer, self.doubt)))

    def without_last(self) -> Practice:
        """With the last try forgotten."""
        return replace(self, tries=self.tries[:-1])

    def wanted(self, blade: Length) -> Length | None:
        """The gap in which most is to be learned with this blade; None: enough is known."""
        excess = next_excess(self.tries)
        return None if excess is None else max(Length.um(1), blade + excess)


def bracket_by_feel(readings: Iterable[Reading], band: FeelBand) -> Bracket:
    """Where the clearance lies, with drag read as this hand's band and each blade as known.

    The widened ends take the blades' errors against us as well.
    """
    low, wide_low = ZERO, ZERO
    high: Length | None = None
    wide_high: Length | None = None
    for r in readings:
        least, most = _reach(r.answer, band)
        if least is not None:
            low = max(low, r.feeler.nominal + least)
            wide_low = max(wide_low, r.feeler.thinnest + least)
        if most is not None:
            high = lesser(high, r.feeler.nominal + most)
            wide_high = lesser(wide_high, r.feeler.thickest + most)
    return Bracket(low, high, wide_low, wide_high)


def _reach(answer: Answer, band: FeelBand) -> tuple[Length | None, Length | None]:
    """The least and the most that the gap may exceed the blade by."""
    match answer:
        case Answer.FREE:
            return band.free_from, None
        case Answer.DRAG:
            return band.floor, band.ceiling
        case Answer.REFUSES:
            return None, band.refused_to


def in_range_by_feel(readings: Iterable[Reading], band: FeelBand, setting: Band) -> bool:
    """The weakest of the three grades: the bracket by feel lies inside the range."""
    found = bracket_by_feel(readings, band)
    if found.high is None or found.clash:
        return False
    return setting.low <= found.low and found.high <= setting.high


@dataclass(frozen=True, slots=True)
class OwnSpread:
    """How far repeats of one gap lie apart: at least, and at most (None where one is open)."""

    least: Length
    most: Length | None


def own_spread(repeats: Sequence[Bracket]) -> OwnSpread | None:
    """What blind repeats of one valve say of one's own spread; None with fewer than two.

    Brackets that all overlap show no spread at all that the blades can see.
    """
    if len(repeats) < 2:  # noqa: PLR2004 - a spread takes two
        return None
    lowest, highest = min(b.low for b in repeats), max(b.low for b in repeats)
    highs = [b.high for b in repeats if b.high is not None]
    least = max(ZERO, highest - min(highs)) if highs else ZERO
    return OwnSpread(least, max(highs) - lowest if len(highs) == len(repeats) else None)
