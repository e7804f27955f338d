"""A whole data folder as one file, and back.

A zip archive: ``benchtui-folder.json`` (``{"format": 1, "sessions": count}``), ``sheets/NAME.toml``,
``blades/NAME.toml``, ``hands/hand-NAME.toml`` and ``sessions/ID.session``, the files byte for byte.
The register stays out, for it is rebuilt. Nothing in the archive depends on the machine or the day it
was made on.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import assert_never

from benchtui.domain.errors import BenchError
from benchtui.store.joining import Joined, beside, join
from benchtui.store.journal import SUFFIX, sync_folder
from benchtui.store.names import NAME
from benchtui.store.paths import DataFolder
from benchtui.store.storage import TEMP_PREFIX

FORMAT = 1
MANIFEST = "benchtui-folder.json"

MOST_BYTES = 64 * 2**20
"""The largest single file that is taken in: a session of a week is a few hundred kilobytes."""

_SESSION = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,127}")
_HAND = re.compile(r"hand-[A-Za-z0-9._~%-]{1,200}")
_WHEN = (1980, 1, 1, 0, 0, 0)
"""The time stamp of every file in the archive, the earliest that a zip knows."""


class BundleError(BenchError):
    """An archive that cannot be written or taken in; nothing on disk has been changed by it."""


@dataclass(slots=True)
class TakenIn:
    """What became of each file of an archive; names as they stand in it.

    ``kept`` differ from the file here, which was left as it is. ``longer`` are sessions that went on
    elsewhere and stand in the place of their own beginning now; ``forked`` those that differ from
    the one here, with the name that each is kept under beside it; ``waiting`` those that could not
    be joined, and why.
    """

    new: list[str] = field(default_factory=list)
    same: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    longer: list[str] = field(default_factory=list)
    forked: list[tuple[str, str]] = field(default_factory=list)
    waiting: list[tuple[str, str]] = field(default_factory=list)


def put_new(path: Path, data: bytes) -> None:
    """Write a file that must not exist yet, whole or not at all.

    Raises:
        BundleError: it exists, or cannot be written; whatever was there is as it was.
    """
    name = ""
    try:
        handle, name = tempfile.mkstemp(prefix=TEMP_PREFIX, dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _name_it(Path(name), path)
        sync_folder(path.parent)
    except FileExistsError:
        raise BundleError(f"{path} exists already; nothing was written.") from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise BundleError(
            f"{path} could not be written: {reason}. Nothing is left of it."
        ) from error
    finally:
        if name:
            Path(name).unlink(missing_ok=True)


def _name_it(temp: Path, path: Path) -> None:
    """Give the finished file its name; unlike ``os.replace`` a link never overwrites."""
    temp.chmod(0o666 & ~_umask())
    try:
        path.hardlink_to(temp)
    except FileExistsError:
        raise
    except OSError:  # no hard links on this disk (FAT, some network folders)
        if path.exists():
            raise FileExistsError(path) from None
        temp.rename(path)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def pack(data: DataFolder, path: Path) -> int:
    """Write the whole data folder into a new file; the number of sessions is returned.

    Raises:
        BundleError: there is nothing to pack, the file exists, or it cannot be written.
    """
    if path.exists():
        raise BundleError(f"{path} exists already; nothing was written.")
    files = list(_files(data))
    if not files:
        raise BundleError(f"There are no sheets, blade sets or sessions in {data.root}.")
    sessions = sum(name.startswith("sessions/") for name, _ in files)
    put_new(path, _archive(files, sessions))
    return sessions


def _archive(files: list[tuple[str, Path]], sessions: int) -> bytes:
    out = BytesIO()
    try:
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            head = json.dumps({"format": FORMAT, "sessions": sessions})
            archive.writestr(zipfile.ZipInfo(MANIFEST, _WHEN), head)
            for name, source in files:
                info = zipfile.ZipInfo(name, _WHEN)
                info.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(info, source.read_bytes())
    except OSError as error:
        raise BundleError(f"{error.filename or 'A file'} could not be read: {error}") from error
    return out.getvalue()


def _files(data: DataFolder) -> Iterator[tuple[str, Path]]:
    for kind, folder in _folders(data).items():
        suffix = SUFFIX if kind == "sessions" else ".toml"
        for path in sorted(folder.glob(f"*{suffix}")):
            if path.is_file() and _safe(kind, path.stem):
                yield f"{kind}/{path.name}", path


def _folders(data: DataFolder) -> dict[str, Path]:
    return {
        "sheets": data.sheets,
        "blades": data.blades,
        "hands": data.hands,
        "sessions": data.sessions,
    }


def _safe(kind: str, stem: str) -> bool:
    return bool({"sessions": _SESSION, "hands": _HAND}.get(kind, NAME).fullmatch(stem))


def check_bundle(path: Path) -> None:
    """Read the whole archive and check it; nothing is written.

    Raises:
        BundleError: it is no such archive, or damaged.
    """
    _unpacked(path)


def take_in(path: Path, data: DataFolder) -> TakenIn:
    """Bring the files of an archive into the data folder; nothing that is there is ever lost.

    The whole archive is read and checked first. Sessions are told apart by their ids, so those of
    two machines end up side by side. Of one session in two versions the longer is taken where it
    begins with the other, byte for byte; where they fork both are kept.

    Raises:
        BundleError: it is no such archive or damaged, and nothing was taken in; or a file could
            not be written, and the ones before it are in.
    """
    found = _unpacked(path)
    told = TakenIn()
    folders = _folders(data)
    for name, content in found.items():
        kind, _, file = name.partition("/")
        goal = folders[kind] / file
        if goal.exists():
            if goal.read_bytes() == content:
                told.same.append(name)
            elif kind == "sessions":
                _join(goal, content, name, told)
            else:
                told.kept.append(name)
            continue
        try:
            goal.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BundleError(f"{goal.parent} could not be made: {error.strerror}.") from error
        put_new(goal, content)
        told.new.append(name)
    return told


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


def _unpacked(path: Path) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(path) as archive:
            names = archive.namelist()
            if len(set(names)) != len(names):
                raise BundleError(f"{path}: a name stands in it twice.")
            _check_manifest(path, archive)
            wanted = [name for name in names if name != MANIFEST]
            for name in wanted:
                _check_entry(path, archive.getinfo(name))
            return {name: archive.read(name) for name in wanted}
    except (OSError, zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        reason = (isinstance(error, OSError) and error.strerror) or str(error)
        raise BundleError(f"{path} cannot be read as an exported folder: {reason}.") from error
    except RuntimeError as error:  # what zipfile raises for an encrypted entry
        raise BundleError(f"{path} cannot be read as an exported folder: {error}.") from error


def _check_manifest(path: Path, archive: zipfile.ZipFile) -> None:
    try:
        head = json.loads(archive.read(MANIFEST))
        form = head["format"]
    except (KeyError, TypeError, ValueError):
        raise BundleError(f"{path} is no exported folder: {MANIFEST} is not right.") from None
    if form != FORMAT:
        raise BundleError(f"{path}: found format {form!r}; wanted {FORMAT}, the only one known.")


def _check_entry(path: Path, info: zipfile.ZipInfo) -> None:
    kind, _, file = info.filename.partition("/")
    suffix = SUFFIX if kind == "sessions" else ".toml"
    known = kind in ("sheets", "blades", "hands", "sessions") and file.endswith(suffix)
    if not known or not _safe(kind, file.removesuffix(suffix)):
        raise BundleError(f"{path}: found {info.filename!r}, which has no place in a data folder.")
    if info.file_size > MOST_BYTES:
        raise BundleError(f"{path}: {info.filename} is larger than {MOST_BYTES} bytes.")
