"""A TinyDB storage that never leaves a half-written file behind.

TinyDB's own JSON storage overwrites in place: killed while writing, or on a full disk, it loses the
file. Here a write goes to a temporary file, is synced, and takes the old one's name.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from tinydb import Storage

from benchtui.domain.errors import BenchError
from benchtui.store.journal import sync_folder

TEMP_PREFIX = ".writing-"

STILL_AT_WORK = 60
"""So many seconds old, a temporary file is no longer being written by anybody."""


class StoreDamaged(BenchError):
    """A file of the store cannot be read; it is never taken for an empty one."""


def write_whole(path: Path, data: bytes) -> None:
    """Put ``data`` into ``path`` in one step: temp file, fsync, replace, the folder synced.

    Raises:
        OSError: it could not be written; the old file is as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=TEMP_PREFIX, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)  # the handle is closed by now, as Windows wants it  # noqa: PTH105
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sweep(folder: Path) -> None:
    """Remove the temporary files of writers that were killed; a fresh one may be at work still."""
    for left in folder.glob(f"{TEMP_PREFIX}*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > STILL_AT_WORK:
                left.unlink()


class AtomicStorage(Storage):
    """One JSON file, read once, kept in memory, and replaced as a whole at each write."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._tables: dict[str, dict[str, Any]] | None = None

    def read(self) -> dict[str, dict[str, Any]] | None:
        """The tables, or None for a file that is not there yet.

        Raises:
            StoreDamaged: the file is there and makes no sense.
        """
        if self._tables is None and self._path.exists():
            try:
                tables = json.loads(self._path.read_bytes())
            except (OSError, ValueError) as error:
                raise StoreDamaged(f"{self._path}: {error}") from error
            if not isinstance(tables, dict):
                raise StoreDamaged(f"{self._path}: found {type(tables).__name__}, wanted an object")
            self._tables = tables
        return self._tables

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Replace the file; only then does the memory follow."""
        text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        write_whole(self._path, text.encode())
        self._tables = data

    def close(self) -> None:
        """Forget the memory."""
        self._tables = None
