"""One append-only file a session: the truth. Each event is on disk before anybody is told of it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from filelock import FileLock, Timeout

from benchtui.domain.errors import BenchError
from benchtui.domain.session.facts.events import Event, Opened
from benchtui.store.codec import UndecodableLine, decode, encode
from benchtui.store.files import MOST_SESSION_BYTES, read_regular

SUFFIX = ".session"


class WriteFailed(BenchError):
    """An event could not be put on disk; the bench must stop."""


class SessionBusy(BenchError):
    """Another program is writing this session."""


@dataclass(frozen=True, slots=True)
class Damage:
    """Where a session file stops making sense, and how."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True)
class Recorded:
    """What could be read of a session file.

    ``events`` is the sound beginning. ``damage`` tells of a line in it that is not sound: nothing from
    there on is used. ``sound_bytes`` is where the sound part ends; what is left is only the torn end of
    a write that was cut short if ``damage`` is None.
    """

    events: tuple[Event, ...]
    damage: Damage | None
    sound_bytes: int
    torn: bool


class Journal(Protocol):
    """Where a bench puts its events."""

    def append(self, event: Event) -> None:
        """Keep this event for good, or raise ``WriteFailed``."""


class MemoryJournal:
    """A journal that nobody keeps: for replays and rehearsals."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def append(self, event: Event) -> None:
        """Keep the event until the program ends."""
        self.events.append(event)


class FileJournal:
    """The file of one session, open for appending, with a lock that keeps other programs out."""

    def __init__(self, path: Path, lock: FileLock) -> None:
        self.path = path
        self._lock = lock
        self._file = path.open("ab", buffering=0)
        self._failed = False

    @classmethod
    def create(cls, folder: Path, session: str) -> FileJournal:
        """A new, empty file for a session, its name safe on disk.

        Raises:
            WriteFailed: the folder cannot be written, or the file exists.
        """
        path = folder / f"{session}{SUFFIX}"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path.touch(exist_ok=False)
            sync_folder(folder)
            return cls(path, locked(path))
        except OSError as error:
            raise WriteFailed(f"cannot begin {path}: {error}") from error

    @classmethod
    def resume(cls, path: Path) -> tuple[FileJournal, Recorded]:
        """Go on with a session; the torn end of a write that was cut short is cut off first.

        Raises:
            SessionBusy: another program has it open.
            WriteFailed: the file is damaged or cannot be written.
        """
        try:
            lock = locked(path)
        except OSError as error:
            raise WriteFailed(f"cannot write {path}: {error}") from error
        try:
            recorded = read_session(path)
            _check_goes_on(path, recorded)
            if recorded.torn:
                os.truncate(path, recorded.sound_bytes)
            return cls(path, lock), recorded
        except OSError as error:
            lock.release()
            raise WriteFailed(f"cannot write {path}: {error}") from error
        except WriteFailed:
            lock.release()
            raise

    def append(self, event: Event) -> None:
        """Write and sync one line.

        Raises:
            WriteFailed: the disk is full or gone. Whatever half line there is gets cut off by the
                next ``resume``; a file whose very opening failed is taken away again.
        """
        if self._failed:  # a further line would bury the half one in the middle of the file
            raise WriteFailed(f"cannot write {self.path}: an earlier write failed")
        line = (encode(event) + "\n").encode()
        try:
            written = self._file.write(line)
            if written != len(line):
                raise OSError(
                    f"only {written} of {len(line)} bytes were taken"
                )  # one way out for both
            os.fsync(self._file.fileno())
        except OSError as error:
            self._failed = True
            if event.number == 1:
                self.close()
                self.path.unlink(missing_ok=True)
            raise WriteFailed(f"cannot write {self.path}: {error}") from error

    def close(self) -> None:
        """Let go of the file and the lock."""
        self._file.close()
        self._lock.release()


def read_session(path: Path) -> Recorded:
    """Everything sound at the beginning of a session file.

    Raises:
        OSError: the file cannot be read at all, is no regular file, or too large to be a session.
    """
    return recorded_of(read_regular(path, MOST_SESSION_BYTES))


def recorded_of(data: bytes) -> Recorded:
    """The same of what a session file holds."""
    events: list[Event] = []
    sound = 0
    *lines, rest = data.split(b"\n")
    for index, raw in enumerate(lines, start=1):
        try:
            event = decode(raw.decode("utf-8"))
        except (UndecodableLine, UnicodeDecodeError) as error:
            return Recorded(tuple(events), Damage(index, str(error)), sound, torn=False)
        if event.number != len(events) + 1:
            reason = f"event {event.number} where {len(events) + 1} should stand"
            return Recorded(tuple(events), Damage(index, reason), sound, torn=False)
        if isinstance(event.fact, Opened) is not (not events):
            reason = "a session begins with its opening and has but one"
            return Recorded(tuple(events), Damage(index, reason), sound, torn=False)
        events.append(event)
        sound += len(raw) + 1
    return Recorded(tuple(events), None, sound, torn=bool(rest))


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


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the platform can."""
    if os.name == "nt":  # Windows opens no folders and keeps its names by itself
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def locked(path: Path) -> FileLock:
    """The lock of a session, kept beside the sessions folder so that no syncing carries it along.

    Raises:
        SessionBusy: another program has it.
        OSError: the lock cannot be written.
    """
    locks = path.parent.parent / "locks"
    locks.mkdir(parents=True, exist_ok=True)
    lock = FileLock(locks / f"{path.stem}.lock")
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise SessionBusy(f"{path.stem} is open in another program") from None
    return lock
