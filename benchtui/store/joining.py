"""Two versions of one session, as two machines may have them: the longer where one goes on the other.

Several files may hold one session: each machine that went on with it has one of its own, with all before
it in it. A file that another goes on from is left where it is, and not listed. Where two go on from one
place, each in its own way, both are listed: no answer of either is lost.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextlib import suppress
from enum import Enum
from pathlib import Path

from benchtui.store.file_journal import family
from benchtui.store.files import MOST_SESSION_BYTES, read_regular
from benchtui.store.journal import SUFFIX, Recorded, SessionBusy, locked, read_session, recorded_of
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
        here = read_regular(path, MOST_SESSION_BYTES)
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


def behind(files: Mapping[str, Recorded]) -> dict[str, str]:
    """The files that others go on from, each with the longest that does; keys are the files' names.

    A damaged file neither goes on from another nor is it left out: nobody knows what stood in it.
    """
    sound = {n: f for n, f in files.items() if f.damage is None and f.events}
    # The longest first; of two alike the shorter name, which is that of the session itself.
    order = sorted(sound, key=lambda n: (-len(sound[n].events), len(n), n))
    found: dict[str, str] = {}
    for place, name in enumerate(order):
        events = sound[name].events
        for longer in order[:place]:
            if longer not in found and sound[longer].events[: len(events)] == events:
                found[name] = longer
                break
    return found


def leading(path: Path) -> Path:
    """The file that goes on furthest from this one, by the names of its session's files; or itself.

    Raises:
        OSError: the folder cannot be read.
    """
    files: dict[str, Recorded] = {}
    for other in path.parent.glob(f"{family(path.stem)}*{SUFFIX}"):
        if family(other.stem) == family(path.stem):
            with suppress(OSError):  # one that cannot be read just now leads nowhere
                files[other.stem] = read_session(other)
    return path.with_name(f"{behind(files).get(path.stem, path.stem)}{SUFFIX}")
