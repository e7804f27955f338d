"""One append-only file a session: the truth. Here it is read; ``file_journal`` writes it.

What is not a sound line is damage, with one exception: a last line that was cut short while it was
written. Such an end is the beginning of the next line and nothing else; no line end or NUL is in it.
"""

from __future__ import annotations

import codecs
import json
import os
import re
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout

from benchtui.domain.errors import BenchError, NotKept
from benchtui.domain.session.facts.events import Event, Opened
from benchtui.store.codec import UndecodableLine, checksum_of, decode
from benchtui.store.files import MOST_SESSION_BYTES, read_regular
from benchtui.store.modes import file_mode, make_folder

SUFFIX = ".session"


class WriteFailed(NotKept):
    """Something could not be put on disk."""


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

    ``events`` is the sound beginning, ``sound_bytes`` long, its last line's checksum ``mark``.
    ``damage`` tells of a line that is not sound: nothing from there on is used. ``torn`` is how many
    bytes of a write that was cut short are left at the end.
    """

    events: tuple[Event, ...]
    damage: Damage | None
    sound_bytes: int
    torn: int
    mark: str = ""


class MemoryJournal:
    """A journal that nobody keeps: for replays and rehearsals."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def append(self, event: Event) -> None:
        """Keep the event until the program ends."""
        self.events.append(event)


def read_session(path: Path) -> Recorded:
    """Everything sound at the beginning of a session file.

    Raises:
        OSError: the file cannot be read at all, is no regular file, or too large to be a session.
    """
    return recorded_of(read_regular(path, MOST_SESSION_BYTES))


def recorded_of(data: bytes) -> Recorded:
    """The same of what a session file holds. A sound last line counts without its line end, too."""
    events: list[Event] = []
    sound, mark = 0, ""
    *lines, rest = data.split(b"\n")
    for index, raw in enumerate([*lines, rest] if rest else lines, start=1):
        ended = index <= len(lines)
        try:
            line = raw.decode("utf-8")
            event = decode(line, mark)
            _check_place(event, len(events))
        except (UndecodableLine, UnicodeDecodeError) as error:
            if not ended and _is_cut_short(raw, len(events) + 1):
                return Recorded(tuple(events), None, sound, len(raw), mark)
            reason = f"{_nuls(raw)}{error}; {_unused(data[sound:])}"
            return Recorded(tuple(events), Damage(index, reason), sound, 0, mark)
        events.append(event)
        mark = checksum_of(line)
        sound += len(raw) + ended
    return Recorded(tuple(events), None, sound, 0, mark)


def _check_place(event: Event, before: int) -> None:
    """Whether this event may stand after so many.

    Raises:
        UndecodableLine: it may not.
    """
    if event.number != before + 1:
        raise UndecodableLine(f"event {event.number} where {before + 1} should stand")
    if isinstance(event.fact, Opened) is not (before == 0):
        raise UndecodableLine("a session begins with its opening and has but one")


def _nuls(raw: bytes) -> str:
    count = raw.count(b"\0")
    return f"{count} NUL bytes stand in it, as after a loss of power; " if count else ""


def _unused(rest: bytes) -> str:
    """How much is not used from the damage on."""
    lines = rest.count(b"\n") + (not rest.endswith(b"\n"))
    return f"{lines} line{'s'[: lines != 1]} ({len(rest)} bytes) not used"


_HEAD = re.compile(rb"[0-9a-f]{1,16}|(?:[0-9a-f]{8}|[0-9a-f]{16}) (.*)", re.DOTALL)

_CONTROL = re.compile(rb"[\x00-\x1f]")
"""What no line holds: JSON writes it as an escape."""

_LONGEST_TOKEN = 6
"""Bytes of a JSON token, or of an escape, that may be cut short at the end: ``\\\\u201`` or ``fals``."""


def _is_cut_short(raw: bytes, number: int) -> bool:
    """Whether this is the beginning of the line of event ``number``, and no more than its beginning."""
    found = _HEAD.fullmatch(raw)
    if found is None:
        return False
    body = found[1] or b""
    begins = b'{"n":%d,"at":"' % number
    if not (body.startswith(begins) or begins.startswith(body)) or _CONTROL.search(body):
        return False
    try:
        text = codecs.getincrementaldecoder("utf-8")().decode(body)  # the last letter may be cut
        json.loads(text or "{")
    except json.JSONDecodeError as error:
        at_end = error.pos >= len(text) - _LONGEST_TOKEN
        return at_end or error.msg.startswith("Unterminated string")
    except (UnicodeDecodeError, RecursionError):
        return False
    return not body  # whole, and yet its checksum did not fit: that is no line cut short


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the platform can."""
    if os.name == "nt":  # Windows opens no folders and keeps its names by itself
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def locks_of(path: Path) -> Path:
    """The folder for what is true on this machine only, beside the sessions: no sync of them carries it."""
    return path.parent.parent / "locks"


def locked(path: Path) -> FileLock:
    """The lock of a session.

    Raises:
        SessionBusy: another program has it.
        OSError: the lock cannot be written.
    """
    locks = locks_of(path)
    make_folder(locks)
    lock = FileLock(locks / f"{path.stem}.lock", mode=file_mode(locks))
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise SessionBusy(f"{path.stem} is open in another program") from None
    return lock
