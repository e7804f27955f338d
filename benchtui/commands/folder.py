"""The data folder as a command wants it: one that can be read, or one that may be made."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from benchtui.domain.errors import Unable
from benchtui.store.modes import make_folder
from benchtui.store.paths import DataFolder, data_folder
from benchtui.text.quantities.show import inert


def folder_to_read(data: str | None) -> DataFolder:
    """A data folder that is there, for a command that is about what is stored.

    Raises:
        Unable: there is no such folder, or it cannot be read.
    """
    folder = folder_checked(data)
    if not folder.root.exists():
        raise Unable(f"There is no folder {folder.root}.", "benchtui by itself makes one.")
    return folder


def folder_to_look_in(data: str | None) -> DataFolder:
    """A data folder for names that may be shipped ones too; that it is missing is only said.

    Raises:
        Unable: it is no folder, or cannot be read.
    """
    folder = folder_checked(data)
    if _chosen(data) and not folder.root.exists():
        _say(f"there is no folder {folder.root}: only what ships with the program is found.")
    return folder


def folder_to_fill(data: str | None) -> DataFolder:
    """A data folder to write in; where there is none it is made, and that is said.

    Raises:
        Unable: it is no folder, or cannot be read, made or written.
    """
    folder = folder_checked(data)
    if folder.root.exists():
        return folder
    try:
        make_folder(folder.root)
    except OSError as error:
        raise Unable(f"The folder {folder.root} cannot be made: {error.strerror}.") from error
    _say(f"made the data folder {folder.root}.")
    return folder


def folder_checked(data: str | None) -> DataFolder:
    """The data folder chosen, there or not.

    Raises:
        FaultyInput: it can be no folder.
        Unable: it cannot be read.
    """
    folder = data_folder(data)
    for part in (folder.root, folder.sessions, folder.sheets, folder.blades):
        _check_part(part)
    return folder


def _check_part(part: Path) -> None:
    """One that is there and cannot be read is not one that is empty."""
    try:
        if part.exists():
            os.scandir(part).close()
    except OSError as error:
        raise Unable(f"The folder {part} cannot be read: {error.strerror}.") from error


def _chosen(data: str | None) -> bool:
    return bool(data or os.environ.get("BENCHTUI_DATA"))


def _say(text: str) -> None:
    print(f"benchtui: {inert(text)}", file=sys.stderr)
