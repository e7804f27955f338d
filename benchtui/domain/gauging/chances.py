"""Where a clearance stands, place by place: what was felt, moved by what was turned since. An estimate.

It weighs what to do while a locknut is slack, and never makes a verdict. The weights are whole numbers,
so that the same readings give the same advice on every machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer, Measured, Reading
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length

PLACE = 1000
"""Nanometres from one place to the next."""

WHOLE = 1 << 30
"""What the weights of all places come to, about: finer than anything that is weighed by them."""

SURE = 1 << 10
"""The weight of an answer that is sure at its place."""

ANY_HAND = FeelBand(Length.um(-6), Length.um(-2), Length.um(7), Length.um(13))
"""Of a hand that has not practised: from one that draws a blade through a gap narrower than itself to one
that wants room and still calls it a drag (design value)."""


@dataclass(frozen=True, slots=True)
class Chances:
    """``weights[k]`` belongs to the clearance of ``first + k`` micrometres."""

    first: int
    weights: tuple[int, ...]

    @property
    def whole(self) -> int:
        """All weights together; none where nothing fits what was felt."""
        return sum(self.weights)

    @property
    def mean(self) -> Length:
        """The clearance on the mean."""
        total = sum(k * w for k, w in enumerate(self.weights))
        return Length(self.first * PLACE + total * PLACE // self.whole)

    def span(self, left_out: int) -> tuple[Length, Length]:
        """What is left once one part in ``left_out`` is cut off at each end."""
        edge = self.whole // left_out
        low = next(k for k, sofar in enumerate(accumulate(self.weights)) if sofar > edge)
        down = next(k for k, sofar in enumerate(accumulate(self.weights[::-1])) if sofar > edge)
        high = len(self.weights) - 1 - down
        return Length((self.first + low) * PLACE), Length((self.first + high) * PLACE)

    def moved(self, by: Length, either_way: Length) -> Chances:
        """Moved by so much, and by up to ``either_way`` more or less, all errors equally likely."""
        reach = round(either_way.nm / PLACE)
        sums = [0, *accumulate([0] * (2 * reach) + list(self.weights) + [0] * (2 * reach))]
        weights = [b - a for a, b in zip(sums, sums[2 * reach + 1 :], strict=False)]
        first = self.first + round(by.nm / PLACE) - reach
        if first < 0:  # no clearance is below none: whatever was turned further in stands at none
            weights = [sum(weights[: 1 - first]), *weights[1 - first :]]
            first = 0
        return _scaled(first, weights)

    def seen(self, reading: Reading, hand: FeelBand) -> Chances:
        """Weighed anew by what one more blade said."""
        single = len(reading.feeler.leaves) == 1
        fits = answers_at(reading.feeler, hand, self.first, len(self.weights))
        told = fits[reading.answer]
        if (
            not single and reading.answer is Answer.DRAG
        ):  # the oil in a stack makes a drag worthless
            told = fits[Answer.FREE]
        return self.times(told)

    def trimmed(self) -> Chances:
        """Without the places at either end that have no weight."""
        held = [k for k, w in enumerate(self.weights) if w]
        return Chances(self.first + held[0], self.weights[held[0] : held[-1] + 1])

    def times(self, factors: Sequence[int]) -> Chances:
        """Weighed anew, place by place."""
        return _scaled(self.first, [w * f for w, f in zip(self.weights, factors, strict=True)])


@lru_cache(maxsize=1024)
def answers_at(
    feeler: Feeler, hand: FeelBand, first: int, count: int
) -> dict[Answer, tuple[int, ...]]:
    """How likely each answer is at each place, in parts of ``SURE``.

    A stack is never told to drag: its oil makes that worthless, so it goes or it does not.
    """
    thin, thick = feeler.thinnest, feeler.thickest
    stack = len(feeler.leaves) > 1
    begin = (thin, thick) if stack else (thin + hand.floor, thick + hand.refused_to)
    end = (thin, thick) if stack else (thin + hand.free_from, thick + hand.ceiling)
    goes, free = (_rising(a.nm, b.nm, first, count) for a, b in (begin, end))
    return {
        Answer.REFUSES: tuple(SURE - g for g in goes),
        Answer.DRAG: tuple(max(0, g - f) for g, f in zip(goes, free, strict=True)),
        Answer.FREE: tuple(min(g, f) for g, f in zip(goes, free, strict=True)),
    }


def _rising(a: int, b: int, first: int, count: int) -> list[int]:
    width = max(1, b - a)
    places = range(first * PLACE, (first + count) * PLACE, PLACE)
    return [min(SURE, max(0, (x - a) * SURE // width)) for x in places]


def chances_of(readings: Iterable[Reading], hand: FeelBand) -> Chances | None:
    """By these answers alone, every clearance equally likely before.

    None where nothing has refused, or where they do not fit together.
    """
    taken = {(r.feeler.marks, r.answer): r for r in readings}.values()
    # Beyond so much over the thickest blade that ends it nothing is left: it drags, or it refuses.
    ends = [
        r.feeler.thickest + hand.ceiling
        for r in taken
        if r.answer is Answer.REFUSES or (r.answer is Answer.DRAG and len(r.feeler.leaves) == 1)
    ]
    if not ends:
        return None
    found = Chances(0, (1,) * (min(ends).nm // PLACE + 2))
    for reading in taken:
        found = found.seen(reading, hand)
    return found.trimmed() if found.whole else None


def chances_measured(measured: Measured) -> Chances:
    """Anywhere within its error, equally likely."""
    first = max(0, (measured.value - measured.error).nm // PLACE)
    return _scaled(first, [1] * ((measured.value + measured.error).nm // PLACE - first + 1))


def _scaled(first: int, weights: Sequence[int]) -> Chances:
    whole = sum(weights)
    if not whole:
        return Chances(first, tuple(weights))
    return Chances(first, tuple(w * WHOLE // whole for w in weights))
