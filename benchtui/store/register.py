"""The register: what the review, wear and due screens ask, one document a stored session.

It is local to this machine and can always be rebuilt from the session files. Two TinyDB files an engine,
so that storing a session rewrites little: ``lists/NAME.json`` holds one light row for each session (who,
when, how it ended) and what all of them say of its wear, ``engines/NAME.json`` the full records. A file
whose checksum does not fit, or of another shape, is rebuilt.

A register that cannot be written is still a register: what is asked is answered from the session
files, and ``trouble`` says why nothing was kept.

Long, because reading, storing and rebuilding hold one promise together: what it says is in the files.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import closing, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Event
from typing import Any

from benchtui.domain.history.engine_trend import LATEST, Worn, worn
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.store.codec import checksum, converter
from benchtui.store.families import mark_gone, sort_out, sweep_empty
from benchtui.store.files import MOST_SESSION_BYTES, Entry, Listing, Odd, entry_of, listing, why
from benchtui.store.journal import SUFFIX
from benchtui.store.many import GARBAGE, read_many
from benchtui.store.names import NAME
from benchtui.store.paths import DataFolder
from benchtui.store.rows import Row, odd_row, read_each, row_of
from benchtui.store.storage import StoreDamaged, sweep, tables

__all__ = ["Progress", "Register", "Row"]

SHAPE = 10
"""The shape of the register's documents; another number means: rebuild. 6: a record keeps what each
blade said and how far a setting moved the gap; 8: a row says what the clock did; 9: what is put right
later is no jump of it; 10: a list an engine. The session files know all of it of every old session."""

MOST_PENDING = 500
"""So many records are put away together, where the engine of a file is not known before it is read."""

Progress = Callable[[int, int], None]
"""Told so many files read of so many."""

Document = dict[str, Any]
"""A session's record as plain data."""


class Register:
    """The register of one data folder. Not for two threads at once, but for ``stop``."""

    def __init__(self, data: DataFolder) -> None:
        self._data = data
        self._rows: dict[str, Row] | None = None
        self._worn: dict[str, Worn] = {}
        self._recent: tuple[str, list[SessionRecord]] | None = None
        self._stopped = Event()
        self._unsound: list[Row] = []
        self._unlisted = ""
        self._unwritten = ""
        self._failed: set[str] = set()
        self.progress: Progress | None = None

    @property
    def trouble(self) -> str:
        """Why the sessions could not be listed, or the register not be written; else empty."""
        return " ".join(t for t in (self._unlisted, self._unwritten) if t)

    def rows(self) -> list[Row]:
        """All sessions, newest first, after taking in what the session files have new.

        Of the files of one session only those that lead are listed. One that has lost its end, or is
        gone though no other holds what it held, is damaged.

        A missing, damaged or older register is rebuilt from the session files. What cannot be read
        has a row that says why in its ``damage``. Where the folder itself cannot be read, the rows
        are those that were known, and ``trouble`` says so.
        """
        known = self._known()
        found = self._found()
        odd: list[Odd] = []
        if found is not None:
            here = {entry.stem: entry for entry in sweep_empty(found.files, known)}
            left = mark_gone(known, here, self._data.sessions)
            stale = [e for stem, e in here.items() if _stamp(e) != _stamp(known.get(stem))]
            new = stale or left or self._failed
            odd = [*found.odd, *(self._take_in(stale, left) if new else ())]
        rows = [*(r for r in known.values() if not r.behind), *(odd_row(o) for o in odd)]
        rows.sort(key=lambda row: (row.started, row.session), reverse=True)
        self._unsound = [row for row in rows if row.damage]
        return rows

    def unsound(self) -> list[Row]:
        """The sessions that cannot be read, or not to their end, as of the latest ``rows``."""
        return self._unsound

    def take_in(self, session: str) -> None:
        """Bring one session's row and record up to date with its file; see also ``trouble``.

        What its engine's checks say of its wear is left to whoever asks: this one waits to go on.
        """
        path = self._data.sessions / f"{session}{SUFFIX}"
        with suppress(OSError):  # what is wrong with it is told by ``rows``
            self._take_in([entry_of(path, MOST_SESSION_BYTES)], weigh=False)

    def records(self, engine: str) -> list[SessionRecord]:
        """The full records of one engine, oldest first."""
        mine = [row for row in self.rows() if row.engine == engine and row.size]
        wanted = {row.session: not row.damage for row in mine}
        records = self._records(engine)
        if (
            not wanted.keys() <= {r.session for r in records}
            and (found := self._found()) is not None
        ):
            files = [e for e in found.files if e.stem in wanted]
            self._take_in(files)
            records = self._records(engine)
            if self._unwritten:
                read = [r for r in read_each(files) if not isinstance(r, Odd)]
                records = [_record(document) for _, document in read if document is not None]
        kept = [
            replace(r, complete=r.complete and wanted[r.session])
            for r in records
            if r.session in wanted
        ]
        return sorted(kept, key=lambda r: (r.started, r.session))

    def row(self, session: str) -> Row | None:
        """The line of a file, as of the latest ``rows``. For any thread."""
        return (self._rows or {}).get(session)

    def worn(self, engine: str) -> Worn:
        """What the checks of an engine say of its wear, as of the latest ``rows``."""
        if engine not in self._worn:
            try:
                content = _content(self._path("engines", engine), "records")
                self._worn[engine] = self._worn_of(content["records"])
            except Exception:  # noqa: BLE001  # whatever is wrong with it, nothing is known by it
                return Worn()
        return self._worn[engine]

    def stop(self) -> None:
        """Read no further files; what was read is kept. For any thread."""
        self._stopped.set()

    def _found(self) -> Listing | None:
        """The session files; None, with ``trouble``, where their folder cannot be read."""
        folder = self._data.sessions
        try:
            found = listing(folder, SUFFIX, MOST_SESSION_BYTES)
        except OSError as error:
            self._unlisted = (
                f"The folder {folder} cannot be read ({why(error)}): what is told of its sessions "
                f"is what was known before."
            )
            return None
        self._unlisted = ""
        return found

    def _known(self) -> dict[str, Row]:
        if self._rows is None:
            for part in ("", "lists", "engines"):
                sweep(self._data.register / part)
            with suppress(OSError):
                (self._data.register / "list.json").unlink()  # that of an older program
            threshold = gc.get_threshold()
            gc.set_threshold(GARBAGE)
            try:
                self._rows = self._read_rows()
            finally:
                gc.set_threshold(*threshold)
        return self._rows

    def _read_rows(self) -> dict[str, Row]:
        every: dict[str, Row] = {}
        for path in sorted((self._data.register / "lists").glob("*.json")):
            try:
                content = _content(path, "rows", "wear")
                rows = {d["session"]: row_of(d) for d in content["rows"]}
                worn = {
                    d["engine"]: converter().structure(d["worn"], Worn) for d in content["wear"]
                }
            except Exception:  # noqa: BLE001, S112  # whatever is wrong with it, the files know better
                continue
            every |= rows
            self._worn |= worn
        return every

    def _take_in(
        self, files: Sequence[Entry], left: Collection[str] = (), *, weigh: bool = True
    ) -> list[Odd]:
        """Read these files anew, and keep what was read; ``left`` are engines that lost a session.

        ``weigh``: work out at once what the records say of wear.

        What could not be written is told in ``trouble``. What could not be read comes back.
        """
        rows = self._known()
        self._unwritten = ""
        odd: list[Odd] = []
        pending: dict[str, list[Document]] = {engine: [] for engine in (*left, *self._failed)}
        self._failed.clear()  # what was not written is tried again
        opened: set[str] = set()
        count = 0
        try:
            with closing(read_many(files)) as batches:
                for batch in batches:
                    engines = set()
                    for read in batch:
                        stem = (
                            read.name.removesuffix(SUFFIX)
                            if isinstance(read, Odd)
                            else read[0].session
                        )
                        before = rows.pop(stem, None)
                        if before is not None:  # another engine's, it may be, as put right
                            pending.setdefault(before.engine, [])
                        if isinstance(read, Odd):
                            odd.append(read)
                            continue
                        row, document = read
                        if before is not None:
                            row = replace(row, known=max(row.known, before.known))
                        rows[row.session] = row
                        opened.add(row.opened_as)
                        engines.add(row.engine)
                        pending.setdefault(row.engine, []).extend(filter(None, [document]))
                    count += len(batch)
                    if self.progress is not None:
                        self.progress(count, len(files))
                    self._put_away(pending, engines, weigh=weigh)
                    if self._stopped.is_set():
                        break
        finally:
            try:
                self._put_all(rows, pending, opened, weigh=weigh)
            except KeyboardInterrupt:
                # In the middle of the writing: once more, or what was read is read again next time.
                self._put_all(rows, pending, opened, weigh=weigh)
                raise
        return odd

    def _put_all(
        self,
        rows: dict[str, Row],
        pending: dict[str, list[Document]],
        opened: set[str],
        *,
        weigh: bool,
    ) -> None:
        """Write everything that was read, and which files lead."""
        for engine in sort_out(rows, opened, self._data.sessions):
            pending.setdefault(engine, [])
        self._put_away(pending, weigh=weigh)

    def _put_away(
        self, pending: dict[str, list[Document]], still: Iterable[str] = (), *, weigh: bool
    ) -> None:
        """Write what is pending of every engine but those of which more is likely to come."""
        full = sum(map(len, pending.values())) > MOST_PENDING
        ready = [e for e in pending if full or e not in still]
        listed: dict[str, list[Document]] = {engine: [] for engine in ready}
        for row in self._known().values() if ready else ():
            if row.engine in listed:
                listed[row.engine].append(converter().unstructure(row))
        for engine in ready:
            if engine:  # else nothing of the session could be read, not even whose it is
                self._write_records(engine, pending[engine], weigh=weigh)
            worn = self._worn.get(engine)
            wear = (
                [] if worn is None else [{"engine": engine, "worn": converter().unstructure(worn)}]
            )
            # Last of all: what is listed is known, and its file is not read again.
            self._replace(self._path("lists", engine), {"rows": listed[engine], "wear": wear})
            if self._unwritten:
                self._failed.add(engine)
            del pending[engine]  # not before: Ctrl-C in the writing leaves it to be written

    def _write_records(self, engine: str, fresh: list[Document], *, weigh: bool) -> None:
        """Put these records among the engine's; with ``weigh`` say anew what all tell of its wear."""
        path = self._path("engines", engine)
        there, renewed = self._known(), {d["session"] for d in fresh}
        try:
            kept = _content(path, "records")["records"]
            mine = [d for d in kept if (row := there.get(d["session"])) and row.engine == engine]
            kept = [d for d in mine if d["session"] not in renewed]
            kept += fresh
        except Exception:  # noqa: BLE001  # as odd as the file may be, the new ones are sound
            kept = fresh
        self._worn.pop(engine, None)
        if weigh:
            self._worn[engine] = self._worn_of(kept)
        self._recent = None
        self._replace(path, {"records": kept})

    def _worn_of(self, documents: list[Document]) -> Worn:
        """What the files that lead tell; one that another goes on from would count twice."""
        rows = self._known()
        lead = [
            d for d in documents if (r := rows.get(d["session"])) and not (r.behind or r.damage)
        ]
        return _worn(lead)

    def _records(self, engine: str) -> list[SessionRecord]:
        """The records in the engine's file, none where it makes no sense.

        Those of the engine asked for last are remembered.
        """
        if self._recent is None or self._recent[0] != engine:
            try:
                found = _content(self._path("engines", engine), "records")["records"]
                self._recent = engine, [_record(d) for d in found]
            except Exception:  # noqa: BLE001  # whatever is wrong with it, the files know better
                return []
        return self._recent[1]

    def _replace(self, path: Path, content: dict[str, list[Document]]) -> None:
        """Put whole tables into a file in one write."""
        try:
            with tables(path) as db:
                db.drop_tables()
                db.table("shape").insert({"shape": SHAPE})
                for name, documents in content.items():
                    db.table(name).insert_multiple(documents)
        except OSError as error:
            self._unwritten = f"Cannot write the register {path}: {why(error)}."

    def _path(self, kind: str, engine: str) -> Path:
        """A name out of a session file is no path: one that could be a path stands by its checksum."""
        name = engine if NAME.fullmatch(engine) else f"~{checksum(engine)}"
        return self._data.register / kind / f"{name}.json"


def _content(path: Path, *names: str) -> dict[str, list[Document]]:
    """The tables of that name in a file of the register; empty ones where there is no file.

    Raises:
        StoreDamaged: it cannot be read, or is of another shape.
    """
    with tables(path) as db:
        shape = [dict(d) for d in db.table("shape").all()]
        if shape not in ([], [{"shape": SHAPE}]):
            raise StoreDamaged(f"{path}: another shape than {SHAPE}")
        return {name: [dict(d) for d in db.table(name).all()] for name in names}


def _record(document: Document) -> SessionRecord:
    return converter().structure(document, SessionRecord)


def _worn(documents: list[Document]) -> Worn:
    """What these sessions tell of the engine's wear; more than the latest are not looked at."""
    mine = [d for d in documents if not (d["practice"] or d["set_aside"])]
    mine.sort(key=lambda d: (datetime.fromisoformat(d["started"]), d["session"]))
    return worn([_record(d) for d in mine[-LATEST:]])


def _stamp(of: Entry | Row | None) -> tuple[int, int] | None:
    return None if of is None else (of.size, of.changed_ns)
