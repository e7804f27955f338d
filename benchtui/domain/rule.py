"""How much the blades must have shown before a valve counts as in range."""

from __future__ import annotations

from enum import Enum


class DecisionRule(Enum):
    """The grade that a valve must reach before it counts as in range.

    PLAIN takes each blade at its known thickness (simple acceptance, JCGM 106:2012 8.2); PROVED
    keeps a guard band of the blades' own errors at both limits (the rule of ISO 14253-1). FEEL is
    the weakest: a drag is read as the band that its owner's hand showed in practice. It is for that
    owner alone, so no sheet can ask for it.
    """

    PLAIN = "plain"
    PROVED = "proved"
    FEEL = "feel"
