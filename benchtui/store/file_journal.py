"""The file of one session at work: each event is on disk before anybody is told of it.

No two machines ever write one file. A session that was begun elsewhere, or whose file is not as this
machine left it, goes on in a file of its own that begins with a copy of all before it. So a syncing
program, which keeps the newer of two files, never has to choose between two that both hold something;
``joining`` tells which file goes on from which.

After each write the file that is open is held against the one that bears its name. Where another
stands there, or none, everything confirmed is put into a file of its own at once, and that is said.
"""

from __future__ import annotations

import errno
import os
import platform
import re
import secrets
from contextlib import suppress
from io import FileIO
from pathlib import Path
from typing import Self

from filelock import FileLock

from benchtui.domain.session.facts.events import Event
from benchtui.store.codec import checksum_of, encode
from benchtui.store.files import MOST_SESSION_BYTES, read_regular
from benchtui.store.journal import (
    SUFFIX,
    Recorded,
    SessionBusy,
    WriteFailed,
    locked,
    locks_of,
    recorded_of,
)
from benchtui.store.modes import give_mode, make_folder
from benchtui.store.storage import write_whole

_OWN = re.compile(r"_[0-9a-f]{8}\Z")

_SECOND = 10**9
"""Nanoseconds."""

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


class FileJournal:
    """The file of one session, open for appending, with a lock that keeps other programs out.

    ``path`` changes where the file had to be left for another; ``told`` says what the person should
    know of how the session was gone on with, empty if nothing.
    """

    def __init__(self, path: Path, lock: FileLock, content: bytes, mark: str) -> None:
        self.path = path
        self.told = ""
        self._locks = [lock]
        self._content = content
        self._mark = mark
        self._file: FileIO | None = None
        self._changed_ns = 0
        self._unsure = False
        if content:
            self._open()

    @classmethod
    def create(cls, folder: Path, session: str) -> Self:
        """The journal of a new session, its name safe on disk; the file comes with the first event.

        Raises:
            WriteFailed: the folder cannot be written, or the file exists.
        """
        path = folder / f"{session}{SUFFIX}"
        try:
            lock = locked(path)
            if os.path.lexists(path):
                lock.release()
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
        except (OSError, SessionBusy) as error:
            raise WriteFailed(f"cannot begin {path}: {_why(error)}", _tall(error)) from error
        return cls(path, lock, b"", "")

    @classmethod
    def resume(cls, path: Path) -> tuple[Self, Recorded]:
        """Go on with a session, in this file if this machine wrote it, else in one of its own.

        Raises:
            SessionBusy: another program has it open.
            WriteFailed: the file is damaged or cannot be written.
        """
        try:
            lock = locked(path)
        except OSError as error:
            raise WriteFailed(f"cannot write {path}: {_why(error)}", _tall(error)) from error
        try:
            data = read_regular(path, MOST_SESSION_BYTES)
            recorded = recorded_of(data)
            _check_goes_on(path, recorded)
            content = data[: recorded.sound_bytes]
            content += b"" if content.endswith(b"\n") else b"\n"
            if is_ours(path, len(data)):
                _put_right(path, data, content)
            journal = cls(path, lock, content, recorded.mark)
            if not is_ours(path, len(data)):
                journal._go_over()
            if recorded.torn:
                journal.told = (
                    f"The last answer was cut short while it was written: {recorded.torn} bytes of it "
                    f"are left out. Event {len(recorded.events)} is the last one kept."
                )
        except OSError as error:
            lock.release()
            raise WriteFailed(f"cannot write {path}: {_why(error)}", _tall(error)) from error
        except (SessionBusy, WriteFailed):
            lock.release()
            raise
        return journal, recorded

    def append(self, event: Event) -> None:
        """Write and sync one line, then look whether the file still bears its name.

        After a failure the next call first puts the file right, or goes on in one of its own.

        Raises:
            WriteFailed: the disk is full or gone, or the file was taken away; the event is not kept.
                A file whose very opening failed is not there.
        """
        line = (encode(event, self._mark) + "\n").encode()
        try:
            if self._file is None:
                self._begin(line)
            else:
                self._stand(self._file)
                self._write(line)
        except OSError as error:
            raise WriteFailed(f"cannot write {self.path}: {_why(error)}", _tall(error)) from error
        self._content += line
        self._mark = checksum_of(line.decode())

    def look_after(self) -> None:
        """Look whether the file is as it was left; where it is not, go on in one of its own.

        Raises:
            WriteFailed: it is not. Everything confirmed is in a file of its own now, or, if that
                could not be written, in memory only; the sentence says which.
        """
        if self._file is None:
            return
        try:
            self._stand(self._file)
        except OSError as error:
            raise WriteFailed(f"cannot write {self.path}: {_why(error)}", _tall(error)) from error

    def close(self) -> str:
        """Let go of the file and the lock; what has to be said of it, empty if nothing."""
        told = ""
        if self._file is not None:
            try:
                self.look_after()
            except WriteFailed as error:
                told = str(error)
            self._file.close()
            self._file = None
            note_ours(self.path)
        for lock in self._locks:
            lock.release()
        return told

    def _stand(self, file: FileIO) -> None:
        """Put right what a failed write left, and look that the file still bears its name."""
        if self._unsure:
            self._put_right(file)
        found = self._displaced(len(self._content))
        if found:
            self._move(found)

    def _open(self) -> None:
        self._file = FileIO(self.path, "ab")
        self._changed_ns = os.fstat(self._file.fileno()).st_mtime_ns

    def _begin(self, line: bytes) -> None:
        """The file is there whole, with its opening, or not at all: a kill leaves no empty one."""
        write_whole(self.path, line)
        self._open()
        note_ours(self.path)

    def _write(self, line: bytes) -> None:
        assert self._file is not None
        file = self._file
        self._unsure = True
        written = file.write(line)
        if written != len(line):  # one way out for both
            raise OSError(errno.ENOSPC, f"only {written} of {len(line)} bytes were taken")
        os.fsync(file.fileno())
        self._unsure = False
        found = self._displaced(len(self._content) + len(line))
        if found:
            self._move(found)
        self._keep_order(file)

    def _keep_order(self, file: FileIO) -> None:
        """Make the file newer than it was, whatever the clock says.

        Otherwise a syncing program would put an older state in its place after the clock was set back,
        or, as some compare whole seconds, where it had copied the file within this one.
        """
        changed = os.fstat(file.fileno()).st_mtime_ns
        least = (self._changed_ns // _SECOND + 1) * _SECOND
        if changed < least:
            changed = least
            with suppress(OSError):  # what was told is on disk, whatever the time beside it
                os.utime(self.path, ns=(changed, changed))
        self._changed_ns = changed

    def _put_right(self, file: FileIO) -> None:
        """Cut off what a failed write left; a file that will not even do that is left for another.

        Raises:
            OSError: neither could be done.
        """
        try:
            os.ftruncate(file.fileno(), len(self._content))
            os.fsync(file.fileno())
        except OSError:
            self._go_over()
        self._unsure = False

    def _displaced(self, wanted: int) -> str:
        """What is wrong with the file that bears the name; empty where it is the open one, so long."""
        assert self._file is not None
        here = os.fstat(self._file.fileno())
        try:
            named = self.path.stat()
        except FileNotFoundError:
            return "it is gone"
        except OSError as error:
            return _why(error)
        if (named.st_dev, named.st_ino) != (here.st_dev, here.st_ino):
            return "another file stands in its place"
        if here.st_size != wanted:
            return f"it has {here.st_size} bytes, wanted {wanted}: another program wrote in it"
        return ""

    def _move(self, found: str) -> None:
        """Everything confirmed into a file of its own, and say so.

        Raises:
            WriteFailed: always.
        """
        left = self.path
        try:
            self._go_over()
        except (OSError, SessionBusy) as error:
            raise WriteFailed(
                f"{left}: {found}. What it held is only in this program's memory now, because a file "
                f"beside it cannot be written either: {_why(error)}. Leave the program running and "
                "make the folder right: the next key tries again.",
                "FILE GONE",
            ) from error
        raise WriteFailed(
            f"{left}: {found}, though this check was being written there. Nothing that was confirmed is "
            f"lost: all of it is in {self.path.name} beside it, and the check goes on there.",
            "FILE GONE",
        )

    def _go_over(self) -> None:
        """Leave the file as it is and go on in a new one with the same content.

        Raises:
            OSError: it cannot be written.
        """
        mark = secrets.token_hex(4)
        path = self.path.with_name(f"{family(self.path.stem)}_{mark}{SUFFIX}")
        self._locks.append(locked(path))
        write_whole(path, self._content)
        note_ours(path)
        if self._file is not None:
            with suppress(OSError):
                self._file.close()
        self.path = path
        self._open()


def put_session(folder: Path, session: str, content: bytes) -> Path:
    """Write a whole session in one step; its path is returned.

    Raises:
        WriteFailed: it exists, or could not be written; then nothing is left of it.
    """
    path = folder / f"{session}{SUFFIX}"
    try:
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
        write_whole(path, content)
        note_ours(path)
    except OSError as error:
        raise WriteFailed(
            f"cannot write {path}: {_why(error)}. Nothing is left of it.", _tall(error)
        ) from error
    return path


def family(stem: str) -> str:
    """What the names of all files of one session begin with."""
    return _OWN.sub("", stem)


def is_ours(path: Path, size: int) -> bool:
    """Whether this machine wrote the file that stands here now, and no older state of it.

    A copy has another inode, here or elsewhere; one that was written over has fewer bytes.
    """
    try:
        host, inode, least = _note(path).read_text(encoding="utf-8").rsplit(" ", 2)
        return (host, int(inode)) == (_host(), path.stat().st_ino) and size >= int(least)
    except (OSError, ValueError):
        return False


def note_ours(path: Path) -> None:
    """Remember that this machine wrote the file that stands here.

    Without the note, or with half of one, the next program only begins a file of its own.
    """
    with suppress(OSError):
        found = path.stat()
        make_folder(locks_of(path))
        with _note(path).open("w", encoding="utf-8") as file:
            give_mode(file.fileno(), locks_of(path))
            file.write(f"{_host()} {found.st_ino} {found.st_size}")


def _note(path: Path) -> Path:
    return locks_of(path) / f"{path.stem}.ours"


def _host() -> str:
    return platform.node()


def _put_right(path: Path, data: bytes, content: bytes) -> None:
    """Cut a torn end off, or end the last line."""
    if data == content:
        return
    with path.open("r+b") as file:
        file.truncate(len(content) - 1)
        file.seek(0, os.SEEK_END)
        file.write(b"\n")
        file.flush()
        os.fsync(file.fileno())


def _check_goes_on(path: Path, recorded: Recorded) -> None:
    """Whether a session can be gone on with.

    Raises:
        WriteFailed: it is damaged, or its opening never reached the disk.
    """
    if recorded.damage is not None:
        raise WriteFailed(
            f"{path} is damaged at line {recorded.damage.line} ({recorded.damage.reason}); "
            f"it can be looked at, not written on"
        )
    if not recorded.events:
        raise WriteFailed(f"{path} holds no session: not even its opening was written")


def _why(error: Exception) -> str:
    return (isinstance(error, OSError) and error.strerror) or str(error)


def _tall(error: Exception) -> str:
    full = isinstance(error, OSError) and error.errno in _FULL
    return "DISK FULL" if full else "NOT KEPT"
