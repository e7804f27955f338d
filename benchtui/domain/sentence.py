"""A sentence that knows the lengths and blades in it, so that whoever prints it chooses their unit.

The domain makes sentences of its reasons; a set of inch blades wants them in inches. As text a sentence
is in millimetres, as it always was; ``text.words.stamped.printed`` puts it in the unit of the set.
"""

from __future__ import annotations

from typing import Self

from benchtui.domain.blades import Feeler
from benchtui.domain.length import Length

Part = str | Length | Feeler


class Sentence(str):
    """Text with ``{}`` where ``parts`` stand: lengths, blades, or words.

    ``Sentence("{} goes, {} refuses", low, high)``. Its text has every length in bare millimetres, as the
    trade says them.
    """

    __slots__ = ("parts", "template")

    template: str
    parts: tuple[Part, ...]

    def __new__(cls, template: str, *parts: Part) -> Self:
        """The sentence, its text made at once."""
        told = super().__new__(cls, template.format(*map(_in_mm, parts)))
        told.template, told.parts = template, parts
        return told


def _in_mm(part: Part) -> str:
    return part if isinstance(part, str) else part.bare
