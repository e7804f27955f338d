"""The hand that is not real: what it feels, how well it turns, what it gets wrong."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Answer

UM = 1000
"""Nanometres in a micrometre; the rehearsal reckons in whole nanometres too."""


@dataclass(frozen=True, slots=True)
class Hand:
    """One hand's habits; lengths in nanometres, angles in degrees, chances 0 to 1.

    A blade is *free* in a gap that is ``free_above`` wider than it, *drags* down to ``drag_above``
    (below zero: a thin blade can be drawn through a gap a little narrower than itself), and else
    refuses. ``noise`` is the standard deviation of what is felt. A turn is off by up to
    ``turn_error`` either way, all errors equally likely. ``overlap`` is the chance of standing one
    turn out without knowing it. Locking closes the gap by ``lock_closes`` on the mean, with a
    standard deviation of ``lock_spread``.
    """

    free_above: int = 10 * UM
    drag_above: int = -4 * UM
    noise: int = 0
    turn_error: float = 5.0
    overlap: float = 0.0
    lock_closes: int = 15 * UM
    lock_spread: int = 6 * UM

    def feel(self, gap: int, blade: int) -> Answer:
        """What this blade says in this gap."""
        if gap >= blade + self.free_above:
            return Answer.FREE
        return Answer.DRAG if gap >= blade + self.drag_above else Answer.REFUSES


STORY_HAND = Hand()
"""The hand of the written-down stories, on engines whose nuts move the screw."""

RIGID_HAND = Hand(drag_above=0)
"""A hand that never draws a blade through a gap narrower than it: every blade keeps its error."""
