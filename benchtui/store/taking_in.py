"""A data folder that came as one file, brought into the one here; ``bundle`` tells how it is made.

It may come from anywhere, so it is read whole and checked before anything is written, and nothing of
it is unpacked before its sizes are known to be sensible.
"""

from __future__ import annotations

import json
import lzma
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import assert_never

from benchtui.domain.errors import FaultyInput
from benchtui.store.bundle import (
    FORMAT,
    MANIFEST,
    BundleError,
    folders,
    most_of,
    put_new,
    safe,
    suffix_of,
)
from benchtui.store.files import check_kind, read_regular, there, why
from benchtui.store.joining import Joined, beside, join
from benchtui.store.journal import recorded_of
from benchtui.store.paths import DataFolder
from benchtui.store.sense import made_sense_of
from benchtui.text.reading.blades_file import parse_blades
from benchtui.text.reading.hand_file import parse_hand
from benchtui.text.reading.sheet_file import parse_sheet

MOST_FILES = 100_000
"""So many files an archive may hold."""

MOST_BYTES = 2**30
"""The largest archive, packed or unpacked."""

MOST_HEAD_BYTES = 1000
"""The largest ``benchtui-folder.json``."""

USUAL_BYTES = 64 * 2**20
MOST_TIMES = 100
"""Beyond ``USUAL_BYTES`` an archive unfolds to at most so many times its size: sessions, which are
text, come to five to twelve times."""


@dataclass(slots=True)
class TakenIn:
    """What became of each file of an archive; names as they stand in it.

    ``kept`` differ from the file here, which was left as it is. ``longer`` are sessions that went on
    elsewhere and stand in the place of their own beginning now; ``forked`` those that differ from
    the one here, with the name that each is kept under beside it; ``waiting`` those that could not
    be joined, and why. ``unsound`` are those that came in, or were here already, and cannot be read,
    or not to their end, and why: they count among none of the others.
    """

    new: list[str] = field(default_factory=list)
    same: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    longer: list[str] = field(default_factory=list)
    forked: list[tuple[str, str]] = field(default_factory=list)
    waiting: list[tuple[str, str]] = field(default_factory=list)
    unsound: list[tuple[str, str]] = field(default_factory=list)

    @property
    def said(self) -> tuple[str, ...]:
        """What came of it, a sentence each; names stand as they are in the archive."""
        told = [f"{len(self.new)} taken in, {len(self.same)} here already."]
        told += [
            f"{name} is kept as it came, and cannot be read whole: {reason}"
            for name, reason in self.unsound
        ]
        told += [
            f"{name} went on elsewhere: the longer one, which begins with it, is here now."
            for name in self.longer
        ]
        told += [
            f"{name} and the one here do not go on from each other: both are kept, "
            f"the one taken in as {other}."
            for name, other in self.forked
        ]
        told += [
            f"{name} was left out, for {reason}: take it in again later."
            for name, reason in self.waiting
        ]
        told += [
            f"{name} differs from the one here, which was left as it is." for name in self.kept
        ]
        return tuple(told)


def check_bundle(path: Path) -> None:
    """Read the whole archive and check it; nothing is written.

    Raises:
        BundleError: it is no such archive, or damaged.
    """
    for _ in _unpacked(path):
        pass


def take_in(path: Path, data: DataFolder) -> TakenIn:
    """Bring the files of an archive into the data folder; nothing that is there is ever lost.

    The whole archive is read and checked first. Sessions are told apart by their ids, so those of
    two machines end up side by side. Of one session in two versions the longer is taken where it
    begins with the other, byte for byte; where they fork both are kept.

    Raises:
        BundleError: it is no such archive or damaged, and nothing was taken in; or a file could
            not be written, and the ones before it are in.
    """
    check_bundle(path)
    told = TakenIn()
    for name, content in _unpacked(path):
        _take_in(name, content, data, told)
    return told


def _take_in(name: str, content: bytes, data: DataFolder, told: TakenIn) -> None:
    kind, _, file = name.partition("/")
    goal = folders(data)[kind] / file
    unsound = _unsound(kind, content, name)
    if there(goal):
        try:
            same = read_regular(goal, most_of(kind)) == content
        except OSError as error:
            told.waiting.append((name, f"the one here cannot be read: {why(error)}"))
            return
        if same and unsound:
            told.unsound.append((name, unsound))
        elif same:
            told.same.append(name)
        elif kind == "sessions":
            _join(goal, content, name, told)
        else:
            told.kept.append(name)
        return
    try:
        goal.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BundleError(f"{goal.parent} could not be made: {error.strerror}.") from error
    put_new(goal, content)
    if unsound:
        told.unsound.append((name, unsound))
    else:
        told.new.append(name)


def _unsound(kind: str, content: bytes, name: str) -> str:
    """Why this file cannot be read, or not to its end; empty where it can."""
    if kind == "sessions":
        recorded, _, record = made_sense_of(recorded_of(content))
        if recorded.damage is not None:
            return f"line {recorded.damage.line}: {recorded.damage.reason}"
        return "" if record is not None else "not even its opening was written"
    parse = {"sheets": parse_sheet, "blades": parse_blades}.get(kind)
    stem = name.partition("/")[2].removesuffix(".toml")
    try:
        text = content.decode("utf-8-sig")
        if parse is None:
            parse_hand(text, name)
        else:
            parse(text, stem, name)
    except UnicodeDecodeError:
        return "it is no UTF-8 text"
    except FaultyInput as faulty:
        return str(faulty.faults[0])
    return ""


def _join(goal: Path, content: bytes, name: str, told: TakenIn) -> None:
    try:
        came = join(goal, content)
    except OSError as error:
        raise BundleError(f"{goal} could not be written: {error.strerror or error}.") from error
    match came:
        case Joined.AHEAD:
            told.longer.append(name)
        case Joined.BEHIND:
            told.same.append(name)
        case Joined.FORKED | Joined.DAMAGED:
            other = beside(goal, content)
            if other.exists() and other.read_bytes() == content:
                told.same.append(name)
                return
            put_new(other, content)
            told.forked.append((name, other.stem))
        case Joined.BUSY:
            told.waiting.append((name, came.value))
        case _:
            assert_never(came)


def _unpacked(path: Path) -> Iterator[tuple[str, bytes]]:
    """Every file of an archive with its name, one at a time: together they may be large.

    Raises:
        BundleError: it is no such archive, or damaged.
    """
    try:
        check_kind(path.stat(), path, MOST_BYTES)
        with zipfile.ZipFile(path) as archive:
            _check_manifest(path, archive)
            entries = [i for i in archive.infolist() if i.filename != MANIFEST]
            _check_entries(path, entries)
            for info in entries:
                yield info.filename, archive.read(info)
    except (OSError, zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        reason = why(error) if isinstance(error, OSError) else str(error)
        raise BundleError(f"{path} cannot be read as an exported folder: {reason}.") from error
    except (RuntimeError, ValueError, struct.error, lzma.LZMAError) as error:
        # An encrypted entry, one packed in another way, or a damaged head.
        raise BundleError(f"{path} cannot be read as an exported folder: {error}.") from error


def _check_manifest(path: Path, archive: zipfile.ZipFile) -> None:
    try:
        info = archive.getinfo(MANIFEST)
        head = json.loads(archive.read(info) if info.file_size < MOST_HEAD_BYTES else b"")
        form = head["format"]
    except (KeyError, TypeError, ValueError, RecursionError):
        raise BundleError(f"{path} is no exported folder: {MANIFEST} is not right.") from None
    if form != FORMAT:
        raise BundleError(f"{path}: found format {form!r}; wanted {FORMAT}, the only one known.")


def _check_entries(path: Path, entries: list[zipfile.ZipInfo]) -> None:
    """Whether all of them may be unpacked, before any is."""
    if len(entries) > MOST_FILES:
        raise BundleError(f"{path}: found {len(entries)} files; wanted at most {MOST_FILES}.")
    if len({info.filename for info in entries}) != len(entries):
        raise BundleError(f"{path}: a name stands in it twice.")
    for info in entries:
        _check_entry(path, info)
    total = sum(info.file_size for info in entries)
    most = min(max(USUAL_BYTES, MOST_TIMES * path.stat().st_size), MOST_BYTES)
    if total > most:
        raise BundleError(f"{path} unfolds to {total} bytes; wanted at most {most}.")


def _check_entry(path: Path, info: zipfile.ZipInfo) -> None:
    kind, _, file = info.filename.partition("/")
    known = kind in ("sheets", "blades", "hands", "sessions") and file.endswith(suffix_of(kind))
    if not known or not safe(kind, file.removesuffix(suffix_of(kind))):
        raise BundleError(f"{path}: found {info.filename!r}, which has no place in a data folder.")
    if info.file_size > most_of(kind):
        raise BundleError(f"{path}: {info.filename} is larger than {most_of(kind)} bytes.")
