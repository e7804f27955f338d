"""One blade and its answer in the few figures that a record keeps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.length import Length


@dataclass(frozen=True, slots=True)
class Felt:
    """What a blade said. ``thinnest`` to ``thickest`` is what it can be with its errors and joints.

    Two with the same three lengths are taken to be the same leaf, or stack, of one owner.
    """

    nominal: Length
    thinnest: Length
    thickest: Length
    answer: Answer


def felt(readings: Iterable[Reading]) -> tuple[Felt, ...]:
    """The readings in short, in their order; a blade that said the same twice is kept once."""
    kept: dict[tuple[int, int, int, Answer], Felt] = {}
    for reading in readings:
        answer, blade = reading.answer, reading.feeler
        thin, plain, thick = blade.thinnest, blade.nominal, blade.thickest
        # By the figures themselves: hashing the lengths took longer than all else.
        kept.setdefault((thin.nm, plain.nm, thick.nm, answer), Felt(plain, thin, thick, answer))
    return tuple(kept.values())
