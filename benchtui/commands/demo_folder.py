"""The demo's throw-away folder: it goes when the demo ends, however it ends.

A demo that is told to end, or whose window is closed, removes its folder first. One that is killed
outright cannot; the next demo sweeps what that one left.
"""

from __future__ import annotations

import os
import shutil
import signal
import stat
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

from filelock import FileLock, Timeout

PREFIX = "benchtui-demo-"

MARKER = "throw-away.txt"
"""The file by which a folder is known for ours; a name alone proves nothing."""

MARK = (
    "This folder was made by benchtui demo and holds nothing real.\n"
    "The next demo removes it once no demo holds the lock beside this file.\n"
)

LOCK = "demo.lock"

MOST_TRIES = 5

ENDINGS = ("SIGTERM", "SIGHUP", "SIGBREAK")
"""The signals of an end from outside, by name: no platform has all of them."""


@contextmanager
def throw_away_folder() -> Iterator[Path]:
    """A new folder for as long as the block runs, or until a signal ends the program.

    Raises:
        OSError: the folder cannot be made.
    """
    sweep(Path(tempfile.gettempdir()))
    folder = Path(tempfile.mkdtemp(prefix=PREFIX))
    lock = FileLock(folder / LOCK)
    with _removed_on_signal(folder):
        try:
            # A folder that cannot be locked gets no marker: nobody could tell whether it is in use.
            with suppress(OSError, NotImplementedError, Timeout):
                lock.acquire(timeout=0)
                (folder / MARKER).write_text(MARK, encoding="utf-8", newline="\n")
            yield folder
        finally:
            lock.release()  # first: no platform need let an open file be removed
            _remove(folder)


def sweep(where: Path) -> None:
    """Remove the folders of demos that are gone; whatever else lies there is left alone."""
    with suppress(OSError):
        for folder in sorted(where.glob(f"{PREFIX}*")):
            with suppress(OSError, NotImplementedError):
                _sweep_one(folder)


def _sweep_one(folder: Path) -> None:
    if not _is_ours(folder):
        return
    try:
        with FileLock(folder / LOCK, timeout=0):
            pass
    except Timeout:  # its demo is running
        return
    # The demo that made this folder is gone, and no other works in it: the lock need not be kept.
    _remove(folder)


def _is_ours(folder: Path) -> bool:
    """Whether this user's demo made this folder and had it locked; links are never followed.

    Raises:
        OSError: it has no lock or no marker.
    """
    made, lock, marker = (p.lstat() for p in (folder, folder / LOCK, folder / MARKER))
    if hasattr(os, "getuid") and made.st_uid != os.getuid():
        return False
    plain = stat.S_ISDIR(made.st_mode) and all(stat.S_ISREG(f.st_mode) for f in (lock, marker))
    return plain and marker.st_size == len(MARK) and (folder / MARKER).read_bytes() == MARK.encode()


def _remove(folder: Path) -> None:
    """Take the folder away; what it is known by goes last, so that a rest can still be swept."""
    for _ in range(MOST_TRIES):  # a thread of a program that is being ended may still write into it
        _take_away(folder)
        if not folder.exists():
            return


def _take_away(folder: Path) -> None:
    marks = {folder / LOCK, folder / MARKER}
    with suppress(OSError):
        for path in set(folder.iterdir()) - marks:
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)
        if set(folder.iterdir()) <= marks:
            (folder / LOCK).unlink(missing_ok=True)
            (folder / MARKER).unlink(missing_ok=True)
            folder.rmdir()


@contextmanager
def _removed_on_signal(folder: Path) -> Iterator[None]:
    """Remove the folder on a signal that ends the program, which then ends it as it would have."""

    def end(number: int, _: FrameType | None) -> None:
        _remove(folder)
        signal.signal(number, signal.SIG_DFL)
        signal.raise_signal(number)

    taken: list[signal.Signals] = []
    if threading.current_thread() is threading.main_thread():  # no other may set handlers
        for name in ENDINGS:
            number: signal.Signals | None = getattr(signal, name, None)
            # What is ignored on purpose, as under nohup, stays ignored.
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                signal.signal(number, end)
                taken.append(number)
    try:
        yield
    finally:
        for number in taken:
            signal.signal(number, signal.SIG_DFL)
