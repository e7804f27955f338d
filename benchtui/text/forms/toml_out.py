"""A person's TOML file, written clean or changed in place: comments and layout survive.

The only module that knows tomlkit, which keeps a file's style where tomllib only reads it.
"""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any, cast

import tomlkit
from tomlkit.items import AoT

Path = tuple[str, ...]
Values = Mapping[Path, Any]
"""A plain value for each key path; None takes a key away."""


def changed(text: str, before: Values, after: Values) -> str:
    """``text`` with what differs between two sets of values, and nothing else, changed.

    What stands in the file and in neither set is left alone, comments included.
    """
    document = tomlkit.parse(text)
    for path in {**before, **after}:
        if before.get(path) != after.get(path):
            _put(document, path, after.get(path))
    return tomlkit.dumps(document)


def _put(document: MutableMapping[str, Any], path: Path, value: Any) -> None:
    *tables, key = path
    inner = document
    for name in tables:
        if name not in inner:
            if value is None:
                return
            inner[name] = tomlkit.table()
        inner = cast("MutableMapping[str, Any]", inner[name])
    if value is None:
        inner.pop(key, None)
        return
    if key in inner and plain(inner[key]) == value:
        return
    inner[key] = item(value)


def put_torque(text: str, what: str, value: str | None) -> str:
    """The file with one fastening of its torque list given this figure, or left out."""
    document = tomlkit.parse(text)
    rows = document.get("torque")
    if rows is None:
        if value is None:
            return text
        rows = tomlkit.aot()
        document.append("torque", rows)
    found = next((at for at, row in enumerate(cast("AoT", rows)) if row.get("what") == what), None)
    if found is not None and value is None:
        del rows[found]
    elif found is not None:
        if rows[found].get("value") != value:
            rows[found]["value"] = value
    elif value is not None:
        row = tomlkit.table()
        row["what"], row["value"] = what, value
        cast("AoT", rows).append(row)
    return tomlkit.dumps(document)


def plain(value: Any) -> Any:
    """What a tomlkit item holds."""
    return value.unwrap() if hasattr(value, "unwrap") else value


def item(value: Any) -> Any:
    """A value as a person would write it: short tables and lists on one line."""
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, inner in value.items():
            table[key] = item(inner)
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        array.extend(value)
        return array
    return tomlkit.item(value)
