"""Two versions of one session, as two machines may have them: the longer where one goes on the other."""

from __future__ import annotations

import hashlib
from enum import Enum
from pathlib import Path

from benchtui.store.journal import SessionBusy, locked, recorded_of
from benchtui.store.storage import write_whole


class Joined(Enum):
    """What became of a version that came in."""

    AHEAD = "it goes on from the one here, and stands in its place now"
    BEHIND = "the one here goes on from it"
    FORKED = "each goes on in its own way"
    DAMAGED = "it goes on from the one here, and is damaged there"
    BUSY = "the one here is open in another program"


def join(path: Path, content: bytes) -> Joined:
    """Put ``content`` in the place of the session file here where it only goes on from it.

    Byte for byte: whatever the file here holds, what takes its place begins with. It is compared
    under the session's lock, so that no step taken meanwhile is lost.

    Raises:
        OSError: a file could not be read or written; the one here is as it was.
    """
    try:
        lock = locked(path)
    except SessionBusy:
        return Joined.BUSY
    try:
        here = path.read_bytes()
        if here.startswith(content):
            return Joined.BEHIND
        if not content.startswith(here):
            return Joined.FORKED
        recorded = recorded_of(content)
        if recorded.damage is not None or recorded.torn:
            return Joined.DAMAGED
        write_whole(path, content)
        return Joined.AHEAD
    finally:
        lock.release()


def beside(path: Path, content: bytes) -> Path:
    """Where a version that forks off is kept: a name of its own, the same whenever it comes in."""
    mark = hashlib.sha256(content).hexdigest()[:10]
    return path.with_name(f"{path.stem[:100]}-fork-{mark}{path.suffix}")
