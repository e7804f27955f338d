"""Where a clearance most likely lies by all that was felt: an estimate to aim by, never a verdict.

A drag says more than that the blade goes: the gap is then about as wide as the blade. Each answer is
taken as the hand's band of drag has it, and each blade as equally likely anywhere within its error;
before any blade every clearance is equally likely.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length

PARTS = 80
"""A reach is cut into so many parts."""

REMEMBERED = 1024


@lru_cache(maxsize=REMEMBERED)
def likely_gap(readings: tuple[Reading, ...], band: FeelBand) -> Length | None:
    """The mean of what the clearance may be by the likelihood of these answers; an estimate.

    None where no single leaf has dragged (then nobody knows how this hand uses the word, and the middle
    of the bracket is as good), where the readings leave one end open, or where none fits them all.
    """
    taken = {(r.feeler.marks, r.answer): r for r in readings}.values()
    if not any(r.answer is Answer.DRAG and len(r.feeler.leaves) == 1 for r in taken):
        return None
    over, under = _edges(tuple(taken), band)
    least, most = max((a for a, _ in over), default=0), min(b for _, b in under)
    least = max(0, least)
    if most <= least:
        return None
    places = range(least, most + 1, max(1, -(-(most - least) // PARTS)))
    weights = _likelihood(places, over, under)
    whole = sum(weights)
    if not whole:
        return None
    centre = sum(w * x for w, x in zip(weights, places, strict=True)) // whole
    plain = bracket_of(taken)
    # Blades may be off, yet it is aimed from inside the bracket as read.
    if plain.high is not None and not plain.clash:
        centre = min(max(centre, plain.low.nm), plain.high.nm)
    return Length(centre)


Edge = tuple[int, int]
"""In nanometres: from the first to the second the chance goes from none to all, or from all to none."""


def _edges(taken: Sequence[Reading], band: FeelBand) -> tuple[list[Edge], list[Edge]]:
    """What the clearance is over, and what it is under, by each answer."""
    over: list[Edge] = []
    under: list[Edge] = []
    for r in taken:
        thin, thick = r.feeler.thinnest, r.feeler.thickest
        begin = ((thin + band.floor).nm, (thick + band.refused_to).nm)
        end = ((thin + band.free_from).nm, (thick + band.ceiling).nm)
        if len(r.feeler.leaves) > 1:  # the oil in a stack makes a drag worthless
            begin = end = (thin.nm, thick.nm)
        match r.answer:
            case Answer.FREE:
                over.append(end)
            case Answer.DRAG if len(r.feeler.leaves) > 1:
                over.append(begin)
            case Answer.DRAG:
                over.append(begin)
                under.append(end)
            case Answer.REFUSES:
                under.append(begin)
    return over, under


def _likelihood(places: range, over: Sequence[Edge], under: Sequence[Edge]) -> list[int]:
    """By place, in parts of a whole of its own: whole numbers, the same on every machine."""
    weights = [1] * len(places)
    first, last = places[0], places[-1]
    for a, b in over:
        if b > first:  # else it is sure all along
            width = max(1, b - a)
            weights = [w * min(max(x - a, 0), width) for w, x in zip(weights, places, strict=True)]
    for a, b in under:
        if a < last:
            width = max(1, b - a)
            weights = [w * min(max(b - x, 0), width) for w, x in zip(weights, places, strict=True)]
    return weights
