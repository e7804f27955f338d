"""Engines and blade sets on the shelf: their sheets looked up, added, and marked as read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import FaultyInput, Unable
from benchtui.domain.sheet import Sheet
from benchtui.store.engine_names import engine_names, retire
from benchtui.store.library import is_untouched, sheet_of_file, text_of_file, write_text
from benchtui.store.names import check_new_name
from benchtui.workshop.data_root import DataRoot


@dataclass(frozen=True, slots=True)
class Engine:
    """One engine on the shelf: its sheet, or what is wrong with it."""

    key: str
    sheet: Sheet | None
    faults: FaultyInput | None = None


class Engines:
    """The sheets and blade sets by name."""

    def __init__(self, root: DataRoot) -> None:
        self._root = root

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of each of the owner's engines, quickly: the sheets are not checked."""
        retired = engine_names(self._root.data).retired
        return [(key, name) for key, name in self._root.library.titles() if key not in retired]

    def text_of_sheet(self, key: str) -> str:
        """The file of a sheet as it stands, whatever is in it.

        Raises:
            FaultyInput: no such sheet, or no text.
        """
        return text_of_file(self._root.library.sheet_path(key))

    def text_of_example(self, key: str) -> str:
        """The file of an example as it ships, whatever the owner has under that name."""
        return text_of_file(self._root.library.sheet_folders[-1] / f"{key}.toml")

    def keep_sheet(self, key: str, text: str, *, new: bool) -> None:
        """Write the owner's own sheet of that name in one step.

        Raises:
            Unable: it is a ``new`` one and the name cannot be used.
            BenchError: it could not be written; whatever was there is as it was.
        """
        if new:
            check_new_name(key, self._root.library.own_names(), "sheet")
        write_text(self._root.data.sheets / f"{key}.toml", text)

    def mark_checked(self, key: str) -> None:
        """Note in the owner's own sheet that its figures were read twice in the manual.

        Raises:
            FaultyInput: no such sheet.
            Unable: it does not say ``checked = false``, so that there is nothing to change safely.
            BenchError: it could not be written.
        """
        path = self.own_sheet(key)
        text = text_of_file(path)
        changed = re.sub(r"\bchecked\s*=\s*false\b", "checked = true", text, count=1)
        if changed == text:
            raise Unable(
                "The sheet has no `checked = false`.", "Write `checked = true` into its source."
            )
        write_text(path, changed)

    def own_sheet(self, key: str) -> Path:
        """The owner's own file of a sheet; a shipped one is copied first, so that it stays as it is.

        Raises:
            FaultyInput: no such sheet.
            BenchError: the copy could not be written.
        """
        path = self._root.library.sheet_path(key)
        own = self._root.data.sheets / f"{key}.toml"
        if path != own:
            write_text(own, text_of_file(path))
        return own

    def owned(self, used: Iterable[str] = ()) -> tuple[Engine, ...]:
        """The owner's engines, those with faulty sheets included.

        An example that ships with the program is one of them only if it is among the ``used``:
        then there are sessions of it, and what is on record is his. Retired ones are left out.
        """
        retired = engine_names(self._root.data).retired
        own = [key for key in self._root.library.own_names() if key not in retired]
        known = self._root.library.sheet_names()
        keys = dict.fromkeys([*own, *(k for k in sorted(used) if k in known and k not in retired)])
        return tuple(self._engine(key) for key in keys)

    def examples(self, used: Iterable[str] = ()) -> tuple[Engine, ...]:
        """The invented engines that ship with the program, less those that the owner has made his."""
        his = {engine.key for engine in self.owned(used)} | engine_names(self._root.data).retired
        return tuple(self._engine(k) for k in self._root.library.sheet_names() if k not in his)

    def example(self, key: str) -> Sheet:
        """An example as it ships, whatever the owner has under that name."""
        return sheet_of_file(self._root.library.sheet_folders[-1] / f"{key}.toml")

    def retired(self) -> list[tuple[str, str]]:
        """Key and name of every engine that is retired and whose sheet is there."""
        known = self._root.library.sheet_names()
        names = sorted(engine_names(self._root.data).retired)
        return [(key, self._root.library.title(key)) for key in names if key in known]

    def retire(self, key: str) -> None:
        """Leave an engine out of the lists; its sheet and its sessions stay.

        Raises:
            Unable: the file that keeps the names cannot be made out.
            WriteFailed: it could not be written.
        """
        retire(self._root.data, key)

    def bring_back(self, key: str) -> None:
        """Take a retired engine into the lists again; raises as ``retire`` does."""
        retire(self._root.data, key, back=True)

    def untouched(self) -> bool:
        """Whether there is neither an engine nor a session of the owner's, as at the first start."""
        return is_untouched(self._root.data, self._root.library)

    def is_own(self, key: str) -> bool:
        """Whether this engine's sheet is the owner's own, not a shipped one."""
        return self._root.library.is_own(key)

    def _engine(self, key: str) -> Engine:
        try:
            return Engine(key, self._root.library.sheet(key))
        except FaultyInput as faults:
            return Engine(key, None, faults)

    def sheet_key(self, name: str) -> str:
        """The key of the engine that is filed, or printed on its sheet, so; else ``name`` itself."""
        return self._root.library.sheet_key(name)

    def blades_key(self, name: str) -> str:
        """The same of a blade set."""
        return self._root.library.blades_key(name)

    def sheet(self, key: str) -> Sheet:
        """The sheet of that name, or FaultyInput."""
        return self._root.library.sheet(key)

    def blades(self, key: str) -> BladeSet:
        """The blade set of that name, or FaultyInput."""
        return self._root.library.blades(key)

    def blade_names(self) -> tuple[str, ...]:
        """The names of all blade sets."""
        return self._root.library.blade_names()
