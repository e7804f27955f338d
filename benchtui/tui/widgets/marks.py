"""Our own shapes and words for answers and states, the same on every picture.

A shape is never alone: the word stands beside it or in the picture's key line.
"""

from __future__ import annotations

from enum import Enum

from benchtui.domain.gauging.bracket import Answer
from benchtui.tui.widgets.canvas import Role

SHAPES = {Answer.FREE: "○", Answer.DRAG: "≈", Answer.REFUSES: "■"}
"""An open ring, a rubbing wave, a solid block. The word is the answer's value."""

STRUCK = "×"  # noqa: RUF001  the cross itself is meant
"""A reading that was struck out; its word is ``struck``."""


class State(Enum):
    """How a valve stands on the map."""

    NOT_YET = "not yet"
    UNDECIDED = "undecided"
    CLASH = "contradiction"
    IN = "in range"
    TIGHT = "tight"
    WIDE = "wide"
    LOOSE = "not locked"
    DONE = "done"

    @property
    def shape(self) -> str:
        """One character."""
        return _SHAPES[self][0]

    @property
    def word(self) -> str:
        """At most five letters."""
        return _SHAPES[self][1]

    @property
    def role(self) -> Role:
        """The role that gives its colour."""
        return _SHAPES[self][2]


_SHAPES = {
    State.NOT_YET: ("□", "to do", Role.PLAIN),
    State.UNDECIDED: ("?", "undec", Role.UNDECIDED),
    State.CLASH: ("×", "clash", Role.CAUTION),  # noqa: RUF001  the cross itself is meant
    State.IN: ("√", "in", Role.IN),
    State.TIGHT: ("▼", "tight", Role.OUT),
    State.WIDE: ("▲", "wide", Role.OUT),
    State.LOOSE: ("!", "loose", Role.CAUTION),
    State.DONE: ("█", "done", Role.IN),
}
