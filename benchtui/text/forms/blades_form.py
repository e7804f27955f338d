"""A set of blades in a form: which leaves lie in the box, how far off a stamp may be, what was measured."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from benchtui.domain.blades import MARKED_ERROR, BladeSet
from benchtui.domain.errors import FaultyInput
from benchtui.domain.gauging.reach import Reached, limits_of, reaches
from benchtui.domain.sheet import Sheet
from benchtui.text.forms.toml_out import changed, item
from benchtui.text.forms.typed import clean, with_unit
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity, quoted
from benchtui.text.quantities.show import bare, figure
from benchtui.text.reading.blades_file import MOST_LEAVES, parse_blades

HELP = {
    "name": "What you call the box. As in My fine set, or Shed drawer.",
    "leaves": (
        "As stamped, one by one or by a step: .03 to .10 by .01, .12 .15 .20. Millimetres; others with "
        "their unit: 3 thou."
    ),
    "error": (
        "How far off a stamp may be, as in 0.005 mm: your own judgement. A worn leaf is left out."
    ),
    "measured": (
        "What a micrometer says of a leaf, where you asked it: .10 is .102, .20 is .198. Then that counts."
    ),
}
"""What each line is for, with an example."""

LABELS = (("name", "Name"), ("leaves", "Leaves"), ("error", "Error"), ("measured", "Measured"))
MUSTS = ("name", "leaves")

_NUMBER = r"[0-9]*[.,]?[0-9]+"
_UNIT = r"(?:mm|in|thou)"
_STEPS = re.compile(
    rf"({_NUMBER})\s*(?:to|-)\s*({_NUMBER})\s*(?:by|step)\s*({_NUMBER})\s*({_UNIT})?"
)
_LEAF = re.compile(rf"({_NUMBER})\s*({_UNIT})?")


def read_leaves(text: str) -> list[str]:
    """``.03 to .10 by .01, .12 .15`` as leaves with their units.

    Raises:
        FaultyQuantity: what is neither a leaf nor a step.
    """
    found: list[str] = []
    for part in re.split(r"\s*[,;]\s+|\s*[;]\s*|(?<![0-9]),", text.strip().rstrip(",;")):
        steps = _STEPS.fullmatch(part.strip())
        if steps is not None:
            low, high, step = (clean(n) for n in steps.groups()[:3])
            found += _stepped(part, (low, high, step), steps[4] or "mm")
            continue
        leaves = list(_LEAF.finditer(part))
        if not leaves or _LEAF.sub("", part).strip():
            raise FaultyQuantity(quoted(part.strip()), "leaves, as in .05 .10 or .03 to .10 by .01")
        found += [f"{clean(m[1])} {m[2] or 'mm'}" for m in leaves]
    return list(dict.fromkeys(found))


def _stepped(part: str, told: tuple[str, str, str], unit: str) -> list[str]:
    low, high, step = told
    start, end, by = (Fraction(n) for n in (low, high, step))
    if by <= 0 or end < start or (end - start) / by > MOST_LEAVES:
        raise FaultyQuantity(quoted(part.strip()), "from thin to thick by a step above zero")
    if (end - start) % by:
        raise FaultyQuantity(quoted(part.strip()), f"a step that leads from {low} to {high}")
    places = max(len(n.partition(".")[2]) for n in (low, high, step))
    count = int((end - start) / by)
    return [f"{float(start + by * n):.{places}f} {unit}" for n in range(count + 1)]


def read_measured(text: str, leaves: list[str]) -> dict[str, str]:
    """``.10 is .102, .20 is .198`` by the leaf's stamp as it stands among the leaves.

    Raises:
        FaultyQuantity: a leaf that is not in the set, or no thickness.
    """
    by_size = {measure.length(leaf): leaf for leaf in leaves}
    found: dict[str, str] = {}
    for part in (p for p in re.split(r"[,;]\s+", text.strip().rstrip(",;")) if p.strip()):
        stamp, word, size = part.partition(" is ")
        if not word or not size.strip():
            raise FaultyQuantity(quoted(part.strip()), "a leaf and its thickness: .10 is .102")
        leaf = by_size.get(measure.length(with_unit(stamp, "mm")))
        if leaf is None:
            raise FaultyQuantity(quoted(stamp.strip()), "one of the leaves above")
        found[leaf] = with_unit(size, "mm")
    return found


@dataclass(frozen=True, slots=True)
class ExaminedSet:
    """The form as it stands. ``wrong`` by line; ``blades`` the set, once it can be used."""

    wrong: dict[str, str]
    text: str
    blades: BladeSet | None


def values_of(answers: Mapping[str, str]) -> tuple[dict[tuple[str, ...], Any], dict[str, str]]:
    """What the answers put into the file, and what is wrong with those that put nothing there."""
    values: dict[tuple[str, ...], Any] = {}
    wrong: dict[str, str] = {}
    leaves: list[str] = []
    if name := answers.get("name", "").strip():
        values["name",] = name
    try:
        if answers.get("leaves", "").strip():
            leaves = read_leaves(answers["leaves"])
            values["leaves",] = leaves
    except FaultyQuantity as fault:
        wrong["leaves"] = str(fault)
    if error := answers.get("error", "").strip():
        values["error",] = with_unit(error, "mm")
    try:
        measured = read_measured(answers.get("measured", ""), leaves)
        values |= {("measured", leaf): size for leaf, size in measured.items()}
    except FaultyQuantity as fault:
        wrong["measured"] = str(fault)
    return values, wrong


def new_set(answers: Mapping[str, str]) -> str:
    """A clean file of a set."""
    values, _ = values_of(answers)
    lines = ["format = 1"]
    keys = [key for key in ("name", "leaves", "error") if (key,) in values]
    lines += [f"{key} = {item(values[key,]).as_string()}" for key in keys]
    measured = {path[1]: size for path, size in values.items() if path[0] == "measured"}
    if measured:
        lines += ["", "# What a micrometer said of a leaf: stamp = thickness.", "[measured]"]
        lines += [f'"{leaf}" = "{size}"' for leaf, size in measured.items()]
    return "\n".join(lines) + "\n"


def changed_set(text: str, answers: Mapping[str, str]) -> str:
    """The file with what differs from what stands in it; comments and the rest as they were."""
    before, _ = values_of(answers_of(text))
    after, _ = values_of(answers)
    return changed(text, before, after)


def answers_of(text: str) -> dict[str, str]:
    """The answers that a set's file gives."""
    data = tomllib.loads(text)
    leaves = data.get("leaves", [])
    measured = data.get("measured", {})
    found = {
        "name": str(data.get("name", "")),
        "leaves": ", ".join(str(leaf) for leaf in leaves) if isinstance(leaves, list) else "",
        "error": str(data.get("error", "")),
        "measured": ", ".join(f"{k} is {v}" for k, v in measured.items())
        if isinstance(measured, dict)
        else "",
    }
    return {key: said for key, said in found.items() if said}


def examine(answers: Mapping[str, str], base: str | None = None) -> ExaminedSet:
    """What the answers come to; ``base`` is the text of the set that is being changed."""
    _, wrong = values_of(answers)
    text = new_set(answers) if base is None else changed_set(base, answers)
    if wrong or any(not answers.get(must, "").strip() for must in MUSTS):
        return ExaminedSet(wrong, text, None)
    try:
        return ExaminedSet(wrong, text, parse_blades(text, "set", "set"))
    except FaultyInput as error:
        for fault in error.faults:
            line = re.split(r"[.\[]", fault.key, maxsplit=1)[0]
            line = line if line in HELP else "leaves"
            wrong.setdefault(line, f"found {fault.found}; wanted {fault.wanted}")
    return ExaminedSet(wrong, text, None)


def leaf_rows(blades: BladeSet, columns: int) -> tuple[str, ...]:
    """The leaves across the screen in both systems, with what was measured; as many as fit a row."""
    cells = [
        (
            figure(f.marked),
            figure(f.marked, "thou", 1),
            "-" if f.measured is None else figure(f.measured),
        )
        for f in blades.leaves
    ]
    wide = max((len(c) for cell in cells for c in cell), default=4) + 2
    room = max(1, (columns - _HEAD) // wide)
    rows: list[str] = []
    for start in range(0, len(cells), room):
        part = cells[start : start + room]
        for at, word in enumerate(("stamped mm", "      thou", "  measured")):
            if at < _MEASURED or any(cell[at] != "-" for cell in part):
                rows.append(f"{word:<{_HEAD}}" + "".join(f"{cell[at]:>{wide}}" for cell in part))
    return tuple(rows)


_HEAD, _MEASURED = 11, 2


def decides(blades: BladeSet, sheets: tuple[Sheet, ...]) -> tuple[str, ...]:
    """What the set can decide on each of these engines: ``Quay pump  0.06 0.08: every limit is a leaf``."""
    gauged = [s for s in sheets if s.adjuster.set_by.measured]
    width = max((len(s.name) for s in gauged), default=0)
    return tuple(f"{s.name:<{width}}  {_decides(reaches(blades, limits_of(s)))}" for s in gauged)


def _decides(found: tuple[Reached, ...]) -> str:
    limits = " ".join(bare(r.limit) for r in found)
    lacking = [bare(r.limit) for r in found if not r.leaves]
    stacked = [f"{bare(r.limit)} by {r.leaves}" for r in found if r.leaves > 1]
    if lacking:
        return f"{limits}  ? no stack makes {' '.join(lacking)}"
    return f"{limits}  √ " + (
        f"stacks: {', '.join(stacked)}" if stacked else "every limit is a leaf"
    )


USUAL_ERROR = f"{bare(MARKED_ERROR)} mm"
"""What stands in the error line of a new set."""
