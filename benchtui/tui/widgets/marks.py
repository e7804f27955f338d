"""Our own shapes and words for answers and states, the same on every picture.

A shape is never alone: the word stands beside it or in the picture's key line.
"""

from __future__ import annotations

from benchtui.domain.gauging.bracket import Answer
from benchtui.text.words.standing import Standing
from benchtui.tui.widgets.canvas import Role

SHAPES = {Answer.FREE: "○", Answer.DRAG: "≈", Answer.REFUSES: "■"}
"""An open ring, a rubbing wave, a solid block. The word is the answer's value."""

STRUCK = "×"  # noqa: RUF001  the cross itself is meant
"""A reading that was struck out; its word is ``struck``."""


ROLES = {
    Standing.TO_DO: Role.PLAIN,
    Standing.UNDECIDED: Role.UNDECIDED,
    Standing.IN_RANGE: Role.IN,
    Standing.ON_FIGURE: Role.IN,
    Standing.BY_THREAD: Role.IN,
    Standing.AT_LIMIT: Role.IN,
    Standing.TIGHT: Role.OUT,
    Standing.WIDE: Role.OUT,
    Standing.NO_CLEARANCE: Role.CAUTION,
    Standing.CLASH: Role.CAUTION,
    Standing.NUT_SLACK: Role.CAUTION,
    Standing.AGAIN: Role.CAUTION,
    Standing.NO_VERDICT: Role.CAUTION,
}
"""The role that gives a state its colour; its word and sign are in ``text.words.standing``."""
