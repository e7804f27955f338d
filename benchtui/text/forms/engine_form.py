"""The form of an engine as it stands: what each line was understood as, and what is still wanting."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar

from benchtui.domain.errors import FaultyInput
from benchtui.domain.sheet import Band, Clearances, Sheet, ValveKind
from benchtui.text.forms.engine_fields import FIELDS, KIND, Answers, Field, asked
from benchtui.text.forms.sheet_out import (
    COVER,
    LOCKNUTS,
    PATHS,
    answers_of,
    changed_sheet,
    new_sheet,
    values_of,
)
from benchtui.text.pages.sheet_page import interval_words
from benchtui.text.quantities import show
from benchtui.text.reading.sheet_file import Parts, parse_sheet, read_parts
from benchtui.text.reading.sheet_warnings import WARMEST, WIDEST
from benchtui.text.words.stamped import band_told, band_unit
from benchtui.text.words.torque_words import torque_told

T = TypeVar("T")
PartWords = Callable[[Parts], str]

NAME_TAKEN = "there is an engine of that name already"


@dataclass(frozen=True, slots=True)
class LineRemark:
    """What a line was understood as (``good``), or what is wrong with it."""

    good: bool
    words: str


@dataclass(frozen=True, slots=True)
class Examined:
    """The whole form. ``text`` is the sheet it makes; ``sheet`` that sheet, once it can be used.

    ``remarks`` by line; ``other`` are faults of the file that no line asks about. ``musts`` says how
    many of the lines that must be there are, and of how many. ``bands`` are the printed ranges.
    """

    fields: tuple[Field, ...]
    remarks: dict[str, LineRemark]
    text: str
    sheet: Sheet | None
    musts: tuple[int, int]
    other: tuple[str, ...] = ()
    bands: dict[ValveKind, Band] = field(default_factory=dict)


def examine(
    answers: Answers, taken: Iterable[str] = (), base: str | None = None, *, checked: bool = False
) -> Examined:
    """What the answers come to; ``base`` is the text of the sheet that is being changed.

    Args:
        answers: as typed.
        taken: the names that other engines are filed under.
        base: the file as it stands; None for a new one.
        checked: whether each figure was read a second time.
    """
    answers = {id_: "" if _none_there(id_, said) else said for id_, said in answers.items()}
    fields = asked(answers)
    _, wrong = values_of(answers)
    remarks = {
        id_: LineRemark(good=False, words=_fault(f.found, f.wanted)) for id_, f in wrong.items()
    }
    if base is None:
        text = new_sheet(answers, checked=checked)
    else:
        text = changed_sheet(base, answers, checked=checked)
    key = file_name(answers.get("name", ""))
    other: list[str] = []
    sheet = None
    try:
        parts, faults = read_parts(text, key)
    except FaultyInput as error:
        return Examined(fields, remarks, text, None, _musts(fields, answers, remarks), _said(error))
    ids = {line.id for line in fields}
    for fault in faults.found:
        id_ = field_of(fault.key)
        if id_ in _FOLLOWS and not remarks.get(_FOLLOWS[id_], _GOOD).good:
            continue  # it fits as soon as the line that it follows from does
        if id_ is None or id_ not in ids:
            other.append(f"{fault.key}: found {fault.found}; wanted {fault.wanted}")
        elif answers.get(id_, "").strip() and id_ not in remarks:
            remarks[id_] = LineRemark(good=False, words=_fault(fault.found, fault.wanted))
    _remark_the_rest(fields, answers, parts, remarks, name_taken=key in taken)
    musts = _musts(fields, answers, remarks)
    if musts[0] == musts[1] and all(r.good for r in remarks.values()) and not other:
        sheet = _sheet(text, key)
    printed = () if parts.clearances is None else parts.clearances.printed
    bands = {kind: band for kind, _, band in printed}
    return Examined(fields, remarks, text, sheet, musts, tuple(other), bands)


def _remark_the_rest(
    fields: tuple[Field, ...],
    answers: Answers,
    parts: Parts,
    remarks: dict[str, LineRemark],
    *,
    name_taken: bool,
) -> None:
    """What each line without a fault was understood as; a name only once."""
    for line in fields:
        if not answers.get(line.id, "").strip() or line.id in remarks:
            continue
        if line.id == "name" and name_taken:
            remarks["name"] = LineRemark(good=False, words=NAME_TAKEN)
        else:
            remarks[line.id] = LineRemark(
                good=True, words=_PART_WORDS.get(line.id, _nothing)(parts)
            )


_GOOD = LineRemark(good=True, words="")
_FOLLOWS = {"valves": "cylinders", "firing": "cylinders", "mark": "cylinders"}


def _sheet(text: str, key: str) -> Sheet | None:
    try:
        return parse_sheet(text, key, key)
    except FaultyInput:
        return None


def _said(error: FaultyInput) -> tuple[str, ...]:
    return tuple(f"{f.key}: found {f.found}; wanted {f.wanted}" for f in error.faults)


def _fault(found: str, wanted: str) -> str:
    return f"{found} {wanted}" if found.endswith("?") else f"found {found}; wanted {wanted}"


def _musts(
    fields: tuple[Field, ...], answers: Answers, remarks: dict[str, LineRemark]
) -> tuple[int, int]:
    must = [f.id for f in fields if f.must]
    there = [i for i in must if answers.get(i, "").strip() and remarks.get(i, _GOOD).good]
    return len(there), len(must)


def _none_there(id_: str, said: str) -> bool:
    """Whether it is told that there is no decompressor: an instruction must not read "none"."""
    return id_ == "decompressor" and said.strip().lower().rstrip(".") in ("none", "no", "-", "0")


def field_of(key: str) -> str | None:
    """The line that a fault of the file belongs to: ``clearance.inlet[1]`` is the inlet's."""
    bare = re.sub(r"\[[0-9]+\]", "", key)
    for id_, path in PATHS.items():
        own = ".".join(path)
        if bare == own or bare.startswith(f"{own}."):
            return id_
    if bare.startswith(("adjuster.pitch", "adjuster.thread")):
        return "thread"
    if bare.startswith("interval"):
        return "first" if bare.startswith("interval.first") else "every"
    return None


def file_name(name: str) -> str:
    """What an engine of this name is filed under: ``Quay pump 2`` as ``quay-pump-2``."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60]


def copied(text: str, *, own: bool) -> dict[str, str]:
    """The answers to begin with from another sheet: of an example its kind and places, no figure.

    Of one's own everything, but its name and that it was read twice.
    """
    answers = answers_of(text)
    kept = [f.id for f in FIELDS if f.id != "name"] if own else KIND
    return {id_: answers[id_] for id_ in kept if id_ in answers}


def _order(parts: Parts) -> str:
    if parts.layout is None:
        return ""
    order = parts.layout.firing_order
    return f"at {', '.join(show.number(c.firing) for c in order)} degrees of crank"


def _band(kind: ValveKind, parts: Parts) -> str:
    if parts.clearances is None:
        return ""
    band = next((b for k, _, b in parts.clearances.printed if k is kind), None)
    if band is None:
        return ""
    metric = band_unit(band) == "mm"
    ends = (
        show.figure(e, "thou", 1) if metric else show.figure(e, "mm", 3)
        for e in (band.low, band.high)
    )
    other = f"{' to '.join(dict.fromkeys(ends))} {'thou' if metric else 'mm'}"
    alone = ", one figure, no tolerance" if band.single else ""
    odd = ": so wide, printed so?" if band.high > WIDEST else ""
    return f"{band_told(band)} ({other}){alone}{odd}"


def _clearance(of: Callable[[Clearances], T | None], words: Callable[[T], str]) -> PartWords:
    """Words for one figure of the clearances; empty where it is not there."""

    def told(parts: Parts) -> str:
        found = None if parts.clearances is None else of(parts.clearances)
        return "" if found is None else words(found)

    return told


def _below(celsius: Fraction) -> str:
    odd = ": not cold, printed so?" if celsius > WARMEST else ""
    return f"below {show.temperature(celsius)}{odd}"


_A_TURN_OF = 24
"""Degrees that are told for an example: what a hand turns for one leaf or two."""


def _thread(parts: Parts) -> str:
    adjuster = parts.adjuster
    if adjuster is None or adjuster.pitch is None:
        return ""
    moved = adjuster.pitch.scaled(adjuster.lever * _A_TURN_OF / 360)
    return f"pitch {show.length(adjuster.pitch)}: {_A_TURN_OF} degrees move {show.length(moved, places=2)}"


def _torque(what: str, parts: Parts) -> str:
    found = next((t for t in parts.torques if t.what == what), None)
    return "" if found is None else torque_told(found)


def _sizes(parts: Parts) -> str:
    sizes = () if parts.adjuster is None else parts.adjuster.shim_sizes
    return f"{len(sizes)} sizes, {min(sizes)} to {max(sizes)}" if sizes else ""


def _nothing(_: Parts) -> str:
    return ""


_PART_WORDS: dict[str, PartWords] = {
    "name": lambda parts: f"filed as {file_name(parts.name or '')}",
    "cylinders": lambda p: " ".join(v.name for v in p.layout.valves) if p.layout else "",
    "firing": _order,
    "inlet": lambda parts: _band(ValveKind.INLET, parts),
    "exhaust": lambda parts: _band(ValveKind.EXHAUST, parts),
    "owner_band": _clearance(lambda c: c.owner_band, lambda own: f"{own} either side, your own"),
    "metal_below": _clearance(lambda c: c.metal_below, _below),
    "metal_above": _clearance(lambda c: c.metal_above, lambda t: f"above {show.temperature(t)}"),
    "stood": _clearance(lambda c: c.stood_hours, show.hours),
    "thread": _thread,
    "shims": _sizes,
    "every": lambda p: interval_words(p.interval).partition(";")[0] if p.interval else "",
    "locknut": lambda parts: _torque(LOCKNUTS, parts),
    "cover": lambda parts: _torque(COVER, parts),
}
