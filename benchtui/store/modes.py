"""Who may read and write what the program stores: one rule, here and nowhere else.

What benchtui makes is its owner's alone: folders 0700, files 0600. A folder that is its group's to
write in and hands its group on (``chmod 2770``) is shared, and so is whatever is made in it: folders
2770, files 0660. Nothing that was there before is ever changed. Windows has no such modes; its own
rights of the folder hold there.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

_SHARED = stat.S_ISGID | stat.S_IWGRP


def file_mode(folder: Path) -> int:
    """The mode of a file made in this folder.

    Raises:
        OSError: the folder cannot be looked at.
    """
    return 0o660 if _is_shared(folder) else 0o600


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it that are missing.

    Raises:
        OSError: it cannot be made.
    """
    if folder.is_dir():
        return
    make_folder(folder.parent)
    folder.mkdir(mode=0o700, exist_ok=True)
    if _is_shared(folder.parent):
        folder.chmod(0o2770)


def give_mode(handle: int, folder: Path) -> None:
    """Give an open file in this folder its mode, whatever the umask would have taken away.

    Raises:
        OSError: the folder cannot be looked at, or the file is another's.
    """
    if hasattr(os, "fchmod"):
        os.fchmod(handle, file_mode(folder))


def _is_shared(folder: Path) -> bool:
    return folder.stat().st_mode & _SHARED == _SHARED
