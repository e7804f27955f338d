"""What lies in a folder that anybody may put things into: looked at before it is opened or read.

A pipe would wait for ever, a device give bytes for ever, and one entry that cannot be looked at would
hide all the others; so only regular files of a bounded size are read, and each entry is judged alone.
"""

from __future__ import annotations

import errno
import os
import stat
from dataclasses import dataclass
from pathlib import Path

MOST_SESSION_BYTES = 4 * 2**20
"""The largest session file that is read: a session of a week is a few hundred kilobytes."""

_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


class NotForReading(OSError):
    """What is there is no regular file of a size that is read: what was found, what is wanted."""

    def __init__(self, path: str | Path, found: str, wanted: str) -> None:
        super().__init__(errno.EINVAL, f"found {found}, wanted {wanted}", str(path))
        self.found = found
        self.wanted = wanted


@dataclass(frozen=True, slots=True)
class Entry:
    """A regular file as it was listed; ``changed_ns`` is its time of change."""

    folder: Path
    name: str
    size: int
    changed_ns: int

    @property
    def path(self) -> Path:
        """Where it is."""
        return self.folder / self.name

    @property
    def stem(self) -> str:
        """Its name without the suffix."""
        return self.name.rpartition(".")[0]


@dataclass(frozen=True, slots=True)
class Odd:
    """An entry that cannot be read, by a name that can be shown, and why."""

    name: str
    reason: str
    changed_ns: int = 0


@dataclass(frozen=True, slots=True)
class Listing:
    """The entries of a folder with one suffix, by name: those to read, and the odd ones."""

    files: tuple[Entry, ...] = ()
    odd: tuple[Odd, ...] = ()


def listing(folder: Path, suffix: str, most: int) -> Listing:
    """What lies in a folder; only one that is missing is empty.

    Files of more than ``most`` bytes are odd. What goes away meanwhile is left out.

    Raises:
        OSError: the folder is there and cannot be listed.
    """
    files: list[Entry] = []
    odd: list[Odd] = []
    try:
        entries = os.scandir(folder)
    except FileNotFoundError:
        if folder.is_symlink():
            raise
        return Listing()
    with entries:
        for entry in entries:
            if not entry.name.endswith(suffix):
                continue
            try:
                shown = entry.name.encode().decode()
            except UnicodeEncodeError:
                shown = os.fsencode(entry.name).decode(errors="backslashreplace")
                odd.append(
                    Odd(shown, "its name is no UTF-8 text: give it another", _changed(entry))
                )
                continue
            try:
                found = entry.stat()
                check_kind(found, entry.path, most)
            except FileNotFoundError:
                if entry.is_symlink():
                    odd.append(Odd(shown, "a link that leads nowhere", _changed(entry)))
            except OSError as error:
                odd.append(Odd(shown, why(error), _changed(entry)))
            else:
                files.append(Entry(folder, entry.name, found.st_size, found.st_mtime_ns))
    files.sort(key=lambda e: e.name)
    odd.sort(key=lambda o: o.name)
    return Listing(tuple(files), tuple(odd))


def entry_of(path: Path, most: int) -> Entry:
    """A single file as ``listing`` has it.

    Raises:
        OSError: it is not there, or cannot be read; ``NotForReading`` where it is too large or no file.
    """
    found = path.stat()
    check_kind(found, path, most)
    return Entry(path.parent, path.name, found.st_size, found.st_mtime_ns)


def _changed(entry: os.DirEntry[str]) -> int:
    """When the entry itself was changed; 0 where even that cannot be told."""
    try:
        return entry.stat(follow_symlinks=False).st_mtime_ns
    except OSError:
        return 0


def check_kind(found: os.stat_result, path: str | Path, most: int) -> None:
    """Whether this is a regular file of at most ``most`` bytes.

    Raises:
        NotForReading: it is not.
    """
    for is_kind, name in _KINDS:
        if is_kind(found.st_mode):
            raise NotForReading(path, name, "a file that can be read")
    if found.st_size > most:
        raise NotForReading(path, f"{found.st_size} bytes", f"at most {most} bytes")


def read_regular(path: Path, most: int) -> bytes:
    """The content of a regular file of at most ``most`` bytes; nothing else is ever opened.

    Raises:
        NotForReading: it is no regular file, or is larger.
        OSError: it cannot be read.
    """
    check_kind(path.stat(), path, most)
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        check_kind(os.fstat(file.fileno()), path, most)  # another may stand there by now
        content = file.read(most + 1)
    if len(content) > most:
        raise NotForReading(path, f"more than {most} bytes", f"at most {most} bytes")
    return content


def why(error: OSError) -> str:
    """The reason in a few words, without the name."""
    if error.errno == errno.ELOOP:
        return "a link that leads in a circle"
    return error.strerror or str(error)


def there(path: Path) -> bool:
    """Whether anything bears this name, a link that leads nowhere too.

    What may not be looked at counts as there: reading it tells what is wrong.
    """
    try:
        path.lstat()
    except FileNotFoundError:
        return False
    except (OSError, ValueError):
        return True
    return True
