"""Sentences about the crank for somebody beside the engine."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.crank.angles import (
    HALF_TURN,
    ONE_TURN,
    OVERLAP_TDC,
    crank_angle_of,
    cylinder_angle,
    degrees,
    wrapped,
)
from benchtui.domain.crank.plan import Stop, mark_words
from benchtui.domain.crank.windows import may_measure, named_cylinder, on_base_circle
from benchtui.domain.sheet import FULL_CYCLE, Layout, Sheet, ValveKind

LOOK = Fraction(45)
"""How far past TDC the look is taken that tells overlap from a clearance that is gone. Compression
is followed by the power stroke with both valves shut; overlap by an inlet valve well on its way."""

ROCK = Fraction(15)
"""How far the crank is rocked each way about TDC to see whether the valves stay still."""


def companions(layout: Layout) -> tuple[tuple[str, str], ...]:
    """Cylinders that come to TDC together, one on compression while the other rocks.

    Their firing angles are one turn apart. In firing order, each pair once.
    """
    order = layout.firing_order
    return tuple(
        (first.name, second.name)
        for first in order
        for second in order
        if second.firing - first.firing == ONE_TURN
    )


def companion_of(sheet: Sheet, cylinder_name: str) -> str:
    """The cylinder whose valves rock while this one is at compression TDC; empty for none.

    It fires one turn apart (common practice: "4 rocks, set 1").
    """
    layout = sheet.layout
    own = named_cylinder(sheet, cylinder_name)
    others = (c for c in layout.cylinders if cylinder_angle(c, own.firing) == OVERLAP_TDC)
    return next((c.name for c in others), "")


def companion_words(layout: Layout) -> str:
    """The companions in a sentence; empty where there are none."""
    pairs = companions(layout)
    if not pairs:
        return ""
    listed = ", ".join(f"{a} and {b}" for a, b in pairs)
    order = [c.name for c in layout.firing_order]
    halved = ""
    if len(pairs) * 2 == len(order):
        half = len(pairs)
        halved = (
            f" (the firing order halved: {'-'.join(order[:half])} over {'-'.join(order[half:])})"
        )
    return (
        f"Companions: {listed}{halved}. When the valves of one are rocking, the other is at "
        "compression TDC."
    )


def rule_of_nine(sheet: Sheet) -> str:
    """The four-cylinder rule, where it gives the same answer as the timing; else empty.

    Only for four cylinders of two valves each, evenly fired, with timing and without a printed
    plan. The valves are numbered in the order in which the sheet has them along the head. Every
    pair is checked with the first of it at the middle of its opening, where it is fully open.
    """
    layout, timing = sheet.layout, sheet.timing
    valves = layout.valves
    even = all(c.firing % HALF_TURN == 0 for c in layout.cylinders)
    of_two = all({v.kind for v in c.valves} == set(ValveKind) for c in layout.cylinders)
    if timing is None or sheet.plan or len(layout.cylinders) != 4 or len(valves) != 8:  # noqa: PLR2004 - the rule is for four cylinders and eight valves
        return ""
    if not (even and of_two):
        return ""
    for n, down in enumerate(valves):
        opening = timing.of(down.kind)
        middle = (opening.opens + opening.closes) / 2
        crank = crank_angle_of(named_cylinder(sheet, down.cylinder), middle)
        if not may_measure(sheet, valves[7 - n], crank).allowed:
            return ""
    numbered = ", ".join(f"{n} is {v.name}" for n, v in enumerate(valves, start=1))
    return (
        "If the four cylinders stand in one line, the rule of nine holds: number the valves along "
        f"the head ({numbered}); with valve n fully open, set valve 9 - n."
    )


def stop_words(stop: Stop) -> str:
    """What to do to reach a stop of the plan, and how to know it."""
    far = "" if stop.forward is None else f"{degrees(stop.forward)} degrees "
    sentences = [f"Turn {far}forward to {stop.name}: {stop.mark}."]
    if stop.angle == OVERLAP_TDC and stop.cylinder in stop.rocking:
        sentences.append(f"Cylinder {stop.cylinder} must be in overlap here: its valves rock.")
    if stop.rocking:
        several = len(stop.rocking) > 1
        names = " and ".join(stop.rocking)
        sentences.append(f"Leave cylinder{'s' if several else ''} {names} alone: in overlap.")
    sentences += [p.doubt for p in stop.permissions if p.doubt]
    return " ".join(sentences)


def to_compression(sheet: Sheet, cylinder_name: str, crank_angle: Fraction | None = None) -> str:
    """How to bring a cylinder to its compression TDC, turning forward only.

    ``crank_angle`` is where the crank stands, where that is known.

    Raises:
        Refusal: the sheet has no such cylinder.
    """
    cylinder = named_cylinder(sheet, cylinder_name)
    layout = sheet.layout
    inlets = [v.name for v in cylinder.valves if v.kind is ValveKind.INLET]
    watched = " and ".join(inlets) or "its inlet valve"
    way = f" ({layout.turns})" if layout.turns else ""
    sentences = []
    if crank_angle is not None:
        ahead = wrapped(cylinder.firing - crank_angle)
        if ahead == 0:
            sentences.append(f"Cylinder {cylinder.name} should be at compression TDC already.")
            ahead = FULL_CYCLE
        sentences.append(f"It is next there {degrees(ahead)} degrees forward.")
    sentences += [
        f"Turn forward by hand{way} and watch {watched}: open, then closed again.",
        f"The next TDC is compression: {mark_words(layout, cylinder.firing)}.",
    ]
    other = companion_of(sheet, cylinder_name)
    if other:
        sentences.append(f"The valves of cylinder {other} rock there.")
    sentences.append("If you pass the mark, do not turn back: go on two whole turns.")
    if layout.decompressor:
        sentences.append(decompressor_words(layout))
    return " ".join(sentences)


def decompressor_words(layout: Layout) -> str:
    """What to do about a decompressor; empty where the sheet has none."""
    if not layout.decompressor:
        return ""
    return (
        f"Decompressor: {layout.decompressor}. While it acts it holds a valve off its seat, and "
        "that valve shows no clearance at compression TDC. Release it, or turn forward past where it "
        "acts, as the manual says, before you measure."
    )


def look_words(sheet: Sheet, cylinder_name: str) -> str:
    """The look past TDC that tells a clearance that is gone from overlap.

    Empty where the timing has a valve open there after compression TDC, so that the look would
    tell nothing.

    Raises:
        Refusal: the sheet has no such cylinder.
    """
    cylinder = named_cylinder(sheet, cylinder_name)
    if sheet.timing is not None and not all(
        on_base_circle(sheet.timing.of(kind), Fraction(0), LOOK) for kind in ValveKind
    ):
        return ""
    inlets = " and ".join(v.name for v in cylinder.valves if v.kind is ValveKind.INLET)
    watched = inlets or "the inlet valve"
    return (
        f"Touch no screw. Turn {degrees(LOOK)} degrees forward only, past TDC, and watch {watched}. "
        "If it opens, this was overlap. If all the valves stay still, this was compression and "
        "the clearance is gone."
    )
