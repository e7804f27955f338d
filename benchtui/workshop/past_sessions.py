"""Sessions that are on disk: listed, looked at, their records."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from benchtui.domain.errors import Unable
from benchtui.domain.session.facts.events import Event, Opened
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.store.engine_names import engine_names, rename
from benchtui.store.files import there, why
from benchtui.store.journal import SUFFIX, Damage, read_session
from benchtui.store.register import Progress, Row
from benchtui.store.sense import made_sense_of
from benchtui.store.taking_in import check_bundle, take_in
from benchtui.workshop.data_root import DataRoot


@dataclass(frozen=True, slots=True)
class PastSession:
    """A session as its file tells it: every event, the record, and any damage."""

    events: tuple[Event, ...]
    record: SessionRecord
    damage: Damage | None


class PastSessions:
    """The stored sessions."""

    def __init__(self, root: DataRoot) -> None:
        self._root = root

    def past(self, session: str) -> PastSession:
        """A session to look at, whatever its state.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
        """
        row = self._root.register.row(session)
        if row is not None and row.behind:  # another file has gone on from it since
            session = row.behind
            row = self._root.register.row(session)
        try:
            recorded, _, record = made_sense_of(read_session(self.path(session)))
        except OSError as error:
            raise Unable(f"Session {session} cannot be read: {why(error)}.") from error
        if record is None:
            reason = recorded.damage.reason if recorded.damage else "it is empty"
            raise Unable(f"Nothing of session {session} can be read: {reason}.")
        if row is None or not row.forked:
            return PastSession(recorded.events, record, recorded.damage)
        events = _named(recorded.events, session)
        return PastSession(events, record_of(fold(events)), recorded.damage)

    def store(self, session: str) -> None:
        """Take the session's file into the register.

        The file is the truth: where the register cannot be written, ``trouble`` says so, and the
        session counts all the same.
        """
        with self._root.turn:
            self._root.register.take_in(session)

    def watch_reading(self, told: Progress | None) -> None:
        """Have ``told`` called while session files are read anew: so many of so many.

        It is called on the thread that asked for the rows. What it raises stops the reading, and
        what was read until then is kept.
        """
        self._root.register.progress = told

    def stop_reading(self) -> None:
        """Read no further session files anew; what was read is kept. For any thread."""
        self._root.register.stop()

    def rows(self) -> list[Row]:
        """Every session in a line, newest first."""
        with self._root.turn:
            found = self._root.register.rows()
        now = engine_names(self._root.data).renamed
        if not now:
            return found
        return [replace(r, engine=now[r.engine]) if r.engine in now else r for r in found]

    def last_row(self, engine: str) -> Row | None:
        """The latest session of an engine, checks and partial ones alike."""
        return next((r for r in self.rows() if r.engine == engine and r.counts), None)

    def records(self, engine: str) -> list[SessionRecord]:
        """The full records of one engine, oldest first."""
        former = engine_names(self._root.data).former(engine)
        with self._root.turn:
            if not former:
                return self._root.register.records(engine)
            every = [r for key in (engine, *former) for r in self._root.register.records(key)]
        every.sort(key=lambda r: (r.started, r.session))
        return [replace(record, engine=engine) for record in every]

    def same_engine(self, old: str, new: str) -> None:
        """Let the history filed under ``old`` be that of the engine ``new`` from now on.

        Raises:
            Unable: the file that keeps the names cannot be made out.
            WriteFailed: it could not be written.
        """
        rename(self._root.data, old, new)

    def unsound(self) -> list[Row]:
        """The sessions that cannot be read, or not to their end, as of the latest ``rows``.

        None of them counts as a check.
        """
        return self._root.register.unsound()

    def unfinished(self) -> list[Row]:
        """Sessions that were not closed and can be gone on with."""
        return [r for r in self.rows() if r.unfinished]

    @property
    def trouble(self) -> str:
        """Why the register could not be written; empty where it could."""
        return self._root.register.trouble

    def check_bundle(self, path: Path) -> None:
        """Whether this file is the exported folder of another machine.

        Raises:
            BundleError: it is none, or is damaged.
        """
        check_bundle(path)

    def take_in(self, path: Path) -> tuple[str, ...]:
        """Bring in the exported folder of another machine; what came of it, a sentence each.

        Raises:
            BundleError: the file is no exported folder, or is damaged, or the disk took no more.
        """
        with self._root.turn:
            return take_in(path, self._root.data).said

    def path(self, session: str) -> Path:
        """The file of a session, or Unable where there is none."""
        path = self._root.data.sessions / f"{session}{SUFFIX}"
        if Path(session).name != session or not there(path):
            for row in self.rows():  # one whose name is no text is shown under another
                if row.session == session:
                    raise Unable(f"Session {session}: {row.damage}.")
            raise Unable(f"There is no session {session!r}.")
        return path


def _named(events: tuple[Event, ...], session: str) -> tuple[Event, ...]:
    """The same events under an id of their own: two machines went on with the session, each in its way."""
    first = events[0]
    if not isinstance(first.fact, Opened):
        return events
    return (replace(first, fact=replace(first.fact, session=session)), *events[1:])
