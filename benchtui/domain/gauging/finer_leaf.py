"""A leaf more than the verdict wants: the one that halves a bracket, so that wear can be learned."""

from __future__ import annotations

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length, midpoint


def finer_leaf(bracket: Bracket, blades: BladeSet, enough: Length) -> Feeler | None:
    """The single leaf nearest the middle of a bracket, the thinner of two as near.

    None where the bracket is no wider than ``enough``, is open, or no leaf lies within it.
    """
    if bracket.width is None or bracket.high is None or bracket.width <= enough:
        return None
    low, high = bracket.low, bracket.high
    inside = [f for f in blades.singles() if low < f.nominal < high]
    middle = midpoint(low, high)
    return min(inside, key=lambda f: (abs(f.nominal - middle), f.nominal), default=None)
