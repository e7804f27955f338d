"""How the metal stood to what the sheet asks, as a reading or a touch of the adjuster found it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class MetalKind(Enum):
    """Whether the metal is as the sheet asks, and what is wrong where it is not."""

    RIGHT = "right"
    NOT_TOLD = "not told"
    TOO_WARM = "too warm"
    TOO_COOL = "too cool"
    NOT_ASKED = "not asked"


class MetalBy(Enum):
    """What the metal was judged by."""

    FIGURE = "a temperature"
    STOOD = "hours stood"
    WORD = "somebody's word"


@dataclass(frozen=True)
class MetalStanding:
    """The metal against the sheet.

    ``below`` and ``above`` are the sheet's bounds in degrees Celsius, None where it prints none;
    ``metal_c`` the temperature told. ``stood`` are the hours told and ``stood_wanted`` those that
    count as cold (None on a sheet for a hot engine). ``hot_set``: the sheet's figures hold for a
    hot engine. ``by`` is what it was judged by; None where nothing was told that could tell.
    ``stale``: a heat was told and is too long ago to hold.
    """

    kind: MetalKind
    below: Fraction | None = None
    above: Fraction | None = None
    metal_c: Fraction | None = None
    stood: Fraction | None = None
    stood_wanted: Fraction | None = None
    hot_set: bool = False
    by: MetalBy | None = None
    stale: bool = False

    @property
    def right(self) -> bool:
        """Whether what is read in this metal counts."""
        return self.kind in (MetalKind.RIGHT, MetalKind.NOT_ASKED)


NOT_ASKED = MetalStanding(MetalKind.NOT_ASKED)
"""A sheet that asks nothing of the metal."""
