"""The register: what the review, wear and due screens ask, one document a stored session.

It is local to this machine and can always be rebuilt from the session files. Two kinds of TinyDB files:
``list.json`` holds one light row for each session (who, when, which engine, how it ended) and what each
engine's checks say of its wear; ``engines/NAME.json`` the full records of one engine, so that storing a
session rewrites little.

A register that cannot be written is still a register: what is asked is answered from the session
files, and ``trouble`` says why nothing was kept.

Long, because reading, storing and rebuilding hold one promise together: what it says is in the files.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

from tinydb import TinyDB

from benchtui.domain.errors import BenchError
from benchtui.domain.history.engine_trend import Worn, worn
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.store.codec import converter
from benchtui.store.journal import (
    SUFFIX,
    Damage,
    Recorded,
    WriteFailed,
    read_session,
    session_files,
)
from benchtui.store.paths import DataFolder
from benchtui.store.storage import AtomicStorage, StoreDamaged, sweep

SHAPE = 3
"""The shape of the register's documents; another number means: rebuild."""

TOLD_EVERY = 20
"""After so many session files read, whoever waits is told how far it is."""

Progress = Callable[[int, int], None]
"""Told so many files read of so many."""


@dataclass(frozen=True, slots=True)
class Row:
    """One session in a line. ``size`` and ``changed_ns`` are the file's, to see that it changed."""

    session: str
    started: datetime
    size: int
    changed_ns: int
    engine: str = ""
    engine_name: str = ""
    who: str = ""
    blades: str = ""
    odometer_km: Fraction | None = None
    hours: Fraction | None = None
    closed: bool = False
    complete: bool = False
    practice: bool = False
    verdicts: str = ""
    damage: str = ""


class Register:
    """The register of one data folder. Not for two threads at once."""

    def __init__(self, data: DataFolder) -> None:
        self._data = data
        self._rows: dict[str, Row] | None = None
        self._written: dict[str, tuple[Row, dict[str, Any]]] = {}
        self._worn: dict[str, Worn] = {}
        self._recent: tuple[str, tuple[int, int], list[_Kept]] | None = None
        self.trouble = ""
        self.progress: Progress | None = None

    def rows(self) -> list[Row]:
        """All sessions, newest first, after taking in what the session files have new.

        A missing, damaged or older register is rebuilt from the session files.
        """
        known = self._known()
        self._rows = known
        stamps = _stamps(self._data.sessions)
        gone = known.keys() - stamps.keys()
        new = sorted(stem for stem, at in stamps.items() if at != _stamp_of(known.get(stem)))
        stale = [self._data.sessions / f"{stem}{SUFFIX}" for stem in new]
        if gone or stale:
            left = {known.pop(stem).engine for stem in gone}
            try:
                self._take_in(stale, also=left)
            except WriteFailed as error:
                self.trouble = str(error)
        return sorted(known.values(), key=lambda row: (row.started, row.session), reverse=True)

    def take_in(self, session: str) -> None:
        """Bring one session's row and record up to date with its file."""
        self._rows = self._known()
        path = self._data.sessions / f"{session}{SUFFIX}"
        self._take_in([path] if path.is_file() else [])

    def records(self, engine: str) -> list[SessionRecord]:
        """The full records of one engine, oldest first."""
        wanted = {row.session for row in self.rows() if row.engine == engine}
        path = self._engine_path(engine)
        try:
            records = [k.record for k in self._kept(engine)]
        except StoreDamaged:
            path.unlink(missing_ok=True)
            records = []
        if not wanted <= {r.session for r in records}:
            files = {p.stem: p for p in session_files(self._data.sessions)}
            mine = [files[s] for s in sorted(wanted) if s in files]
            try:
                self._take_in(mine)
                records = [k.record for k in self._kept(engine)]
            except WriteFailed as error:
                self.trouble = str(error)
                records = [r for _, r in map(_read, mine) if r is not None]
        kept = [r for r in records if r.session in wanted]
        return sorted(kept, key=lambda r: (r.started, r.session))

    def worn(self, engine: str) -> Worn:
        """What the checks of an engine say of its wear, as of the latest ``rows``."""
        return self._worn.get(engine, Worn())

    def _known(self) -> dict[str, Row]:
        if self._rows is not None:
            return self._rows
        for folder in (self._data.register, self._engines):
            sweep(folder)
        try:
            with TinyDB(self._list_path(), storage=AtomicStorage) as db:
                shape = db.table("shape").all()
                rows = db.table("rows").all()
                wear = db.table("wear").all()
            if [dict(d) for d in shape] != [{"shape": SHAPE}]:
                return {}
            known = {d["session"]: converter().structure(dict(d), Row) for d in rows}
            self._worn = {d["engine"]: converter().structure(d["worn"], Worn) for d in wear}
            self._written = {d["session"]: (known[d["session"]], dict(d)) for d in rows}
        except Exception:  # noqa: BLE001  # whatever is wrong with it, the files know better
            return {}
        else:
            return known

    def _take_in(self, files: Collection[Path], also: Iterable[str] = ()) -> None:
        """Read these files anew; ``also`` are engines that have lost a session."""
        rows = self._rows if self._rows is not None else {}
        by_engine: dict[str, list[SessionRecord]] = {}
        for count, path in enumerate(files, start=1):
            row, record = _read(path)
            if self.progress is not None and count % TOLD_EVERY == 0:
                self.progress(count, len(files))
            rows[path.stem] = row
            if record is not None:
                by_engine.setdefault(record.engine, []).append(record)
        for engine in also:
            by_engine.setdefault(engine, [])
        for engine, records in by_engine.items():
            self._write_records(engine, records)
        self._write_rows(rows)

    def _write_rows(self, rows: dict[str, Row]) -> None:
        path = self._list_path()
        documents = [self._document(row) for row in rows.values()]
        wear = [{"engine": e, "worn": converter().unstructure(w)} for e, w in self._worn.items()]
        _replace(path, {"shape": [{"shape": SHAPE}], "rows": documents, "wear": wear})

    def _document(self, row: Row) -> dict[str, Any]:
        """The row as it is written; what was made once for it is kept."""
        kept = self._written.get(row.session)
        if kept is None or kept[0] is not row:
            kept = row, converter().unstructure(row)
            self._written[row.session] = kept
        return kept[1]

    def _write_records(self, engine: str, fresh: list[SessionRecord]) -> None:
        """Put these records among the engine's, and say anew what all of them tell of its wear."""
        path = self._engine_path(engine)
        try:
            kept = self._kept(engine)
        except StoreDamaged:
            kept = []
        there = self._rows if self._rows is not None else {}
        renewed = {r.session for r in fresh}
        kept = [k for k in kept if k.record.session not in renewed and k.record.session in there]
        kept += [_Kept(r, converter().unstructure(r)) for r in fresh]
        self._worn[engine] = worn([k.record for k in kept])
        self._recent = None
        _replace(path, {"records": [k.document for k in kept]})
        self._recent = (engine, _stamp(path), kept)

    def _kept(self, engine: str) -> list[_Kept]:
        """The records in the engine's file; those of the engine asked for last are remembered.

        A check reads its engine's records when it begins and writes them when it is filed, so
        that the second need not decode them all again.

        Raises:
            StoreDamaged: the file makes no sense, or was written in another shape.
        """
        path = self._engine_path(engine)
        if not path.exists():
            return []
        stamp = _stamp(path)
        if self._recent is None or self._recent[:2] != (engine, stamp):
            self._recent = (engine, stamp, _read_kept(path))
        return self._recent[2]

    def _list_path(self) -> Path:
        return self._data.register / "list.json"

    @property
    def _engines(self) -> Path:
        return self._data.register / "engines"

    def _engine_path(self, engine: str) -> Path:
        return self._engines / f"{engine}.json"


@dataclass(frozen=True, slots=True)
class _Kept:
    """A record with the document it is written as."""

    record: SessionRecord
    document: dict[str, Any]


def _read_kept(path: Path) -> list[_Kept]:
    try:
        with TinyDB(path, storage=AtomicStorage) as db:
            documents = [dict(d) for d in db.table("records").all()]
        return [_Kept(converter().structure(d, SessionRecord), d) for d in documents]
    except Exception as error:  # whatever odd JSON provokes, the session files know better
        raise StoreDamaged(f"{path}: {error}") from error


def _replace(path: Path, tables: dict[str, list[dict[str, Any]]]) -> None:
    """Put whole tables in one write; TinyDB's own inserts would write once a table."""
    storage = AtomicStorage(path)
    try:
        storage.write(
            {name: {str(i): d for i, d in enumerate(rows, 1)} for name, rows in tables.items()}
        )
    except OSError as error:
        raise WriteFailed(f"cannot write the register {path}: {error}") from error


def _stamps(folder: Path) -> dict[str, tuple[int, int]]:
    """Size and time of every session file; ten thousand of them are looked at each time."""
    try:
        with os.scandir(folder) as entries:
            found = [(e.name, e.stat()) for e in entries if e.name.endswith(SUFFIX)]
    except FileNotFoundError:
        return {}
    return {name.removesuffix(SUFFIX): (s.st_size, s.st_mtime_ns) for name, s in found}


def _stamp(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def _stamp_of(row: Row | None) -> tuple[int, int] | None:
    return None if row is None else (row.size, row.changed_ns)


def _read(path: Path) -> tuple[Row, SessionRecord | None]:
    """The row of a session file, and its record if it has a sound opening.

    A damaged file is shown as damaged with what could be read, and never counts as a check.
    """
    size, changed = _stamp(path)
    try:
        recorded = read_session(path)
    except OSError as error:
        unread = Damage(1, f"it cannot be read: {error.strerror}")
        recorded = Recorded((), unread, sound_bytes=0, torn=False)
    damage = ""
    if recorded.damage is not None:
        damage = f"line {recorded.damage.line}: {recorded.damage.reason}"
    try:
        record = record_of(fold(recorded.events))
    except (BenchError, LookupError, ValueError) as error:
        at = datetime.fromtimestamp(changed / 1e9).astimezone()
        return Row(
            path.stem, at, size, changed, damage=damage or f"makes no session: {error}"
        ), None
    # The file's name counts: a copy that a syncing program made is a session file of its own.
    record = replace(record, session=path.stem, complete=record.complete and not damage)
    row = Row(
        path.stem,
        record.started,
        size,
        changed,
        engine=record.engine,
        engine_name=record.engine_name,
        who=record.who,
        blades=record.blades,
        odometer_km=record.odometer_km,
        hours=record.hours,
        closed=record.closed,
        complete=record.complete,
        practice=record.practice,
        verdicts=_verdicts(record),
        damage=damage,
    )
    return row, record


def _verdicts(record: SessionRecord) -> str:
    """Found and left in a few words: ``6 in, 2 tight -> 8 in``."""
    found = _count([v.found.verdict.kind.value for v in record.valves if v.found is not None])
    left = _count([v.left.verdict.kind.value for v in record.valves if v.left is not None])
    return found if found == left else f"{found} -> {left}"


def _count(words: list[str]) -> str:
    return ", ".join(f"{words.count(w)} {w}" for w in dict.fromkeys(words)) or "nothing measured"
