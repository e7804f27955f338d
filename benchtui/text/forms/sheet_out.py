"""An engine's sheet from the answers to its form, and the answers that an existing sheet gives.

Written clean, it is what a person would have written; changed in place, it keeps comments and all that
the form does not ask about.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from typing import Any

from benchtui.text.forms import typed
from benchtui.text.forms.engine_fields import DEFAULTS, FIELDS, HYDRAULIC, Answers, asked
from benchtui.text.forms.toml_out import Path, changed, item, put_torque
from benchtui.text.quantities.measure import FaultyQuantity

LOCKNUTS, COVER = "adjuster locknuts", "rocker cover bolts"
"""What the form calls the two fastenings that it asks about."""

PATHS: dict[str, Path] = {
    "name": ("name",),
    "book": ("source", "title"),
    "mark": ("layout", "marks"),
    **{
        id_: (table, id_)
        for table, ids in (
            ("source", "page entered_by"),
            ("layout", "cylinders firing valves turns decompressor"),
            ("clearance", "inlet exhaust owner_band condition metal_below metal_above stood"),
            ("adjuster", "kind at ratio closes shims under_bucket"),
            ("timing", "inlet_opens inlet_closes exhaust_opens exhaust_closes"),
        )
        for id_ in ids.split()
    },
}
"""Where each answer stands in the file; thread, intervals and torques stand in one of several places."""

_TORQUES = {"locknut": LOCKNUTS, "cover": COVER}


def values_of(answers: Answers) -> tuple[dict[Path, Any], dict[str, FaultyQuantity]]:
    """What the answers put into the file, and what is wrong with those that put nothing there."""
    values: dict[Path, Any] = {}
    wrong: dict[str, FaultyQuantity] = {}
    for field in asked(answers):
        text = answers.get(field.id, "").strip()
        if not text:
            continue
        try:
            values |= _put(field.id, text, answers)
        except FaultyQuantity as fault:
            wrong[field.id] = fault
    if answers.get("kind") == HYDRAULIC:
        values.pop(("clearance", "stood"), None)
    return values, wrong


def _names(answers: Answers) -> list[str]:
    return typed.cylinders(answers.get("cylinders", "").strip() or "1")


def _cylinders(text: str, _: Answers) -> dict[Path, Any]:
    names = typed.cylinders(text)
    one: dict[Path, Any] = {PATHS["firing"]: {names[0]: 0}} if len(names) == 1 else {}
    return {PATHS["cylinders"]: names, **one}


def _valves(text: str, answers: Answers) -> dict[str, list[str]]:
    ends = ("I", "E") if text == "2" else ("I-left", "I-right", "E-left", "E-right")
    return {name: [f"{name}{end}" for end in ends] for name in _names(answers)}


def _unit(answers: Answers, id_: str) -> str:
    return typed.unit_of(answers.get(id_, ""))


_VALUE: dict[str, Callable[[str, Answers], Any]] = {
    "firing": lambda text, answers: typed.firing(text, _names(answers)),
    "valves": _valves,
    "inlet": lambda text, answers: typed.clearance(text, _unit(answers, "exhaust")),
    "exhaust": lambda text, answers: typed.clearance(text, _unit(answers, "inlet")),
    "owner_band": lambda text, answers: typed.with_unit(text, _unit(answers, "inlet") or "mm"),
    "metal_below": lambda text, _: typed.with_unit(text, "C"),
    "metal_above": lambda text, _: typed.with_unit(text, "C"),
    "stood": lambda text, _: typed.with_unit(text, "h"),
    "ratio": lambda text, _: typed.number(text),
    "shims": lambda text, _: typed.shims(text),
}
"""What an answer puts at its one place in the file; the text itself where nothing is said here."""

_READ: dict[str, Callable[[str, Answers], dict[Path, Any]]] = {
    "cylinders": _cylinders,
    "thread": lambda text, _: {("adjuster", key): v for key, v in [typed.thread(text)]},
    "mark": lambda text, answers: {(*PATHS["mark"], _names(answers)[0]): text},
    "under_bucket": lambda text, _: {PATHS["under_bucket"]: True} if text == "yes" else {},
    "every": lambda text, _: {("interval", key): v for key, v in typed.interval(text).items()},
    "first": lambda text, _: {("interval", "first"): typed.interval(text)},
    "locknut": lambda text, _: {("torque", LOCKNUTS): typed.torque(text)},
    "cover": lambda text, _: {("torque", COVER): typed.torque(text)},
}
"""The same of those that stand in one of several places."""


def _put(id_: str, text: str, answers: Answers) -> dict[Path, Any]:
    if id_ in _READ:
        return _READ[id_](text, answers)
    return {PATHS[id_]: _VALUE[id_](text, answers) if id_ in _VALUE else text}


_TABLES = ("source", "layout", "clearance", "adjuster", "timing", "interval")


def new_sheet(answers: Answers, *, checked: bool = False) -> str:
    """A clean sheet: the tables in the order of the trade, one key a line."""
    values, _ = values_of(answers)
    tables: dict[str, dict[str, Any]] = {name: {} for name in _TABLES}
    lines = ["format = 1"]
    for path, value in values.items():
        if path == ("name",):
            lines.append(_line("name", value))
        elif path[0] in tables:
            inner = tables[path[0]]
            for key in path[1:-1]:
                inner = inner.setdefault(key, {})
            inner[path[-1]] = value
    if tables["source"] or checked:
        lines.append(_line("source", {**tables["source"], "checked": checked}))
    for name in _TABLES[1:]:
        if tables[name]:
            lines += ["", f"[{name}]", *(_line(key, value) for key, value in tables[name].items())]
    for path, value in values.items():
        if path[0] == "torque":
            lines += ["", "[[torque]]", _line("what", path[1]), _line("value", value)]
    return "\n".join(lines) + "\n"


def _line(key: str, value: Any) -> str:
    return f"{key} = {_written(value)}"


def _written(value: Any) -> str:
    """A value on one line, with air in its braces."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(_line(key, inner) for key, inner in value.items()) + " }"
    return str(item(value).as_string())


def changed_sheet(text: str, answers: Answers, *, checked: bool = False) -> str:
    """The file with the answers that differ from what stands in it; all else as it was."""
    before, _ = values_of(answers_of(text))
    after, _ = values_of(answers)
    torques = [p for p in {**before, **after} if p[0] == "torque"]
    plain_before = {p: v for p, v in before.items() if p[0] != "torque"}
    plain_after = {p: v for p, v in after.items() if p[0] != "torque"}
    source = tomllib.loads(text).get("source")
    was = isinstance(source, dict) and bool(source.get("checked"))
    if checked != was:
        plain_before["source", "checked"], plain_after["source", "checked"] = was, checked
    text = changed(text, plain_before, plain_after)
    for path in torques:
        if before.get(path) != after.get(path):
            text = put_torque(text, path[1], after.get(path))
    return text


def answers_of(text: str) -> dict[str, str]:
    """The answers that a sheet gives, each in the words and units it stands in.

    What no line of the form can say is left out, and so is left alone when the file is changed.
    """
    data = tomllib.loads(text)
    found = {field.id: _said(field.id, data) for field in FIELDS}
    return {id_: said for id_, said in found.items() if said}


def _said(id_: str, data: Mapping[str, Any]) -> str:
    if id_ in _TORQUES:
        rows = data.get("torque", [])
        rows = rows if isinstance(rows, list) else []
        return next((str(r.get("value", "")) for r in rows if r.get("what") == _TORQUES[id_]), "")
    if id_ == "thread":
        return str(_at(data, ("adjuster", "thread")) or _at(data, ("adjuster", "pitch")) or "")
    if id_ in ("every", "first"):
        table = _at(data, ("interval",) if id_ == "every" else ("interval", "first"))
        return _interval_said(table) if isinstance(table, dict) else ""
    value = _at(data, PATHS[id_])
    if value is None:
        return DEFAULTS.get(id_, "") if id_ in ("at", "condition", "under_bucket") else ""
    return _SAY.get(id_, _say_plain)(value, data)


def _at(data: Mapping[str, Any], path: Path) -> Any:
    found: Any = data
    for key in path:
        if not isinstance(found, Mapping) or key not in found:
            return None
        found = found[key]
    return found


def _say_plain(value: Any, _: Mapping[str, Any]) -> str:
    if isinstance(value, str):
        return value
    return str(value) if isinstance(value, int | float) and not isinstance(value, bool) else ""


def _say_span(value: Any, _: Mapping[str, Any]) -> str:
    if isinstance(value, list) and all(isinstance(v, str) for v in value):
        return " to ".join(value)
    return value if isinstance(value, str) else ""


def _say_cylinders(value: Any, _: Mapping[str, Any]) -> str:
    names = [str(v) for v in value] if isinstance(value, list) else []
    return str(len(names)) if names == [str(n + 1) for n in range(len(names))] else " ".join(names)


def _say_firing(value: Any, data: Mapping[str, Any]) -> str:
    cylinders = _at(data, PATHS["cylinders"])
    if not isinstance(value, dict) or not isinstance(cylinders, list) or len(cylinders) == 1:
        return ""
    order = sorted(value, key=lambda name: value[name])
    even = [value[name] for name in order] == [720 * n / len(order) for n in range(len(order))]
    return "-".join(order) if even else ", ".join(f"{n} {value[n]}" for n in order)


def _say_valves(value: Any, data: Mapping[str, Any]) -> str:
    answers = {"cylinders": " ".join(_at(data, PATHS["cylinders"]) or [])}
    return next((count for count in ("2", "4") if value == _valves(count, answers)), "")


def _say_mark(value: Any, data: Mapping[str, Any]) -> str:
    names = _at(data, PATHS["cylinders"]) or [""]
    said = value.get(names[0]) if isinstance(value, dict) else None
    return said if isinstance(said, str) else ""


def _say_shims(value: Any, _: Mapping[str, Any]) -> str:
    if isinstance(value, dict):
        ends = [str(value.get(k, "")).removesuffix(" mm") for k in ("from", "to", "step")]
        return "{} to {} by {}".format(*ends)
    return ", ".join(str(v) for v in value) if isinstance(value, list) else ""


def _interval_said(table: Mapping[str, Any]) -> str:
    says = (("months", "{} months"), ("distance", "{}"), ("hours", "{} h"))
    return ", ".join(words.format(table[key]) for key, words in says if key in table)


_SAY: dict[str, Callable[[Any, Mapping[str, Any]], str]] = {
    "inlet": _say_span,
    "exhaust": _say_span,
    "cylinders": _say_cylinders,
    "firing": _say_firing,
    "valves": _say_valves,
    "mark": _say_mark,
    "shims": _say_shims,
    "under_bucket": lambda value, _: "yes" if value is True else "no",
}
