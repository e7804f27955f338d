"""An engine's sheet from the answers to its form, and the answers that an existing sheet gives.

Written clean, it is what a person would have written; changed in place, it keeps comments and all that
the form does not ask about.

Long, because each field of the form stands here twice: to the sheet, and back from it.
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
    "page": ("source", "page"),
    "entered_by": ("source", "entered_by"),
    "cylinders": ("layout", "cylinders"),
    "firing": ("layout", "firing"),
    "valves": ("layout", "valves"),
    "turns": ("layout", "turns"),
    "mark": ("layout", "marks"),
    "decompressor": ("layout", "decompressor"),
    "inlet": ("clearance", "inlet"),
    "exhaust": ("clearance", "exhaust"),
    "owner_band": ("clearance", "owner_band"),
    "condition": ("clearance", "condition"),
    "metal_below": ("clearance", "metal_below"),
    "metal_above": ("clearance", "metal_above"),
    "stood": ("clearance", "stood"),
    "kind": ("adjuster", "kind"),
    "at": ("adjuster", "at"),
    "ratio": ("adjuster", "ratio"),
    "closes": ("adjuster", "closes"),
    "shims": ("adjuster", "shims"),
    "under_bucket": ("adjuster", "under_bucket"),
    "inlet_opens": ("timing", "inlet_opens"),
    "inlet_closes": ("timing", "inlet_closes"),
    "exhaust_opens": ("timing", "exhaust_opens"),
    "exhaust_closes": ("timing", "exhaust_closes"),
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
            values |= _READ.get(field.id, _as_text(field.id))(text, answers)
        except FaultyQuantity as fault:
            wrong[field.id] = fault
    if answers.get("kind") == HYDRAULIC:
        values.pop(("clearance", "stood"), None)
    return values, wrong


def _as_text(id_: str) -> Callable[[str, Answers], dict[Path, Any]]:
    def read(text: str, answers: Answers) -> dict[Path, Any]:
        del answers
        return {PATHS[id_]: text} if id_ in PATHS else {}

    return read


def _names(answers: Answers) -> list[str]:
    return typed.cylinders(answers.get("cylinders", "").strip() or "1")


def _cylinders(text: str, answers: Answers) -> dict[Path, Any]:
    names = typed.cylinders(text)
    found: dict[Path, Any] = {PATHS["cylinders"]: names}
    if len(names) == 1:
        found[PATHS["firing"]] = {names[0]: 0}
    del answers
    return found


def _firing(text: str, answers: Answers) -> dict[Path, Any]:
    return {PATHS["firing"]: typed.firing(text, _names(answers))}


def _valves(text: str, answers: Answers) -> dict[Path, Any]:
    ends = ("I", "E") if text == "2" else ("I-left", "I-right", "E-left", "E-right")
    return {PATHS["valves"]: {name: [f"{name}{end}" for end in ends] for name in _names(answers)}}


def _inlet(text: str, answers: Answers) -> dict[Path, Any]:
    return {PATHS["inlet"]: typed.clearance(text, typed.unit_of(answers.get("exhaust", "")))}


def _exhaust(text: str, answers: Answers) -> dict[Path, Any]:
    return {PATHS["exhaust"]: typed.clearance(text, typed.unit_of(answers.get("inlet", "")))}


def _in_unit(id_: str, unit: str) -> Callable[[str, Answers], dict[Path, Any]]:
    def read(text: str, answers: Answers) -> dict[Path, Any]:
        del answers
        return {PATHS[id_]: typed.with_unit(text, unit)}

    return read


def _band(text: str, answers: Answers) -> dict[Path, Any]:
    unit = typed.unit_of(answers.get("inlet", "")) or "mm"
    return {PATHS["owner_band"]: typed.with_unit(text, unit)}


def _thread(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    key, value = typed.thread(text)
    return {("adjuster", key): value}


def _mark(text: str, answers: Answers) -> dict[Path, Any]:
    return {(*PATHS["mark"], _names(answers)[0]): text}


def _ratio(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    return {PATHS["ratio"]: typed.number(text)}


def _shims(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    return {PATHS["shims"]: typed.shims(text)}


def _bucket(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    return {PATHS["under_bucket"]: True} if text == "yes" else {}


def _every(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    return {("interval", key): value for key, value in typed.interval(text).items()}


def _first(text: str, answers: Answers) -> dict[Path, Any]:
    del answers
    return {("interval", "first"): typed.interval(text)}


def _torque(id_: str) -> Callable[[str, Answers], dict[Path, Any]]:
    def read(text: str, answers: Answers) -> dict[Path, Any]:
        del answers
        return {("torque", _TORQUES[id_]): typed.torque(text)}

    return read


_READ: dict[str, Callable[[str, Answers], dict[Path, Any]]] = {
    "cylinders": _cylinders,
    "firing": _firing,
    "valves": _valves,
    "inlet": _inlet,
    "exhaust": _exhaust,
    "owner_band": _band,
    "metal_below": _in_unit("metal_below", "C"),
    "metal_above": _in_unit("metal_above", "C"),
    "stood": _in_unit("stood", "h"),
    "thread": _thread,
    "mark": _mark,
    "ratio": _ratio,
    "shims": _shims,
    "under_bucket": _bucket,
    "every": _every,
    "first": _first,
    "locknut": _torque("locknut"),
    "cover": _torque("cover"),
}

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


def _say_plain(value: Any, data: Mapping[str, Any]) -> str:
    del data
    if isinstance(value, str):
        return value
    return str(value) if isinstance(value, int | float) and not isinstance(value, bool) else ""


def _say_span(value: Any, data: Mapping[str, Any]) -> str:
    del data
    if isinstance(value, list) and all(isinstance(v, str) for v in value):
        return " to ".join(value)
    return value if isinstance(value, str) else ""


def _say_cylinders(value: Any, data: Mapping[str, Any]) -> str:
    del data
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
    names = _at(data, PATHS["cylinders"]) or []
    for count in ("2", "4"):
        wanted = _valves(count, {"cylinders": " ".join(names)})[PATHS["valves"]]
        if value == wanted:
            return count
    return ""


def _say_mark(value: Any, data: Mapping[str, Any]) -> str:
    names = _at(data, PATHS["cylinders"]) or [""]
    said = value.get(names[0]) if isinstance(value, dict) else None
    return said if isinstance(said, str) else ""


def _say_shims(value: Any, data: Mapping[str, Any]) -> str:
    del data
    if isinstance(value, dict):
        low, high, step = (
            str(value.get(k, "")).removesuffix(" mm") for k in ("from", "to", "step")
        )
        return f"{low} to {high} by {step}"
    return ", ".join(str(v) for v in value) if isinstance(value, list) else ""


def _say_bucket(value: Any, data: Mapping[str, Any]) -> str:
    del data
    return "yes" if value is True else "no"


def _interval_said(table: Mapping[str, Any]) -> str:
    parts = [f"{table['months']} months"] if "months" in table else []
    parts += [str(table["distance"])] if "distance" in table else []
    parts += [f"{table['hours']} h"] if "hours" in table else []
    return ", ".join(parts)


_SAY: dict[str, Callable[[Any, Mapping[str, Any]], str]] = {
    "inlet": _say_span,
    "exhaust": _say_span,
    "cylinders": _say_cylinders,
    "firing": _say_firing,
    "valves": _say_valves,
    "mark": _say_mark,
    "shims": _say_shims,
    "under_bucket": _say_bucket,
}
