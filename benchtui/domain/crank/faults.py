"""What is wrong with an engine's layout, its valve timing, or the manual's table as typed in.

Each finding is ``(key, found, wanted)`` in the sheet's own keys. Rows of the plan and marks are
counted from 1: ``plan.2.valves``.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from benchtui.domain.crank.angles import crank_angle_of, cylinder_angle, degrees, from_dead_centre
from benchtui.domain.crank.windows import on_base_circle, widened
from benchtui.domain.sheet import FULL_CYCLE, Layout, Opening, PrintedStop, Timing, ValveKind

Finding = tuple[str, str, str]

USUAL_MARGIN = Fraction(10)
"""A smaller margin is asked about: ramps are longer than that (design value)."""

SHORTEST, LONGEST = Fraction(150), Fraction(400)
"""Openings outside these, in degrees of crank, are asked about (design values)."""


def faults_of(
    layout: Layout, timing: Timing | None, plan: tuple[PrintedStop, ...]
) -> tuple[Finding, ...]:
    """Everything for which the sheet is refused; empty for a good one."""
    found = list(_layout_faults(layout))
    if timing is not None:
        found += _timing_faults(timing)
    found += _plan_faults(layout, plan)
    return tuple(found)


def warnings_of(
    layout: Layout, timing: Timing | None, plan: tuple[PrintedStop, ...]
) -> tuple[Finding, ...]:
    """What is odd, but may be so: to be read again against the page it came from."""
    found: list[Finding] = []
    if layout.cylinders and all(c.firing != 0 for c in layout.cylinders):
        wanted = "the first cylinder to fire at 0, for the others count from it"
        found.append(("layout.firing", "no cylinder at 0", wanted))
    found += _fire_together(layout)
    if timing is not None and not _timing_faults(timing):
        found += _odd_timing(timing)
        found += _odd_rows(layout, timing, plan)
    return tuple(found)


def _layout_faults(layout: Layout) -> Iterator[Finding]:
    if not layout.cylinders:
        yield "layout.cylinders", "none", "one cylinder at least"
    for cylinder in layout.cylinders:
        key = f"layout.firing.{cylinder.name}"
        if not 0 <= cylinder.firing < FULL_CYCLE:
            yield key, degrees(cylinder.firing), "0 or more and less than 720 degrees of crank"
    for mark in layout.marks:
        known = mark.cylinder is not None and layout.cylinder(mark.cylinder) is not None
        if mark.cylinder is not None and not known:
            yield f"layout.marks.{mark.name}", f"cylinder {mark.cylinder}", _one_of(layout)
        elif mark.cylinder is None and mark.angle is None:
            yield f"layout.marks.{mark.name}", "no place", "a cylinder or an angle"


def _fire_together(layout: Layout) -> Iterator[Finding]:
    """Two cylinders at one angle are asked about: a slip of the pen as a rule, yet there are such."""
    seen: dict[Fraction, str] = {}
    for cylinder in layout.cylinders:
        other = seen.setdefault(cylinder.firing % FULL_CYCLE, cylinder.name)
        if other != cylinder.name:
            key = f"layout.firing.{cylinder.name}"
            what = f"{degrees(cylinder.firing)}, as cylinder {other} has"
            yield key, what, "another angle, unless the two fire together"


def _timing_faults(timing: Timing) -> list[Finding]:
    found: list[Finding] = []
    if timing.margin < 0:
        found.append(("timing.margin", degrees(timing.margin), "0 degrees or more"))
    for kind in ValveKind:
        found += _opening_faults(kind, timing.of(kind), timing.margin)
    if not found and _middle(timing.inlet) <= _middle(timing.exhaust):
        found.append(
            (
                "timing.inlet_opens",
                "the inlet open before the exhaust",
                "exhaust first, then inlet, after compression TDC (are the two changed over?)",
            )
        )
    return found


def _opening_faults(kind: ValveKind, opening: Opening, margin: Fraction) -> list[Finding]:
    opens, closes = f"timing.{kind.value}_opens", f"timing.{kind.value}_closes"
    if not 0 < opening.opens < FULL_CYCLE:
        wanted = "after compression TDC and before the next one"
        return [(opens, f"{degrees(opening.opens)} after compression TDC", wanted)]
    if opening.closes <= opening.opens:
        what = f"{from_dead_centre(opening.closes)}, not after it opens"
        return [(closes, what, f"later than {from_dead_centre(opening.opens)}")]
    if opening.closes >= FULL_CYCLE:
        what = f"{degrees(opening.closes)} after compression TDC: it never closes in time"
        return [(closes, what, "closed before compression TDC, 720 degrees")]
    span = widened(opening, margin)
    if margin >= 0 and (span.opens <= 0 or span.closes >= FULL_CYCLE):
        room = min(opening.opens, FULL_CYCLE - opening.closes)
        what = f"{degrees(margin)}, which leaves the {kind.value} no window at compression TDC"
        return [("timing.margin", what, f"less than {degrees(room)} degrees")]
    return []


def _plan_faults(layout: Layout, plan: tuple[PrintedStop, ...]) -> Iterator[Finding]:
    known = {valve.name for valve in layout.valves}
    named: set[str] = set()
    for i, row in enumerate(plan, start=1):
        if layout.cylinder(row.cylinder) is None:
            yield f"plan.{i}.at", f"cylinder {row.cylinder}", _one_of(layout)
        if not row.valves:
            yield f"plan.{i}.valves", "none", "one valve at least"
        for name in row.valves:
            if name not in known:
                yield f"plan.{i}.valves", name, f"a valve of this engine: {_listed(known)}"
            named.add(name)
    missing = known - named
    if plan and missing:
        yield "plan", f"no row for {_listed(missing)}", "every valve in one row at least"


def _odd_timing(timing: Timing) -> Iterator[Finding]:
    if timing.margin < USUAL_MARGIN:
        what = f"{degrees(timing.margin)} degrees"
        yield "timing.margin", what, f"{degrees(USUAL_MARGIN)} or more, to stay off the ramps"
    for kind in ValveKind:
        opening = timing.of(kind)
        lasts = opening.closes - opening.opens
        if not SHORTEST <= lasts <= LONGEST:
            what = f"open for {degrees(lasts)} degrees"
            wanted = f"{degrees(SHORTEST)} to {degrees(LONGEST)} degrees as a rule"
            yield f"timing.{kind.value}_closes", what, wanted


def _odd_rows(layout: Layout, timing: Timing, plan: tuple[PrintedStop, ...]) -> Iterator[Finding]:
    for i, row in enumerate(plan, start=1):
        at = layout.cylinder(row.cylinder)
        if at is None:
            continue
        crank = crank_angle_of(at, row.angle)
        for valve in layout.valves:
            cylinder = layout.cylinder(valve.cylinder)
            if valve.name not in row.valves or cylinder is None:
                continue
            angle = cylinder_angle(cylinder, crank)
            if on_base_circle(timing.of(valve.kind), timing.margin, angle):
                continue
            what = f"{valve.name}, with cylinder {cylinder.name} {from_dead_centre(angle)}"
            yield f"plan.{i}.valves", what, "a valve that the timing keeps closed there"


def _middle(opening: Opening) -> Fraction:
    return (opening.opens + opening.closes) / 2


def _one_of(layout: Layout) -> str:
    return f"one of {', '.join(c.name for c in layout.cylinders)}"


def _listed(names: set[str]) -> str:
    return ", ".join(sorted(names))
