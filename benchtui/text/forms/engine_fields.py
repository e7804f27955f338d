"""What the form of an engine asks, page by page, each line explained in the trade's words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from benchtui.text.forms.typed import clearance
from benchtui.text.quantities.measure import FaultyQuantity

Answers = Mapping[str, str]
"""What stands in each line, as typed; a choice by its value."""


@dataclass(frozen=True, slots=True)
class Field:
    """One line. ``help`` says what it is for, with an example; ``choices`` are value and words.

    ``must`` be there before anything can be measured; ``when`` says whether it is asked at all.
    """

    id: str
    page: str
    label: str
    help: str
    must: bool
    choices: tuple[tuple[str, str], ...]
    when: Callable[[Answers], bool]


SCREW, PILLAR, ECCENTRIC, SHIM, HYDRAULIC = (
    "screw",
    "pillar nut",
    "eccentric",
    "shim",
    "hydraulic",
)
AS_IT_IS = ""
"""Not chosen yet."""


def _turned(answers: Answers) -> bool:
    return answers.get("kind") in (SCREW, PILLAR)


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


_CHOICES: dict[str, tuple[tuple[str, str], ...]] = {
    "valves": (("2", "one inlet, one exhaust"), ("4", "two inlet, two exhaust")),
    "condition": (("cold", "cold"), ("hot", "hot")),
    "kind": (
        (AS_IT_IS, "which? ← or →"),
        (SCREW, "screw and locknut"),
        (PILLAR, "pillar nut"),
        (ECCENTRIC, "eccentric"),
        (SHIM, "shim"),
        (HYDRAULIC, "hydraulic: none to set"),
    ),
    "at": (("valve", "at the valve"), ("pushrod", "at the pushrod")),
    "closes": (("clockwise", "clockwise"), ("anticlockwise", "anticlockwise")),
    "under_bucket": (("no", "on top: lifted out"), ("yes", "under the bucket: cams out")),
}

_WHEN: dict[str, Callable[[Answers], bool]] = {
    "firing": lambda a: a.get("cylinders", "").strip() not in ("", "1"),
    **dict.fromkeys(("inlet", "exhaust"), lambda a: a.get("kind") != HYDRAULIC),
    "owner_band": _single,
    "metal_above": _hot,
    **dict.fromkeys(("metal_below", "stood"), lambda a: not _hot(a)),
    **dict.fromkeys(("at", "thread", "closes", "locknut"), _turned),
    # A shim under a finger has a lever too: rare, and then in the sheet that is changed.
    "ratio": lambda a: (
        a.get("ratio", "") not in ("", "1")
        if a.get("kind") == SHIM
        else _turned(a) and a.get("at") == "pushrod"
    ),
    **dict.fromkeys(("shims", "under_bucket"), lambda a: a.get("kind") == SHIM),
}
"""When a line is asked; the others always are."""

_TABLE = """\
# The engine
name            Name !
    What you call it, as you would on the shed's wall. As in Quay pump, Van, Left generator.
cylinders       Cylinders !
    How many, counted along the engine as its maker counts them. As in 1 or 4; names as in F R.
firing          Firing order !
    As cast on the block or printed on the plate. As in 1-3-4-2. Uneven: F 0, R 412 in degrees.
valves          Valves of each
    1I is the inlet of cylinder 1, 1E its exhaust. With two of each: 1I-left, 1I-right and so on.
# The figures
book            Figures from
    The book or plate the figures stand in, so that they can be read again. As in Pump's handbook.
page            Page
    Where in it. As in 12, or 5-14.
entered_by      Copied by
    Who copies them now. As in M.
inlet           Inlet !
    The gap as printed, with its unit: a range as in .06-.10 mm or 3 to 5 thou, or one figure.
exhaust         Exhaust !
    The same for the exhaust; mostly wider. Without a unit it is taken in the inlet's.
owner_band      Your own band
    One figure has no tolerance printed. What you allow either side, as in 0.03 mm. Yours, kept so.
condition       Taken
    Whether the printed gap holds for a cold engine or a hot one. Mostly cold: as the air is.
metal_below     Metal below
    How warm the metal may be at most. As in 35, degrees C, or 95 F. Gaps change as metal warms.
metal_above     Metal above
    How warm the metal must be at least, for a gap that is set hot. As in 70 C.
stood           Stood
    How many hours it must have stood before, where the book says so. As in 4.
# The adjuster
kind            Adjuster !
    What changes the gap: a screw with a locknut, a nut on a pillar, an eccentric, a shim, none.
at              It sits
    At the rocker's valve end a turn moves the gap by the pitch; at the pushrod end by more.
ratio           Lever ratio
    Valve arm over pushrod arm of the rocker: 36 mm over 24 mm is 1.5. The turn hangs on it.
thread          Thread
    The screw's thread or pitch, with its unit: M6x0.75, 0.75 mm, 26 tpi. Turns hang on it.
closes          Gap closes
    Which way, seen from the tool, makes the gap smaller: clockwise for a right-hand screw.
shims           Shims
    The sizes that can be had: 2.50 to 3.50 by 0.05, or one by one: 2.70 2.75 2.80.
under_bucket    Shims lie
    On the bucket they are lifted out; under it the camshafts must come out first.
# Finding the place
turns           It turns
    The way it runs, and seen from where. As in anticlockwise from the flywheel. Never turn it back.
mark            Mark
    What lines up at the top of cylinder 1. As in line on the flywheel at the case rib.
decompressor    Decompressor
    What to do about it, if it has one: it may hold a valve open. As in put the lever down.
inlet_opens     Inlet opens
    Valve timing, if the book prints it: 28 BTDC. With it fewer stops of the crank are wanted.
inlet_closes    Inlet closes
    As in 71 ABDC. All four, or none.
exhaust_opens   Exhaust opens
    As in 78 BBDC. All four, or none.
exhaust_closes  Exhaust closes
    As in 45 ATDC. All four, or none.
# Afterwards
every           Check every
    How often, by the book. As in 6 months, 100 h, or 12 months, 15000 km.
first           First after
    A new engine, or one with new parts, is checked sooner. As in 20 h, 800 km.
locknut         Locknut
    The adjuster's nut, as printed with its unit: 8 N m, 70 lbf in. Small threads strip easily.
cover           Cover bolts
    The rocker cover's, as printed with its unit: 10 lbf ft, 5 to 7 N m.
"""
"""Page by page: the line's name, its label, ``!`` where it must be there; beneath, its explanation."""


def _fields() -> Iterator[Field]:
    page, head = "", ""
    for line in _TABLE.splitlines():
        if line.startswith("# "):
            page = line[2:]
        elif not line.startswith(" "):
            head = line
        else:
            id_, label = head.split(None, 1)
            must, choices = label.endswith(" !"), _CHOICES.get(id_, ())
            when = _WHEN.get(id_, lambda _: True)
            yield Field(id_, page, label.removesuffix(" !"), line.strip(), must, choices, when)


FIELDS = tuple(_fields())
PAGES = tuple(dict.fromkeys(field.page for field in FIELDS))
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
