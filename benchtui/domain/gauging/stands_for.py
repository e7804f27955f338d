"""A leaf that stands for a limit: manuals print 0.25 mm (0.010 in) as one figure, 0.004 mm apart.

By the rule *plain* a leaf whose stamped size lies within its own error of a limit is that limit's leaf,
as its user takes it (common practice; the pairs of figures in any manual printed in two units). One that
a micrometer has measured is what it is, and where the bracket is to be proved nothing of the kind is taken.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.blades import Leaf
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band


def as_bladed(band: Band, leaves: Iterable[Leaf]) -> Band:
    """The range with each limit as thick as the leaf that stands for it; as printed where none does."""
    near = tuple(leaves)
    low, high = (leaf_of(limit, near) for limit in (band.low, band.high))
    return Band(low, high) if low < high else band


def leaf_of(limit: Length, leaves: Iterable[Leaf]) -> Length:
    """The thickness of the leaf that stands for a limit, the thinner of two as near; else the limit."""
    fit = [
        leaf.marked
        for leaf in leaves
        if leaf.measured is None and abs(leaf.marked.nm - limit.nm) < leaf.error.nm
    ]
    return min(fit, key=lambda size: (abs(size - limit), size), default=limit)
