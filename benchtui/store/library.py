"""Sheets and blade sets by name: those of the data folder first, then the shipped ones."""

from __future__ import annotations

import codecs
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, cast

from benchtui.domain.errors import Fault, FaultyInput, shortened
from benchtui.domain.spelling import meant, or_meant
from benchtui.store.files import Listing, NotForReading, Odd, listing, read_regular, there, why
from benchtui.store.names import DEVICE, NAME, SHAPE
from benchtui.store.paths import DataFolder, shipped_specs

if TYPE_CHECKING:  # the first picture needs names only; the rest is loaded when it is asked for
    from benchtui.domain.blades import BladeSet
    from benchtui.domain.sheet import Sheet

MOST_BYTES = 250_000
"""The largest file taken as written by a person: some twenty times a long script or sheet, and
still read and checked in a moment; more is another file, named by mistake."""

SUFFIX = ".toml"

MISNAMED = "its name is not of letters, digits, - and _ alone: give it another"

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Library:
    """The folders that names are looked up in, the owner's before the shipped ones."""

    sheet_folders: tuple[Path, ...]
    blade_folders: tuple[Path, ...]

    def sheet_names(self) -> tuple[str, ...]:
        """The names of all sheets, sound or not."""
        return _names(self.sheet_folders)

    def is_own(self, name: str) -> bool:
        """Whether this sheet lies in the owner's folder, whatever ships under the same name."""
        return there(self.sheet_folders[0] / f"{name}.toml")

    def odd(self) -> tuple[Odd, ...]:
        """Files beside the sheets and blade sets that no name finds, and why.

        Raises:
            FaultyInput: a folder is there and cannot be read.
        """
        found = []
        for folder in (self.sheet_folders[0], self.blade_folders[0]):
            every = _listed(folder)
            misnamed = [e.name for e in every.files if not SHAPE.fullmatch(e.stem)]
            found += [Odd(f"{folder.name}/{name}", MISNAMED) for name in misnamed]
            found += [Odd(f"{folder.name}/{odd.name}", odd.reason) for odd in every.odd]
        return tuple(found)

    def is_own_set(self, name: str) -> bool:
        """Whether this blade set lies in the owner's folder."""
        return (self.blade_folders[0] / f"{name}.toml").is_file()

    def own_names(self) -> tuple[str, ...]:
        """The names of the owner's own sheets, sound or not."""
        return _names(self.sheet_folders[:1])

    def blade_names(self) -> tuple[str, ...]:
        """The names of all blade sets, sound or not."""
        return _names(self.blade_folders)

    def sheet_path(self, name: str) -> Path:
        """The file of a sheet.

        Raises:
            FaultyInput: no such sheet.
        """
        return _path(self.sheet_folders, name, "a sheet's name")

    def title(self, name: str) -> str:
        """The engine's name as its sheet has it, read quickly and without checking; else ``name``."""
        try:
            return _title(self.sheet_path(name), name)
        except FaultyInput:
            return name

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of each of the owner's own engines, quickly: the sheets are not checked."""
        return [(key, self.title(key)) for key in self.own_names()]

    def sheet_key(self, name: str) -> str:
        """The key of the engine that is filed, or printed on its sheet, so; else ``name`` itself."""
        return _key(name, self.sheet_names(), self.title)

    def blades_key(self, name: str) -> str:
        """The same of a blade set."""
        return _key(name, self.blade_names(), lambda key: _title(self.blades_path(key), key))

    def sheet(self, name: str) -> Sheet:
        """The sheet of that name.

        Raises:
            FaultyInput: no such sheet, or it has faults (all are listed).
        """
        return sheet_of_file(self.sheet_path(name))

    def blades(self, name: str) -> BladeSet:
        """The blade set of that name.

        Raises:
            FaultyInput: no such set, or it has faults (all are listed).
        """
        from benchtui.text.reading.blades_file import parse_blades

        return _load(self.blades_path(name), parse_blades)

    def blades_path(self, name: str) -> Path:
        """The file of a blade set.

        Raises:
            FaultyInput: no such set.
        """
        return _path(self.blade_folders, name, "a blade set's name")


def library(data: DataFolder) -> Library:
    """The library of a data folder."""
    specs = shipped_specs()
    return Library((data.sheets, specs), (data.blades, specs / "blades"))


def is_untouched(data: DataFolder, shelf: Library) -> bool:
    """Whether a data folder holds neither a sheet of the owner's nor a session."""
    return not shelf.own_names() and not any(data.sessions.glob("*"))


def sheet_of_file(path: Path) -> Sheet:
    """The sheet in any file, filed under the file's stem.

    Raises:
        FaultyInput: it cannot be read, or has faults.
    """
    from benchtui.text.reading.sheet_file import parse_sheet

    return _load(path, parse_sheet)


def text_of_file(path: Path) -> str:
    """The text of a file a person wrote; a byte order mark is let go.

    Raises:
        FaultyInput: there is no such file, it is over ``MOST_BYTES``, or it is no UTF-8 text.
    """
    try:
        content = read_regular(path, MOST_BYTES)
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        found = f"byte {content[error.start]:#04x}, which is not UTF-8"
        if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            found = "UTF-16 text"
        wanted = "UTF-8 text: save it with that encoding"
        raise FaultyInput((Fault(str(path), line, "", found, wanted),)) from error
    except NotForReading as error:
        raise FaultyInput((Fault(str(path), None, "", error.found, error.wanted),)) from error
    except OSError as error:
        found = why(error)
        raise FaultyInput(
            (Fault(str(path), None, "", found, "a file that can be read"),)
        ) from error


def write_text(path: Path, text: str) -> None:
    """Write a person's file in one step.

    Raises:
        WriteFailed: the disk would not take it; whatever was there is as it was.
    """
    from benchtui.store.journal import WriteFailed
    from benchtui.store.storage import write_whole

    try:
        write_whole(path, text.encode())
    except OSError as error:
        raise WriteFailed(f"cannot write {path}: {error.strerror or error}") from error


def _title(path: Path, name: str) -> str:
    from benchtui.text.reading.toml_lines import tables_of

    try:
        found = tables_of(text_of_file(path), str(path)).get("name")
    except FaultyInput:
        return name
    return found if isinstance(found, str) and found.strip() else name


def _key(name: str, keys: Sequence[str], title: Callable[[str], str]) -> str:
    """The key meant by its own spelling, else the one whose title is spelled so."""
    key = meant(name, keys)
    if key is not None:
        return key
    titles = {k: title(k) for k in keys}
    found = meant(name, titles.values())
    return next((k for k, t in titles.items() if t == found), name)


def _names(folders: tuple[Path, ...]) -> tuple[str, ...]:
    stems: set[str] = set()
    for folder in folders:
        every = _listed(folder)
        # What cannot be read is named all the same, so that its owner is told of it.
        stems |= {e.stem for e in every.files} | {o.name.removesuffix(SUFFIX) for o in every.odd}
    return tuple(sorted(stem for stem in stems if SHAPE.fullmatch(stem)))


def _listed(folder: Path) -> Listing:
    """The files in a folder of sheets or blade sets.

    Raises:
        FaultyInput: the folder is there and cannot be read.
    """
    try:
        return listing(folder, SUFFIX, MOST_BYTES)
    except OSError as error:
        fault = Fault(str(folder), None, "", why(error), "a folder that can be read")
        raise FaultyInput((fault,)) from error


def _path(folders: tuple[Path, ...], name: str, wanted: str) -> Path:
    if DEVICE.fullmatch(name):
        found, other = (
            f"{name!r}, which Windows keeps for a device",
            f"{wanted} that is no device's",
        )
        raise FaultyInput((Fault(str(folders[0] / f"{name}.toml"), None, "", found, other),))
    if NAME.fullmatch(name):
        for folder in folders:
            path = folder / f"{name}.toml"
            if there(path):  # reading it tells what is wrong with it
                return path
    names = _names(folders)
    hint = or_meant(f"{wanted}: there are {', '.join(names)}", name, names)
    raise FaultyInput((Fault(str(folders[0]), None, "", repr(shortened(name)), hint),))


def _load(path: Path, parse: Callable[[str, str, str], T]) -> T:
    text = text_of_file(path)
    if not text.strip():  # one fault, in place of one for each thing that is not in it
        from benchtui.text.reading.checked import FORMAT

        wanted = f"format = {FORMAT}, and what goes with it"
        raise FaultyInput((Fault(str(path), None, "", "an empty file", wanted),))
    return cast("T", _parsed(parse, text, path.stem, str(path)))


@lru_cache(maxsize=64)
def _parsed(parse: Callable[[str, str, str], object], text: str, key: str, file: str) -> object:
    """What is in a file with this text: asked for at every key of a form, and mostly the same."""
    return parse(text, key, file)
