"""Sheets and blade sets by name: those of the data folder first, then the shipped ones."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.sheet import Sheet
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.text.blades_file import parse_blades
from benchtui.text.sheet_file import parse_sheet

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
"""What a sheet or blade set may be filed under: safe as a file's name everywhere."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Library:
    """The folders that names are looked up in, the owner's before the shipped ones."""

    sheet_folders: tuple[Path, ...]
    blade_folders: tuple[Path, ...]

    def sheet_names(self) -> tuple[str, ...]:
        """The names of all sheets, sound or not."""
        return _names(self.sheet_folders)

    def blade_names(self) -> tuple[str, ...]:
        """The names of all blade sets, sound or not."""
        return _names(self.blade_folders)

    def sheet_path(self, name: str) -> Path:
        """The file of a sheet.

        Raises:
            FaultyInput: no such sheet.
        """
        return _path(self.sheet_folders, name, "a sheet's name")

    def sheet(self, name: str) -> Sheet:
        """The sheet of that name.

        Raises:
            FaultyInput: no such sheet, or it has faults (all are listed).
        """
        return _load(self.sheet_path(name), parse_sheet)

    def blades(self, name: str) -> BladeSet:
        """The blade set of that name.

        Raises:
            FaultyInput: no such set, or it has faults (all are listed).
        """
        return _load(_path(self.blade_folders, name, "a blade set's name"), parse_blades)


def library(data: DataFolder) -> Library:
    """The library of a data folder."""
    specs = shipped_specs()
    return Library((data.sheets, specs), (data.blades, specs / "blades"))


def sheet_of_file(path: Path) -> Sheet:
    """The sheet in any file, filed under the file's stem.

    Raises:
        FaultyInput: it cannot be read, or has faults.
    """
    return _load(path, parse_sheet)


def text_of_file(path: Path) -> str:
    """The text of a file a person wrote; a byte order mark is let go.

    Raises:
        FaultyInput: there is no such file, or it is no UTF-8 text.
    """
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        found = f"a byte that is not UTF-8 at {error.start}"
        raise FaultyInput((Fault(str(path), None, "", found, "UTF-8 text"),)) from error
    except OSError as error:
        found = error.strerror or str(error)
        raise FaultyInput(
            (Fault(str(path), None, "", found, "a file that can be read"),)
        ) from error


def _names(folders: tuple[Path, ...]) -> tuple[str, ...]:
    stems = {p.stem for folder in folders if folder.is_dir() for p in folder.glob("*.toml")}
    return tuple(sorted(stem for stem in stems if NAME.fullmatch(stem)))


def _path(folders: tuple[Path, ...], name: str, wanted: str) -> Path:
    if NAME.fullmatch(name):
        for folder in folders:
            path = folder / f"{name}.toml"
            if path.is_file():
                return path
    names = _names(folders)
    near = difflib.get_close_matches(name, names, n=1)
    hint = (
        f"{wanted}: {'did you mean ' + near[0] + '? ' if near else ''}there are {', '.join(names)}"
    )
    raise FaultyInput((Fault(str(folders[0]), None, "", repr(name), hint),))


def _load(path: Path, parse: Callable[[str, str, str], T]) -> T:
    return parse(text_of_file(path), path.stem, str(path))
