"""Setting on a blade held in the gap: which leaf, and where the gap then stands."""

from __future__ import annotations

from benchtui.domain.adjusting.before_lock import DRAG, GIVE
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

NEAR = Length.um(10)
"""A leaf so near the aim is next to it (design value)."""


def leaf_to_hold(blades: BladeSet, aim: Length, band: Band, took: Length = ZERO) -> Feeler | None:
    """The single leaf nearest the aim, the thinner of two as near; None where none would land in range.

    A leaf within 0.01 mm of the aim, or a fifth of the range's width where that is more, is near. A
    light drag leaves the gap a little under or over the leaf; ``took`` is what locking adds to that
    (below zero where it closes). Never a stack, which is springy.
    """
    near = max(NEAR, Length(band.width.nm // 5))
    fit = [
        leaf
        for leaf in blades.leaves
        if abs(leaf.thickness - aim) <= near and _within(lands_of(leaf.thickness, took), band)
    ]
    best = min(fit, key=lambda leaf: (abs(leaf.thickness - aim), leaf.thickness), default=None)
    return None if best is None else Feeler((best,))


def lands_of(thickness: Length, took: Length) -> tuple[Length, Length]:
    """Where the gap stands once it was set on this leaf and locked."""
    return thickness - GIVE + took, thickness + DRAG - GIVE + took


def _within(ends: tuple[Length, Length], band: Band) -> bool:
    return band.low <= ends[0] and ends[1] <= band.high
