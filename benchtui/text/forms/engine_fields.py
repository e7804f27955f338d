"""What the form of an engine asks, page by page, each line explained in the trade's words.

Long, because it is one table: a field, its example and its explanation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from benchtui.text.forms.typed import clearance
from benchtui.text.quantities.measure import FaultyQuantity

Answers = Mapping[str, str]
"""What stands in each line, as typed; a choice by its value."""


def _always(answers: Answers) -> bool:
    del answers
    return True


@dataclass(frozen=True, slots=True)
class Field:
    """One line. ``help`` says what it is for, with an example; ``choices`` are value and words.

    ``must`` be there before anything can be measured; ``when`` says whether it is asked at all.
    """

    id: str
    page: str
    label: str
    help: str
    must: bool = False
    choices: tuple[tuple[str, str], ...] = ()
    when: Callable[[Answers], bool] = _always


ENGINE, FIGURES, ADJUSTER, PLACE, AFTER = (
    "The engine",
    "The figures",
    "The adjuster",
    "Finding the place",
    "Afterwards",
)
PAGES = (ENGINE, FIGURES, ADJUSTER, PLACE, AFTER)

SCREW, PILLAR, ECCENTRIC, SHIM, HYDRAULIC = (
    "screw",
    "pillar nut",
    "eccentric",
    "shim",
    "hydraulic",
)
AS_IT_IS = ""
"""Not chosen yet."""


def _several(answers: Answers) -> bool:
    return answers.get("cylinders", "").strip() not in ("", "1")


def _turned(answers: Answers) -> bool:
    return answers.get("kind") in (SCREW, PILLAR)


def _lever(answers: Answers) -> bool:
    at_pushrod = _turned(answers) and answers.get("at") == "pushrod"
    return at_pushrod or answers.get("kind") == SHIM


def _single(answers: Answers) -> bool:
    for id_ in ("inlet", "exhaust"):
        try:
            if isinstance(clearance(answers.get(id_, ""), "mm"), str):
                return True
        except FaultyQuantity:
            continue
    return False


def _hot(answers: Answers) -> bool:
    return answers.get("condition") == "hot"


def _gauged(answers: Answers) -> bool:
    return answers.get("kind") != HYDRAULIC


FIELDS: tuple[Field, ...] = (
    Field(
        "name",
        ENGINE,
        "Name",
        "What you call it, as you would on the shed's wall. As in Quay pump, Van, Left generator.",
        must=True,
    ),
    Field(
        "cylinders",
        ENGINE,
        "Cylinders",
        "How many, counted along the engine as its maker counts them. As in 1 or 4; names as in F R.",
        must=True,
    ),
    Field(
        "firing",
        ENGINE,
        "Firing order",
        "As cast on the block or printed on the plate. As in 1-3-4-2. Uneven: F 0, R 412 in degrees.",
        must=True,
        when=_several,
    ),
    Field(
        "valves",
        ENGINE,
        "Valves of each",
        "1I is the inlet of cylinder 1, 1E its exhaust. With two of each: 1I-left, 1I-right and so on.",
        choices=(("2", "one inlet, one exhaust"), ("4", "two inlet, two exhaust")),
    ),
    Field(
        "book",
        FIGURES,
        "Figures from",
        "The book or plate the figures stand in, so that they can be read again. As in Pump's handbook.",
    ),
    Field("page", FIGURES, "Page", "Where in it. As in 12, or 5-14."),
    Field("entered_by", FIGURES, "Copied by", "Who copies them now. As in M."),
    Field(
        "inlet",
        FIGURES,
        "Inlet",
        "The gap as printed, with its unit: a range as in .06-.10 mm or 3 to 5 thou, or one figure.",
        must=True,
        when=_gauged,
    ),
    Field(
        "exhaust",
        FIGURES,
        "Exhaust",
        "The same for the exhaust; mostly wider. Without a unit it is taken in the inlet's.",
        must=True,
        when=_gauged,
    ),
    Field(
        "owner_band",
        FIGURES,
        "Your own band",
        "One figure has no tolerance printed. What you allow either side, as in 0.03 mm. Yours, kept so.",
        when=_single,
    ),
    Field(
        "condition",
        FIGURES,
        "Taken",
        "Whether the printed gap holds for a cold engine or a hot one. Mostly cold: as the air is.",
        choices=(("cold", "cold"), ("hot", "hot")),
    ),
    Field(
        "metal_below",
        FIGURES,
        "Metal below",
        "How warm the metal may be at most. As in 35, degrees C, or 95 F. Gaps change as metal warms.",
        when=lambda a: not _hot(a),
    ),
    Field(
        "metal_above",
        FIGURES,
        "Metal above",
        "How warm the metal must be at least, for a gap that is set hot. As in 70 C.",
        when=_hot,
    ),
    Field(
        "stood",
        FIGURES,
        "Stood",
        "How many hours it must have stood before, where the book says so. As in 4.",
        when=lambda a: not _hot(a),
    ),
    Field(
        "kind",
        ADJUSTER,
        "Adjuster",
        "What changes the gap: a screw with a locknut, a nut on a pillar, an eccentric, a shim, none.",
        must=True,
        choices=(
            (AS_IT_IS, "which? ← or →"),
            (SCREW, "screw and locknut"),
            (PILLAR, "pillar nut"),
            (ECCENTRIC, "eccentric"),
            (SHIM, "shim"),
            (HYDRAULIC, "hydraulic: none to set"),
        ),
    ),
    Field(
        "at",
        ADJUSTER,
        "It sits",
        "At the rocker's valve end a turn moves the gap by the pitch; at the pushrod end by more.",
        choices=(("valve", "at the valve"), ("pushrod", "at the pushrod")),
        when=_turned,
    ),
    Field(
        "ratio",
        ADJUSTER,
        "Lever ratio",
        "Valve arm over pushrod arm of the rocker: 36 mm over 24 mm is 1.5. The turn hangs on it.",
        when=_lever,
    ),
    Field(
        "thread",
        ADJUSTER,
        "Thread",
        "The screw's thread or pitch, with its unit: M6x0.75, 0.75 mm, 26 tpi. Turns hang on it.",
        when=_turned,
    ),
    Field(
        "closes",
        ADJUSTER,
        "Gap closes",
        "Which way, seen from the tool, makes the gap smaller: clockwise for a right-hand screw.",
        choices=(("clockwise", "clockwise"), ("anticlockwise", "anticlockwise")),
        when=_turned,
    ),
    Field(
        "shims",
        ADJUSTER,
        "Shims",
        "The sizes that can be had: 2.50 to 3.50 by 0.05, or one by one: 2.70 2.75 2.80.",
        when=lambda a: a.get("kind") == SHIM,
    ),
    Field(
        "under_bucket",
        ADJUSTER,
        "Shims lie",
        "On the bucket they are lifted out; under it the camshafts must come out first.",
        choices=(("no", "on top: lifted out"), ("yes", "under the bucket: cams out")),
        when=lambda a: a.get("kind") == SHIM,
    ),
    Field(
        "turns",
        PLACE,
        "It turns",
        "The way it runs, and seen from where. As in anticlockwise from the flywheel. Never turn it back.",
    ),
    Field(
        "mark",
        PLACE,
        "Mark",
        "What lines up at the top of cylinder 1. As in line on the flywheel at the case rib.",
    ),
    Field(
        "decompressor",
        PLACE,
        "Decompressor",
        "What to do about it, if it has one: it may hold a valve open. As in put the lever down.",
    ),
    Field(
        "inlet_opens",
        PLACE,
        "Inlet opens",
        "Valve timing, if the book prints it: 28 BTDC. With it fewer stops of the crank are wanted.",
    ),
    Field("inlet_closes", PLACE, "Inlet closes", "As in 71 ABDC. All four, or none."),
    Field("exhaust_opens", PLACE, "Exhaust opens", "As in 78 BBDC. All four, or none."),
    Field("exhaust_closes", PLACE, "Exhaust closes", "As in 45 ATDC. All four, or none."),
    Field(
        "every",
        AFTER,
        "Check every",
        "Whichever comes first. As in 6 months, 100 h, or 12 months, 15000 km.",
    ),
    Field(
        "first",
        AFTER,
        "First after",
        "A new engine, or one with new parts, is checked sooner. As in 20 h, 800 km.",
    ),
    Field(
        "locknut",
        AFTER,
        "Locknut",
        "The adjuster's nut, as printed with its unit: 8 N m, 70 lbf in. Small threads strip easily.",
        when=_turned,
    ),
    Field(
        "cover",
        AFTER,
        "Cover bolts",
        "The rocker cover's, as printed with its unit: 10 lbf ft, 5 to 7 N m.",
    ),
)

BY_ID = {field.id: field for field in FIELDS}

DEFAULTS: dict[str, str] = {
    "valves": "2",
    "condition": "cold",
    "at": "valve",
    "closes": "clockwise",
    "under_bucket": "no",
}
"""What a choice says before anybody chooses: what is most usual, and in sight all the same."""

KIND = ("cylinders", "firing", "valves", "kind", "at", "closes", "under_bucket")
"""What is copied from an example: its kind and places, never a figure."""


def asked(answers: Answers) -> tuple[Field, ...]:
    """The lines that these answers leave to be asked."""
    return tuple(field for field in FIELDS if field.when(answers))
