"""What became of engines' names: ``engines.json`` in the data folder.

``{"format": 1, "renamed": {old: new}, "retired": [names]}``. Session files keep the name they were written
with; who asks for an engine's history gets that of its former names too. A retired engine is left out of
the lists; its sheet and its sessions stay.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path

from benchtui.domain.errors import Unable
from benchtui.store.files import read_regular
from benchtui.store.library import MOST_BYTES, write_text
from benchtui.store.paths import DataFolder

FORMAT = 1


@dataclass(frozen=True, slots=True)
class EngineNames:
    """Each former name with that of today, and the engines that are retired."""

    renamed: dict[str, str] = field(default_factory=dict)
    retired: frozenset[str] = frozenset()

    def former(self, engine: str) -> tuple[str, ...]:
        """The names that this engine's sheet was filed under before."""
        return tuple(old for old, new in self.renamed.items() if new == engine)


def engine_names(data: DataFolder) -> EngineNames:
    """What the file says; nothing where it cannot be made out, so that all are listed."""
    try:
        return _read(_path(data))
    except Unable:
        return EngineNames()


def rename(data: DataFolder, old: str, new: str) -> None:
    """Let the history of ``old`` be that of ``new`` from now on.

    Raises:
        Unable: the file cannot be made out; it is left as it is.
        WriteFailed: the disk would not take it; the file is as it was.
    """
    names = _read(_path(data))
    renamed = {was: new if now == old else now for was, now in names.renamed.items()}
    renamed[old] = new
    renamed.pop(new, None)
    _write(data, replace(names, renamed=renamed))


def retire(data: DataFolder, engine: str, *, back: bool = False) -> None:
    """Leave an engine out of the lists, or take it into them again; raises as ``rename`` does."""
    names = _read(_path(data))
    retired = names.retired - {engine} if back else names.retired | {engine}
    _write(data, replace(names, retired=retired))


def _path(data: DataFolder) -> Path:
    return data.root / "engines.json"


def _write(data: DataFolder, names: EngineNames) -> None:
    document = {"format": FORMAT, "renamed": names.renamed, "retired": sorted(names.retired)}
    write_text(_path(data), json.dumps(document, sort_keys=True) + "\n")


def _read(path: Path) -> EngineNames:
    mend = "Mend it, or take it away."
    try:
        document = json.loads(read_regular(path, MOST_BYTES))
    except FileNotFoundError:
        return EngineNames()
    except (OSError, ValueError, RecursionError) as error:
        raise Unable(f"{path} cannot be read: {error}.", mend) from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise Unable(f"{path} makes no sense.", mend)
    renamed, retired = document.get("renamed"), document.get("retired")
    if not isinstance(renamed, dict) or not isinstance(retired, list):
        raise Unable(f"{path} makes no sense.", mend)
    if not all(isinstance(name, str) for name in (*renamed.values(), *retired)):
        raise Unable(f"{path} makes no sense.", mend)
    return EngineNames(renamed, frozenset(retired))
