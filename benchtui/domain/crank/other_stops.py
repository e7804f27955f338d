"""Confirming a stop that is not a compression TDC: the plan with the fewest stops may have some."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, degrees, from_dead_centre, wrapped
from benchtui.domain.crank.overlap import LooksLike, OverlapFinding, SeenAtMark, SeenPast, judge
from benchtui.domain.crank.plan import mark_words
from benchtui.domain.crank.windows import named_cylinder, rows_at
from benchtui.domain.crank.words import LOOK, ROCK, to_compression
from benchtui.domain.sheet import Sheet

MEASURE = "Measure the valves of this stop, and no others."


def judge_stop(
    sheet: Sheet, cylinder_name: str, angle: Fraction, seen: SeenAtMark, *, turn_made: bool = False
) -> OverlapFinding:
    """Weigh what was ``seen`` with a cylinder that should be ``angle`` after its compression TDC.

    At compression TDC this is ``judge``. Where the cylinder should be in overlap its valves must be
    seen to rock. At any other place nothing about the valves can bear it out, so it must be
    reached by the turn ordered from a stop that was confirmed (``turn_made``); likewise where the
    manual's table has valves of the cylinder itself at its overlap. The mark is wanted in every
    case. ``seen`` names the valves of that cylinder; those to be measured are others.

    Raises:
        Refusal: the sheet has no such cylinder.
    """
    cylinder = named_cylinder(sheet, cylinder_name)
    angle = wrapped(angle)
    if angle == 0:
        return judge(sheet, cylinder_name, seen)
    place = f"{from_dead_centre(angle)} of cylinder {cylinder_name}"
    mark = mark_words(sheet.layout, wrapped(cylinder.firing + angle))
    printed = {v for row in rows_at(sheet, cylinder.firing + angle) for v in row.valves}
    own = any(valve.name in printed for valve in cylinder.valves)
    still = seen.look is SeenPast.ALL_STILL or bool(seen.still) or bool(seen.inlet_closed_before)
    if angle == OVERLAP_TDC and seen.moving and (still or seen.moving & seen.slack):
        because = "Some of it speaks for overlap and some for compression."
        step = f"Touch no screw. Begin again. {to_compression(sheet, cylinder_name)}"
        return OverlapFinding(LooksLike.CONTRADICTORY, because, step)
    if angle == OVERLAP_TDC and still:
        because = f"Cylinder {cylinder_name} looks like compression: this is one turn out."
        on = OVERLAP_TDC - (LOOK if seen.look is not None else 0)
        step = f"Turn {degrees(on)} degrees forward to the same mark."
        return OverlapFinding(LooksLike.COMPRESSION, because, step)
    if not seen.at_mark:
        return OverlapFinding(
            LooksLike.UNKNOWN, "The mark is not in place.", f"Turn forward to {mark}."
        )
    if angle == OVERLAP_TDC and seen.moving:
        because = f"The mark is in place; {', '.join(sorted(seen.moving))} rocked with the crank."
        return OverlapFinding(LooksLike.OVERLAP, because, MEASURE, measure=True)
    if turn_made and not seen.moving and (angle != OVERLAP_TDC or own):
        because = "The mark is in place; the turn was made from a stop that was confirmed."
        return OverlapFinding(LooksLike.AS_ORDERED, because, MEASURE, measure=True)
    step = (
        f"Rock the crank {ROCK} degrees each way: the valves of cylinder {cylinder_name} must move."
        if angle == OVERLAP_TDC
        else f"Confirm a compression TDC first. Cylinder {cylinder_name} is "
        f"{degrees(angle)} degrees forward of its own here."
    )
    return OverlapFinding(
        LooksLike.UNKNOWN, f"The mark alone does not show that this is {place}.", step
    )
