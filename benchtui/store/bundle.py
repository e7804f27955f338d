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
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from benchtui.domain.errors import BenchError
from benchtui.store.files import MOST_SESSION_BYTES, Odd, listing, read_regular, there, why
from benchtui.store.journal import SUFFIX, sync_folder
from benchtui.store.library import MOST_BYTES as MOST_WRITTEN_BYTES
from benchtui.store.names import NAME
from benchtui.store.paths import DataFolder
from benchtui.store.storage import TEMP_PREFIX

FORMAT = 1
MANIFEST = "benchtui-folder.json"

_SESSION = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,127}")
_HAND = re.compile(r"hand-[A-Za-z0-9._~%-]{1,200}")
_WHEN = (1980, 1, 1, 0, 0, 0)
"""The time stamp of every file in the archive, the earliest that a zip knows."""


class BundleError(BenchError):
    """An archive that cannot be written or taken in; nothing on disk has been changed by it."""


@dataclass(frozen=True, slots=True)
class Packed:
    """How many sessions an archive holds, and what of the folder could not go into it."""

    sessions: int
    left_out: tuple[Odd, ...]


def put_new(path: Path, data: bytes, ours: Callable[[bytes], bool] | None = None) -> None:
    """Write a file that must not exist yet, whole or not at all.

    One that is there is replaced if, by ``ours``, it is an earlier one of the same kind.

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
        if ours is not None and path.exists() and ours(read_regular(path, MOST_WRITTEN_BYTES)):
            Path(name).chmod(0o666 & ~_umask())
            os.replace(name, path)  # noqa: PTH105  # in one step
        else:
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


def pack(data: DataFolder, path: Path) -> Packed:
    """Write the whole data folder into a new file, but for what cannot be read.

    Raises:
        BundleError: there is nothing to pack, the file exists, or it cannot be written; or a part
            of the folder is there and cannot be read.
    """
    if there(path):
        raise BundleError(f"{path} exists already; nothing was written.")
    left_out: list[Odd] = []
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        names = [
            _packed(archive, name, source, left_out) for name, source in _files(data, left_out)
        ]
        if not any(names):
            raise BundleError(f"There are no sheets, blade sets or sessions in {data.root}.")
        sessions = sum(name.startswith("sessions/") for name in names)
        head = json.dumps({"format": FORMAT, "sessions": sessions})
        archive.writestr(zipfile.ZipInfo(MANIFEST, _WHEN), head)
    put_new(path, out.getvalue())
    return Packed(sessions, tuple(left_out))


def _packed(archive: zipfile.ZipFile, name: str, source: Path, left_out: list[Odd]) -> str:
    """Put one file into the archive; its name, "" if it could not be read."""
    try:
        content = read_regular(source, most_of(name))
    except OSError as error:
        left_out.append(Odd(name, why(error)))
        return ""
    info = zipfile.ZipInfo(name, _WHEN)
    info.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(info, content)
    return name


def _files(data: DataFolder, left_out: list[Odd]) -> Iterator[tuple[str, Path]]:
    for kind, folder in folders(data).items():
        try:
            every = listing(folder, suffix_of(kind), most_of(kind))
        except OSError as error:
            raise BundleError(f"{folder} cannot be read: {why(error)}.") from error
        left_out += [Odd(f"{kind}/{odd.name}", odd.reason) for odd in every.odd]
        for entry in every.files:
            name = f"{kind}/{entry.name}"
            if safe(kind, entry.stem):
                yield name, entry.path
            else:
                left_out.append(Odd(name, "its name is not of letters, digits, - and _ alone"))


def suffix_of(kind: str) -> str:
    """What the names of this kind end in."""
    return SUFFIX if kind == "sessions" else ".toml"


def most_of(name: str) -> int:
    """The largest file of this kind that is packed or taken in."""
    return MOST_SESSION_BYTES if name.startswith("sessions") else MOST_WRITTEN_BYTES


def folders(data: DataFolder) -> dict[str, Path]:
    """The folders whose files go into an archive, by their names there."""
    return {
        "sheets": data.sheets,
        "blades": data.blades,
        "hands": data.hands,
        "sessions": data.sessions,
    }


def safe(kind: str, stem: str) -> bool:
    """Whether a file of this kind may have this name, on whatever machine."""
    return bool({"sessions": _SESSION, "hands": _HAND}.get(kind, NAME).fullmatch(stem))
