"""Compression or overlap? What was seen at the engine is weighed before any screw is touched."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.crank.angles import OVERLAP_TDC, crank_angle_of
from benchtui.domain.crank.windows import named_cylinder
from benchtui.domain.crank.words import LOOK, ROCK, decompressor_words, look_words, to_compression
from benchtui.domain.sheet import Sheet


class SeenPast(Enum):
    """What was seen 45 degrees forward of the TDC in question."""

    INLET_OPENS = "the inlet opens"
    ALL_STILL = "all valves still"


class LooksLike(Enum):
    """What the evidence comes to."""

    COMPRESSION = "compression"
    OVERLAP = "overlap"
    CLEARANCE_GONE = "clearance gone"
    AS_ORDERED = "where it was turned to"
    CONTRADICTORY = "contradictory"
    UNKNOWN = "not known yet"


@dataclass(frozen=True, slots=True)
class SeenAtMark:
    """What was seen at one cylinder with its mark in place; all of it may be left out.

    ``slack`` and ``no_slack`` name its valves as felt. ``moving`` and ``still`` name those watched
    while the crank was rocked 15 degrees each way. ``inlet_closed_before``: the inlet was seen to
    open and close before the mark came (True), or to be still open or about to open (False).
    ``look``: what 45 degrees on has shown, the crank standing there now. ``looked``: that look was
    taken the time before and all was still; the crank has come round to the mark again since.
    ``lobes_away``: both lobes point away from their followers. ``companion``: the cylinder one turn
    apart, whose valves were seen to rock; empty where nobody looked.
    """

    at_mark: bool = False
    slack: frozenset[str] = frozenset()
    no_slack: frozenset[str] = frozenset()
    moving: frozenset[str] = frozenset()
    still: frozenset[str] = frozenset()
    inlet_closed_before: bool | None = None
    look: SeenPast | None = None
    looked: bool = False
    lobes_away: bool = False
    companion: str = ""


@dataclass(frozen=True, slots=True)
class OverlapFinding:
    """What it looks like, why, and what to do next.

    ``measure`` says whether blades may go in and, if need be, an adjuster be touched.
    """

    looks: LooksLike
    because: str
    next_step: str
    measure: bool = False


def judge(sheet: Sheet, cylinder_name: str, seen: SeenAtMark) -> OverlapFinding:
    """Weigh what was ``seen`` at a cylinder that should be at its compression TDC.

    Two pieces of evidence that agree make it compression. Anything that speaks for overlap stops
    the bench, and so does evidence that contradicts itself.

    Raises:
        Refusal: the sheet has no such cylinder.
    """
    valves = frozenset(v.name for v in named_cylinder(sheet, cylinder_name).valves)
    overlap, compression = _for_overlap(seen), _for_compression(seen, valves)
    all_slack = bool(valves) and valves <= seen.slack
    clash = _clash(seen, overlap, [*compression, *(["every valve has slack"] if all_slack else [])])
    if clash:
        return _contradictory(sheet, cylinder_name, clash)
    if overlap:
        return _overlap(sheet, cylinder_name, seen, overlap)
    if seen.no_slack:
        return _tight(sheet, cylinder_name, seen, compression)
    if seen.look is SeenPast.ALL_STILL:
        # The crank is past TDC now and every valve that was felt had slack.
        because = _because(compression)
        again = to_compression(sheet, cylinder_name)
        return OverlapFinding(LooksLike.COMPRESSION, because, f"It was compression. {again}")
    if not seen.at_mark:
        step = to_compression(sheet, cylinder_name)
        return OverlapFinding(LooksLike.UNKNOWN, "The mark is not in place.", step)
    if compression or all_slack:
        evidence = [*compression, *(["every valve has slack"] if all_slack else [])]
        because = _because(["the mark is in place", *evidence])
        step = "Measure the valves of this stop."
        return OverlapFinding(LooksLike.COMPRESSION, because, step, measure=True)
    missing = ", ".join(sorted(valves - seen.slack))
    return OverlapFinding(
        LooksLike.UNKNOWN,
        "The mark alone does not tell compression from overlap.",
        f"Feel for slack at {missing}, or rock the crank {ROCK} degrees each way: on compression "
        "the valves stay still.",
    )


def _for_overlap(seen: SeenAtMark) -> list[str]:
    said = []
    if seen.moving:
        what = ", ".join(sorted(seen.moving))
        said.append(f"{what} moved while the crank was rocked {ROCK} degrees each way")
    if seen.look is SeenPast.INLET_OPENS:
        said.append(f"the inlet opened {LOOK} degrees on")
    if seen.inlet_closed_before is False:
        said.append("the inlet had not opened and closed before the mark")
    return said


def _for_compression(seen: SeenAtMark, valves: frozenset[str]) -> list[str]:
    said = []
    if valves and valves <= seen.still:
        said.append(f"every valve stayed still while the crank was rocked {ROCK} degrees each way")
    if seen.look is SeenPast.ALL_STILL:
        said.append(f"every valve was still {LOOK} degrees on")
    if seen.looked:
        said.append(f"every valve was still {LOOK} degrees on, the time before")
    if seen.inlet_closed_before:
        said.append("the inlet opened and closed before the mark")
    if seen.lobes_away:
        said.append("both lobes point away")
    if seen.companion:
        said.append(f"the valves of cylinder {seen.companion} rocked")
    return said


def _clash(seen: SeenAtMark, overlap: list[str], compression: list[str]) -> str:
    """The sentence that says how the evidence contradicts itself; empty where it does not."""
    if both := seen.slack & seen.no_slack:
        return f"{', '.join(sorted(both))}: told to have slack, and to have none."
    if both := seen.moving & seen.still:
        return f"{', '.join(sorted(both))}: told to move with the crank, and to stay still."
    if overlap and compression:
        return f"{_because(overlap)} But {'; '.join(compression)}."
    slack_and_moving = seen.slack & seen.moving
    if slack_and_moving:
        what = ", ".join(sorted(slack_and_moving))
        return f"{what} had slack and moved with the crank."
    return ""


def _because(said: list[str]) -> str:
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}."


def _contradictory(sheet: Sheet, cylinder: str, clash: str) -> OverlapFinding:
    step = f"Touch no screw. Begin again. {to_compression(sheet, cylinder)}"
    return OverlapFinding(LooksLike.CONTRADICTORY, clash, step)


def _overlap(sheet: Sheet, cylinder: str, seen: SeenAtMark, overlap: list[str]) -> OverlapFinding:
    past = LOOK if seen.look is SeenPast.INLET_OPENS else Fraction(0)
    crank = crank_angle_of(named_cylinder(sheet, cylinder), OVERLAP_TDC + past)
    step = (
        "Touch no screw, and strike what was read here. "
        f"{to_compression(sheet, cylinder, crank if seen.at_mark else None)}"
    )
    return OverlapFinding(LooksLike.OVERLAP, _because(overlap), step)


def _tight(sheet: Sheet, cylinder: str, seen: SeenAtMark, compression: list[str]) -> OverlapFinding:
    tight = ", ".join(sorted(seen.no_slack))
    none = f"{tight} {'has' if len(seen.no_slack) == 1 else 'have'} no slack"
    because = _because([none, *compression])
    lifter = decompressor_words(sheet.layout)
    if seen.look is SeenPast.ALL_STILL:
        step = (
            "It was compression. Bring the cylinder round to it again and rock the crank there: if "
            f"all is still at the mark, you may set it. {to_compression(sheet, cylinder)}"
        )
        return OverlapFinding(LooksLike.CLEARANCE_GONE, because, step)
    # One sign of compression is not enough where a screw would be backed off on the word of it.
    if seen.at_mark and len(compression) > 1:
        step = f"{lifter} Try the thinnest blade, and then set it.".strip()
        gone = LooksLike.CLEARANCE_GONE
        return OverlapFinding(gone, because, step, measure=True)
    step = look_words(sheet, cylinder) or (
        "Touch no screw. See the inlet open and close before the mark, and rock the crank there: it "
        f"is compression if both say so. {to_compression(sheet, cylinder)}"
    )
    because += " Either this is overlap or the clearance is gone."
    return OverlapFinding(LooksLike.UNKNOWN, because, f"{step} {lifter}".strip())
