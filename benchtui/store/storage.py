"""A TinyDB storage that never leaves a half-written file behind, and never reads a changed one.

TinyDB's own JSON storage overwrites in place: killed while writing, or on a full disk, it loses the
file. Here a write goes to a temporary file, is synced, and takes the old one's name. The tables stand
beside their checksum, so that a flipped bit is damage, never another figure:
``{"checksum":"CRC-32 of the tables' bytes, eight hex digits","tables":{...}}``.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
import zlib
from contextlib import suppress
from pathlib import Path
from typing import Any

from tinydb import Storage, TinyDB
from tinydb.middlewares import CachingMiddleware

from benchtui.domain.errors import BenchError
from benchtui.store.files import read_regular
from benchtui.store.journal import sync_folder
from benchtui.store.modes import give_mode, make_folder

TEMP_PREFIX = ".writing-"

STILL_AT_WORK = 60
"""So many seconds old, a temporary file is no longer being written by anybody."""

MOST_BYTES = 64 * 2**20
"""The largest file that is read: the list of ten thousand sessions has five million bytes."""


class StoreDamaged(BenchError):
    """A file of the store cannot be read; it is never taken for an empty one."""


def write_whole(path: Path, data: bytes) -> None:
    """Put ``data`` into ``path`` in one step: temp file, fsync, replace, the folder synced.

    Raises:
        OSError: it could not be written; the old file is as it was.
    """
    make_folder(path.parent)
    handle, name = tempfile.mkstemp(prefix=TEMP_PREFIX, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            give_mode(file.fileno(), path.parent)
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


def tables(path: Path) -> TinyDB:
    """The tables in a file; what is changed in them is written once, when they are closed.

    Closing raises OSError where the disk would not take it; the old file is as it was.
    """
    whole = CachingMiddleware(AtomicStorage)  # type: ignore[no-untyped-call]  # tinydb's own gap
    return TinyDB(path, storage=whole)


class AtomicStorage(Storage):
    """One JSON file with its checksum, replaced as a whole at each write."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def read(self) -> dict[str, dict[str, Any]] | None:
        """The tables, or None for a file that is not there yet.

        Raises:
            StoreDamaged: the file is there and cannot be read, or is not what was written.
        """
        try:
            content = read_regular(self._path, MOST_BYTES)
        except FileNotFoundError:
            return None
        except OSError as error:
            raise StoreDamaged(f"{self._path}: {error.strerror or error}") from error
        body = tables_within(content)
        if body is None:
            raise StoreDamaged(f"{self._path}: the checksum does not fit")
        try:
            found: dict[str, dict[str, Any]] = json.loads(body)
        except (ValueError, RecursionError) as error:
            raise StoreDamaged(f"{self._path}: {error}") from error
        return found

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Replace the file."""
        text = json.dumps(data, separators=(",", ":"), allow_nan=False)
        write_whole(self._path, _framed(text.encode()))


def tables_within(content: bytes) -> bytes | None:
    """The tables of a file as they were written; None where anything in it has changed since."""
    body = content[len(_framed(b"")) - 1 : -1]
    return body if content == _framed(body) else None


def _framed(body: bytes) -> bytes:
    return b'{"checksum":"%08x","tables":%b}' % (zlib.crc32(body), body)
