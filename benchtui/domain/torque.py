"""Torques: units, a wrench with something on its end, and figures that look wrong.

Torques are exact fractions of a newton metre.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import cos, radians

from benchtui.domain.length import NM_PER_INCH, NM_PER_MM, ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Torque

LBF = Fraction("4.4482216152605")
"""Newtons in a pound-force, exact by definition (0.45359237 kg times 9.80665 m/s2)."""

KGF = Fraction("9.80665")
"""Newtons in a kilogram-force, exact by definition."""

LBF_FT = LBF * Fraction("0.3048")
"""Newton metres in a pound-force foot, exact."""

LBF_IN = LBF_FT / 12
"""Newton metres in a pound-force inch, exact."""

KGF_M = KGF
"""Newton metres in a kilogram-force metre, exact."""


@dataclass(frozen=True, slots=True)
class Wrench:
    """A torque wrench: ``length`` from the middle of its square to the middle of the hand's grip.

    ``low`` to ``high`` is the range it can be set to, in newton metres.
    """

    length: Length
    low: Fraction
    high: Fraction

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.high:
            raise ValueError(f"a wrench's range runs upwards from above zero, not from {self.low}")


SHORTEST, LONGEST = Length.mm(50), Length.mm(2000)
"""No torque wrench is shorter or longer than this (design values, to catch a wrong unit)."""


def reach(length: Length, extension: Length, angle: Fraction = Fraction(0)) -> Fraction:
    """What the nut gets over what the wrench is set to: (L + E cos a) / L.

    ``angle`` in degrees: 0 with the extension straight on, 90 square to the wrench (no change),
    180 folded back under it.

    Raises:
        Refusal: lengths that no wrench has, or with which no setting can be trusted.
    """
    if not SHORTEST <= length <= LONGEST:
        raise Refusal(Why.WRENCH_LENGTH, length=length)
    if not ZERO <= extension <= length:
        raise Refusal(Why.EXTENSION_LENGTH, extension=extension, length=length)
    if not 0 <= angle <= 180:  # noqa: PLR2004 - half a circle
        raise Refusal(Why.EXTENSION_ANGLE)
    arm = length.nm + extension.nm * _cosine(angle)
    if 2 * arm < length.nm:
        raise Refusal(Why.FOLDED_BACK)
    return arm / length.nm


def wrench_setting(
    torque: Fraction, wrench: Wrench, extension: Length = ZERO, angle: Fraction = Fraction(0)
) -> Fraction:
    """What to set the wrench to so that the nut gets ``torque``: T L / (L + E cos a).

    Raises:
        Refusal: the setting lies outside the wrench's range, or the lengths are absurd.
    """
    setting = torque / reach(wrench.length, extension, angle)
    if setting < wrench.low:
        raise Refusal(Why.WRENCH_TOO_BIG, setting=_nm(setting), low=_nm(wrench.low))
    if setting > wrench.high:
        raise Refusal(Why.WRENCH_TOO_SMALL, setting=_nm(setting), high=_nm(wrench.high))
    return setting


def _cosine(angle: Fraction) -> Fraction:
    # To twelve places: exact where it matters (0, 60, 90, 180) and the same on every machine.
    places = 10**12
    return Fraction(round(cos(radians(angle)) * places), places)


def _nm(torque: Fraction) -> str:
    return f"{float(torque):.1f} N m"


@dataclass(frozen=True, slots=True)
class PublishedTorque:
    """A published range for one thread; ``diameter`` of the thread, torques in newton metres."""

    thread: str
    diameter: Length
    low: Fraction
    high: Fraction


def _row(thread: str, inches: str, low: int, high: int) -> PublishedTorque:
    return PublishedTorque(thread, Length.inch(Fraction(inches)), low * LBF_IN, high * LBF_IN)


PUBLISHED = (
    _row("8-36", "0.164", 12, 15),
    _row("10-32", "0.190", 20, 25),
    _row("1/4-28", "1/4", 50, 70),
    _row("5/16-24", "5/16", 100, 140),
    _row("3/8-24", "3/8", 160, 190),
)
"""Torque limits of tension nuts on fine threads, in lbf in: AC 43.13-1B, table 7-1. A yardstick for
wrong units and misread figures only; never a figure to tighten to."""

NEAR = Fraction(6, 100)
"""A thread this near in diameter to a published one is held against it (design value)."""

FAR = 3
"""A figure more than so many times off the published range is worth a second look. Soft cases and
coarse threads differ by up to about two (design value)."""

SMALL = Length.mm(6)
"""Threads up to this strip before a hand feels it; the manual's figure only (common practice)."""

SMALL_THREAD = "this small thread takes the manual's figure only."


_BA = ("6.0", "5.3", "4.7", "4.1", "3.6", "3.2", "2.8", "2.5", "2.2", "1.9", "1.7")
"""Major diameters of 0 BA to 10 BA, in millimetres (published table, from memory)."""


def diameter(thread: str) -> Length | None:
    """The major diameter a thread's name tells (``M6x1``, ``1/4-28``, ``#10-32``, ``2 BA``), or None."""
    name = thread.strip().upper()
    if metric := re.match(r"M\s*(\d+(?:[.,]\d+)?)", name):
        return Length(round(Fraction(metric[1].replace(",", ".")) * NM_PER_MM))
    if inch := re.match(r"(\d+)/(\d+)", name):
        return Length.inch(Fraction(int(inch[1]), int(inch[2]))) if int(inch[2]) else None
    if number := re.match(r"(?:#|NO\.?\s*)?(\d{1,2})\s*-\s*\d", name):
        # Numbered screws: 0.060 in for number 0, and 0.013 in more for each (ASME B1.1).
        return Length(round(Fraction(60 + 13 * int(number[1]), 1000) * NM_PER_INCH))
    if ba := re.match(r"(?:BA\s*(\d{1,2})|(\d{1,2})\s*BA)\b", name):
        number_ba = int(ba[1] or ba[2])
        return Length.mm(_BA[number_ba]) if number_ba < len(_BA) else None
    return None


def is_small(thread: str) -> bool:
    """Whether it is known to be so small that only the manual's figure will do."""
    size = diameter(thread)
    return size is not None and size <= SMALL


class UnitSlip(Enum):
    """A misread unit that would explain a figure far off; the value is how it is said."""

    IN_AS_FT = "lbf in read as lbf ft"
    FT_AS_IN = "lbf ft read as lbf in"
    KGF_M_AS_NM = "kgf m read as N m"
    NM_AS_KGF_M = "N m read as kgf m"


_SLIPS = (
    (UnitSlip.IN_AS_FT, Fraction(1, 12)),
    (UnitSlip.NM_AS_KGF_M, 1 / KGF_M),
    (UnitSlip.FT_AS_IN, Fraction(12)),
    (UnitSlip.KGF_M_AS_NM, KGF_M),
)


@dataclass(frozen=True, slots=True)
class TorqueDoubt:
    """A figure far from what is published for its thread, or for one about its size.

    ``slips`` are the unit slips that would bring it back.
    """

    torque: Torque
    published: PublishedTorque
    slips: tuple[UnitSlip, ...]

    def __str__(self) -> str:
        low, high = self.published.low, self.published.high
        way = "above" if self.torque.low > high else "below"
        maybe = f" Possibly {' or '.join(s.value for s in self.slips)}." if self.slips else ""
        return (
            f"{self.torque.what}, {self.torque.printed}: far {way} what is usual for a thread about "
            f"this size ({self.published.thread}: {float(low):.1f} to {float(high):.1f} N m). "
            f"Read the manual's page again.{maybe}"
        )


def torque_doubt(torque: Torque) -> TorqueDoubt | None:
    """Whether a sheet's figure is far off; None where it is not, or where nothing is published."""
    size = diameter(torque.thread)
    if size is None:
        return None
    published = min(PUBLISHED, key=lambda row: abs(row.diameter - size))
    if abs(published.diameter - size).nm > NEAR * size.nm:
        return None
    if _near(torque, published, Fraction(1)):
        return None
    slips = tuple(slip for slip, factor in _SLIPS if _near(torque, published, factor))
    return TorqueDoubt(torque, published, slips)


def _near(torque: Torque, published: PublishedTorque, factor: Fraction) -> bool:
    not_above = torque.low * factor <= FAR * published.high
    return not_above and torque.high * factor * FAR >= published.low
