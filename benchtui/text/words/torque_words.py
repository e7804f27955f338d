"""Tightening torques in every unit that wrenches carry, and what to mind with each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.length import NM_PER_MM, ZERO, Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.sheet import Torque
from benchtui.domain.torque import SMALL_THREAD, Wrench, is_small, torque_doubt, wrench_setting
from benchtui.text.quantities import measure, show
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.words.refusals import error_words


@dataclass(frozen=True, slots=True)
class OnWrench:
    """A wrench with something on its end: a crowfoot, or an extension, at an angle in degrees."""

    wrench: Wrench
    extension: Length = ZERO
    angle: Fraction = Fraction(0)


def torque_units(torque: Torque) -> tuple[str, str, str]:
    """The figure in N m, lbf ft and lbf in."""
    return (
        show.torque(torque.low, torque.high, "N m"),
        show.torque(torque.low, torque.high, "lbf ft"),
        show.torque(torque.low, torque.high, "lbf in"),
    )


def torque_told(torque: Torque) -> str:
    """The figure as printed, the other system behind it: ``10 lbf ft (13.6 N m)``.

    A sheet that prints both is followed in both.
    """
    printed = torque.printed.replace("*", " ")
    if "(" in printed:
        return printed
    metric = not re.search(r"lb|ft|in\b", printed)
    imperial: show.TorqueUnit = "lbf in" if torque.high < show.SMALL_TORQUE else "lbf ft"
    return f"{printed} ({show.torque(torque.low, torque.high, imperial if metric else 'N m')})"


def torque_notes(torque: Torque) -> tuple[str, ...]:
    """What to mind with this fastening."""
    notes = []
    if is_small(torque.thread):
        notes.append(f"{torque.thread}: {SMALL_THREAD}")
    doubt = torque_doubt(torque)
    if doubt is not None:
        notes.append(str(doubt))
    return tuple(notes)


def setting_words(torque: Torque, on: OnWrench) -> str:
    """What to set the wrench to for this fastening, or why that cannot be: what to do instead."""
    try:
        ends = [
            wrench_setting(end, on.wrench, on.extension, on.angle)
            for end in (torque.low, torque.high)
        ]
    except Refusal as refusal:
        return error_words(refusal)
    return f"set {show.torque_both(ends[0], ends[1])}"


def wrench_words(on: OnWrench) -> str:
    """The wrench and what is on it, as they were told."""
    wrench = on.wrench
    told = f"Wrench {_long(wrench.length)}, {show.torque(wrench.low, wrench.high)}"
    if not on.extension:
        return f"{told}, nothing on it."
    return f"{told}, with {_long(on.extension)} on it at {show.angle(on.angle)}."


def _long(length: Length) -> str:
    """A length of a tool, where hundredths of a millimetre say nothing."""
    return f"{show.number(Fraction(length.nm, NM_PER_MM), 1)} mm"


def wrench_of(text: str) -> Wrench:
    """A wrench as people write it: ``300 mm, 5 to 25 N m``: square to grip, then its range.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    length, _, rest = text.partition(",")
    if not rest.strip():
        raise FaultyQuantity(measure.quoted(text), _WRENCH)
    low, high = measure.torque_nm(rest.strip())
    if not 0 < low < high:
        raise FaultyQuantity(measure.quoted(rest.strip()), _WRENCH)
    return Wrench(measure.length(length.strip()), low, high)


_WRENCH = "square to grip, a comma, and its range, as in: 300 mm, 5 to 25 N*m"
_EXTENSION = "nut to square, and the angle, as in: 50 mm at 90, or: none"


def extension_of(text: str) -> tuple[Length, Fraction]:
    """An extension as people write it: ``50 mm``, ``50 mm at 90``, ``none``.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    plain = text.strip()
    if plain in ("", "none", "0"):
        return ZERO, Fraction(0)
    found = re.fullmatch(r"(.+?)(?: at (.+))?", plain)
    if found is None:
        raise FaultyQuantity(measure.quoted(text), _EXTENSION)
    angle = Fraction(0) if not found[2] else measure.angle(found[2])
    return measure.length(found[1]), angle
