"""Which shipped engines the owner has hidden: ``hidden.json`` in the data folder.

``{"format": 1, "engines": [names]}``. Only the lists leave them out: by name they are found as before.
"""

from __future__ import annotations

import json
from pathlib import Path

from benchtui.domain.errors import Refusal
from benchtui.store.files import read_regular
from benchtui.store.library import MOST_BYTES, Library, write_text
from benchtui.store.paths import DataFolder

FORMAT = 1


def hidden_names(data: DataFolder) -> frozenset[str]:
    """The names that are hidden; none where the file cannot be made out, so that all are shown."""
    try:
        return _read(_path(data))
    except Refusal:
        return frozenset()


def change_hidden(data: DataFolder, name: str, *, hide: bool) -> None:
    """Hide a name, or bring it back.

    Raises:
        Refusal: the file cannot be made out; it is left as it is.
        WriteFailed: the disk would not take it; the file is as it was.
    """
    names = _read(_path(data))
    wanted = names | {name} if hide else names - {name}
    if wanted != names:
        text = json.dumps({"format": FORMAT, "engines": sorted(wanted)})
        write_text(_path(data), text + "\n")


def listed(library: Library, data: DataFolder) -> tuple[str, ...]:
    """The sheets to list: the owner's own, then the shipped ones that are not hidden."""
    hidden = hidden_names(data)
    names = library.sheet_names()
    own = tuple(n for n in names if library.is_own(n))
    return own + tuple(n for n in names if n not in own and n not in hidden)


def _path(data: DataFolder) -> Path:
    return data.root / "hidden.json"


def _read(path: Path) -> frozenset[str]:
    try:
        document = json.loads(read_regular(path, MOST_BYTES))
    except FileNotFoundError:
        return frozenset()
    except (OSError, ValueError, RecursionError) as error:
        raise Refusal(f"{path} cannot be read: {error}.", "Mend it, or take it away.") from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise Refusal(f"{path} makes no sense.", "Mend it, or take it away.")
    names = document.get("engines")
    if not isinstance(names, list) or not all(isinstance(n, str) for n in names):
        raise Refusal(f"{path} makes no sense.", "Mend it, or take it away.")
    return frozenset(names)
