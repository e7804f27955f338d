"""Where things lie in the data folder, and what ships with the program."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import benchtui
from benchtui.domain.errors import Fault, FaultyInput


@dataclass(frozen=True, slots=True)
class DataFolder:
    """The folder that holds the sheets, blade sets, sessions and the register."""

    root: Path

    @property
    def sheets(self) -> Path:
        """One TOML file an engine."""
        return self.root / "sheets"

    @property
    def blades(self) -> Path:
        """One TOML file a blade set."""
        return self.root / "blades"

    @property
    def sessions(self) -> Path:
        """One append-only file a session: the truth."""
        return self.root / "sessions"

    @property
    def hands(self) -> Path:
        """One TOML file a person who has practised on known gaps."""
        return self.root / "hands"

    @property
    def register(self) -> Path:
        """What can be rebuilt from the sessions; local to this machine."""
        return self.root / "register"


def data_folder(chosen: str | None) -> DataFolder:
    """The chosen folder, else BENCHTUI_DATA, else the platform's user data folder.

    It need not be there yet: it is made by whoever writes the first file.

    Raises:
        FaultyInput: it can be no folder. An empty name is a fault as well: most likely it was meant
            to be another, and the user's own folder is not to be taken for it.
    """
    if chosen is not None:
        return _checked(chosen, "--data")
    if named := os.environ.get("BENCHTUI_DATA"):
        return _checked(named, "BENCHTUI_DATA")
    from platformdirs import user_data_path

    return _checked(str(user_data_path("benchtui", appauthor=False)), "the user's data folder")


def _checked(named: str, told_by: str) -> DataFolder:
    found = "an empty name"
    try:
        path = Path(named).expanduser()
        if named and not (found := _in_the_way(path)):
            return DataFolder(path)
    except OSError as error:
        found = error.strerror or str(error)
    except (RuntimeError, ValueError) as error:  # no such user's home; a NUL in the name
        found = str(error)
    wanted = "a folder, or a name by which one can be made"
    raise FaultyInput((Fault(named, None, told_by, found, wanted),))


def _in_the_way(path: Path) -> str:
    """What stands where the folder, or one above it, should be; empty if nothing does.

    Raises:
        OSError: it cannot be looked at.
    """
    for place in (path, *path.absolute().parents):
        if place.exists():
            return "" if place.is_dir() else f"a file {place}"
        if place.is_symlink():
            return f"a link that leads nowhere: {place}"
    return ""


def shipped_specs() -> Path:
    """The specs that came with the program: in the installed package, or beside it in a checkout."""
    package = Path(benchtui.__file__).parent
    inside = package / "specs"
    return inside if inside.is_dir() else package.parent / "specs"
