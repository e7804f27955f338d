"""Where things lie in the data folder, and what ships with the program."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import benchtui


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
    """The chosen folder, else BENCHTUI_DATA, else the platform's user data folder."""
    named = chosen or os.environ.get("BENCHTUI_DATA")
    if named:
        return DataFolder(Path(named).expanduser())
    from platformdirs import user_data_path

    return DataFolder(user_data_path("benchtui", appauthor=False))


def shipped_specs() -> Path:
    """The specs that came with the program: in the installed package, or beside it in a checkout."""
    package = Path(benchtui.__file__).parent
    inside = package / "specs"
    return inside if inside.is_dir() else package.parent / "specs"
