"""Engines and blade sets on the shelf: their sheets looked up, added, and marked as read."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import FaultyInput, Refusal
from benchtui.domain.sheet import Sheet
from benchtui.store.hidden import change_hidden, listed
from benchtui.store.library import template, text_of_file, write_text
from benchtui.store.names import check_new_name
from benchtui.workshop.data_root import Premises


@dataclass(frozen=True, slots=True)
class Engine:
    """One engine on the shelf: its sheet, or what is wrong with it."""

    key: str
    sheet: Sheet | None
    faults: FaultyInput | None = None


class Engines(Premises):
    """The sheets and blade sets by name."""

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of every engine listed, quickly: the sheets are not checked."""
        return [(key, self._library.title(key)) for key in listed(self._library, self.data)]

    def check_new_name(self, name: str) -> None:
        """Whether a new sheet may be filed under this name.

        Raises:
            Refusal: it is taken, or not safe as a file's name.
        """
        check_new_name(name, self._library.sheet_names(), "sheet")

    def add_engine(self, name: str) -> str:
        """Put a fresh sheet to fill in into the data folder; its key is returned.

        Raises:
            Refusal: the name cannot be used.
            BenchError: it could not be written.
        """
        self.check_new_name(name)
        write_text(self.data.sheets / f"{name}.toml", template(name))
        return name

    def mark_checked(self, key: str) -> None:
        """Note in the owner's own sheet that its figures were read twice in the manual.

        Raises:
            FaultyInput: no such sheet.
            Refusal: it does not say ``checked = false``, so that there is nothing to change safely.
            BenchError: it could not be written.
        """
        path = self.own_sheet(key)
        text = text_of_file(path)
        changed = re.sub(r"\bchecked\s*=\s*false\b", "checked = true", text, count=1)
        if changed == text:
            raise Refusal(
                "The sheet has no `checked = false`.", "Write `checked = true` into its source."
            )
        write_text(path, changed)

    def own_sheet(self, key: str) -> Path:
        """The owner's own file of a sheet; a shipped one is copied first, so that it stays as it is.

        Raises:
            FaultyInput: no such sheet.
            BenchError: the copy could not be written.
        """
        path = self._library.sheet_path(key)
        own = self.data.sheets / f"{key}.toml"
        if path != own:
            write_text(own, text_of_file(path))
        return own

    def engines(self) -> tuple[Engine, ...]:
        """Every engine that is not hidden, those with faulty sheets included."""
        return tuple(self._engine(key) for key in listed(self._library, self.data))

    def hidden(self) -> list[tuple[str, str]]:
        """Key and name of every shipped engine that is hidden."""
        shown = listed(self._library, self.data)
        return [(key, name) for key, name in self._library.titles() if key not in shown]

    def hide(self, key: str) -> None:
        """Leave a shipped engine out of the lists; its sheet and sessions stay as they are.

        Raises:
            Refusal: it is the owner's own, or the file that keeps the names cannot be made out.
            WriteFailed: it could not be written.
        """
        if self._library.is_own(key):
            raise Refusal("Only engines that ship with the program can be hidden.")
        change_hidden(self.data, key, hide=True)

    def bring_back(self, key: str) -> None:
        """Take a hidden engine into the lists again; raises as ``hide`` does."""
        change_hidden(self.data, key, hide=False)

    def is_own(self, key: str) -> bool:
        """Whether this engine's sheet is the owner's own, not a shipped one."""
        return self._library.is_own(key)

    def _engine(self, key: str) -> Engine:
        try:
            return Engine(key, self._library.sheet(key))
        except FaultyInput as faults:
            return Engine(key, None, faults)

    def sheet(self, key: str) -> Sheet:
        """The sheet of that name, or FaultyInput."""
        return self._library.sheet(key)

    def blades(self, key: str) -> BladeSet:
        """The blade set of that name, or FaultyInput."""
        return self._library.blades(key)

    def blade_names(self) -> tuple[str, ...]:
        """The names of all blade sets."""
        return self._library.blade_names()
