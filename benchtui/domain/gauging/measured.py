"""A clearance that was measured, by a dial at the valve or as a strip: a bracket beside the blades'.

It is not mixed with blades: they bracket a gap between two sizes, and it is one figure with its error.
Over a dished pad it is right where blades are not.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Bracket, Measured
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

MEASURED_ERROR = Length.um(10)
"""Taken either way where none is told: one division of a workshop's dial (design value)."""

BRIDGED = Length.um(30)
"""Measured wider than the blades by more than so much, the pad is to be tested (design value)."""


@dataclass(frozen=True, slots=True)
class Apart:
    """The blades and a measured value differ by more than their errors; both cannot be right.

    ``wider`` is by how much the measured value is wider at least, below zero where it is tighter.
    """

    measured: Measured
    blades: Bracket
    wider: Length

    @property
    def pad_in_doubt(self) -> bool:
        """Whether blades that bridge a dished pad would explain it."""
        return self.wider > BRIDGED


def apart(blades: Bracket, measured: Measured | None) -> Apart | None:
    """Whether the two speak of different gaps, and how far apart; None where they agree."""
    if measured is None or blades.clash:
        return None
    low, high = measured.value - measured.error, measured.value + measured.error
    if blades.wide_high is not None and low > blades.wide_high:
        return Apart(measured, blades, low - blades.wide_high)
    if high < blades.wide_low:
        return Apart(measured, blades, high - blades.wide_low)
    return None


def bracket_measured(measured: Measured) -> Bracket:
    """The bracket of a measured value: its error either side."""
    low, high = max(ZERO, measured.value - measured.error), measured.value + measured.error
    return Bracket(low, high, low, high, measured=measured)


def closer(blades: Bracket, measured: Measured | None) -> Bracket:
    """Whichever of the two tells more closely where the gap lies, every error counted."""
    if measured is None:
        return blades
    if blades.clash or blades.wide_high is None:
        return bracket_measured(measured)
    closed_in = blades.wide_high - blades.wide_low <= measured.error * 2
    return blades if closed_in else bracket_measured(measured)


def inside(measured: Measured, band: Band) -> bool:
    """Whether it lies in the band with its error against us (ISO 14253-1)."""
    return band.low <= measured.value - measured.error and (
        measured.value + measured.error <= band.high
    )
