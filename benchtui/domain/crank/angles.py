"""Angles of crank: where each cylinder is in its cycle, and how that is said."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.sheet import FULL_CYCLE, Cylinder, Layout, Mark

HALF_TURN = Fraction(180)
ONE_TURN = Fraction(360)
OVERLAP_TDC = Fraction(360)
"""A cylinder's overlap TDC, in degrees after its compression TDC."""


def wrapped(angle: Fraction) -> Fraction:
    """The same angle of the cycle, 0 <= angle < 720 degrees."""
    return angle % FULL_CYCLE


def cylinder_angle(cylinder: Cylinder, crank_angle: Fraction) -> Fraction:
    """Degrees after this cylinder's compression TDC, 0 to 720, with the crank at ``crank_angle``.

    0 is its compression TDC and 360 its overlap TDC.
    """
    return wrapped(crank_angle - cylinder.firing)


def crank_angle_of(cylinder: Cylinder, angle: Fraction = Fraction(0)) -> Fraction:
    """Where the crank stands when the cylinder is ``angle`` after its compression TDC."""
    return wrapped(cylinder.firing + angle)


def mark_angle(layout: Layout, mark: Mark) -> Fraction | None:
    """The crank angle of a mark, or None where the sheet does not place it.

    A mark sits on the crankshaft and so comes round once a turn: it shows at this angle and
    360 degrees on.
    """
    if mark.angle is not None:
        return wrapped(mark.angle)
    cylinder = layout.cylinder(mark.cylinder) if mark.cylinder is not None else None
    return None if cylinder is None else cylinder.firing


def marks_at(layout: Layout, crank_angle: Fraction) -> tuple[Mark, ...]:
    """The marks that stand at their pointer with the crank here, on either turn of the cycle.

    A mark of the cylinder that is at compression TDC comes first.
    """
    here = [
        mark
        for mark in layout.marks
        if (angle := mark_angle(layout, mark)) is not None and (angle - crank_angle) % ONE_TURN == 0
    ]

    def rank(mark: Mark) -> int:
        cylinder = layout.cylinder(mark.cylinder) if mark.cylinder is not None else None
        return 0 if cylinder is not None and cylinder_angle(cylinder, crank_angle) == 0 else 1

    return tuple(sorted(here, key=rank))


def degrees(angle: Fraction) -> str:
    """``45``, ``22.5``; an angle that does not end within two places reads ``about 102.9``."""
    hundredths = angle * 100
    if hundredths.denominator == 1:
        text = f"{int(hundredths) / 100:.2f}".rstrip("0").rstrip(".")
        return text or "0"
    return f"about {round(angle * 10) / 10:.1f}"


def from_dead_centre(angle: Fraction) -> str:
    """An angle of one cylinder as the trade says it, from the nearer dead centre.

    ``45 after overlap TDC``, ``78 before BDC``, ``compression TDC``.
    """
    angle = wrapped(angle)
    nearest = (angle + HALF_TURN / 2) // HALF_TURN * HALF_TURN
    centre = {0: "compression TDC", 360: "overlap TDC"}.get(int(wrapped(nearest)), "BDC")
    off = angle - nearest
    if off == 0:
        return centre
    return f"{degrees(abs(off))} {'after' if off > 0 else 'before'} {centre}"


def standing(angle: Fraction) -> str:
    """Where a cylinder is, to follow "is": ``at BDC``, ``45 after compression TDC``."""
    place = from_dead_centre(angle)
    return place if wrapped(angle) % HALF_TURN else f"at {place}"


def in_turning_order(angles: tuple[Fraction, ...], datum: Fraction) -> tuple[Fraction, ...]:
    """These crank angles in the order that turns forward the least, each one once.

    The widest gap is the one that is not turned through. Where gaps tie, the order starts at the
    angle that comes soonest after ``datum``, so it does not hang on where the zero was put.
    """
    ring = sorted(set(angles), key=lambda a: wrapped(a - datum))
    if not ring:
        return ()

    def gap_before(index: int) -> Fraction:
        return wrapped(ring[index] - ring[index - 1])

    start = max(range(len(ring)), key=lambda i: (gap_before(i), -i))
    return tuple(ring[start:] + ring[:start])
