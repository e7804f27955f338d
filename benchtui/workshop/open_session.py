"""A session at work: begun on disk, gone on with, or only followed."""

from __future__ import annotations

from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.errors import Refusal
from benchtui.domain.session.facts.commands import CloseSession, Command, Resume
from benchtui.domain.session.facts.events import Crank, Event, Opened
from benchtui.domain.session.steps.decide import check_opening
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.sheet_check import pooled_finding
from benchtui.domain.session.whole.completeness import missing
from benchtui.store.journal import FileJournal, SessionBusy, read_session
from benchtui.workshop.past_sessions import Kept


class LiveSession:
    """A session at work. ``journal`` is None where it can only be looked at.

    ``followed`` is the file that another program goes on writing.
    """

    def __init__(
        self, bench: Bench, journal: FileJournal | None, followed: Path | None = None
    ) -> None:
        self.bench = bench
        self._journal = journal
        self._followed = followed

    @property
    def session(self) -> str:
        """The session's id."""
        return self.bench.state.opened.session

    @property
    def read_only(self) -> bool:
        """Whether another program has it open, so that it can only be looked at."""
        return self._journal is None

    def think_ahead(self) -> None:
        """Weigh what past turns say of the sheet; remembered, so that no key has to wait for it."""
        pooled_finding(self.bench.state)

    def catch_up(self) -> bool:
        """Take in what the other program has written since; whether there was anything.

        A file that cannot be read just now is read the next time.
        """
        if self._followed is None:
            return False
        try:
            events = read_session(self._followed).events
        except OSError:
            return False
        if len(events) <= len(self.bench.events):
            return False
        self.bench = self.bench.with_events(events)
        return True

    def release(self) -> None:
        """Let go of the file, so that another program may go on with it."""
        if self._journal is not None:
            self._journal.close()


class _Reader:
    """The journal of a session that another program writes."""

    def __init__(self, why: str) -> None:
        self._why = why

    def append(self, event: Event) -> None:
        del event
        raise Refusal(f"{self._why}: here it can only be looked at.", "Close it there first.")


class Live(Kept):
    """Opens session files for the bench."""

    def open(self, opened: Opened) -> LiveSession:
        """Begin a session on disk.

        Raises:
            Refusal: this engine cannot be measured; nothing was written.
            BenchError: the session file could not be written.
        """
        check_opening(opened)
        journal = FileJournal.create(self.data.sessions, opened.session)
        return LiveSession(Bench.open(journal, self.clock, opened), journal)

    def lacking(self, session: str) -> tuple[str, ...]:
        """What stands between a session and a complete check, as its file has it.

        Raises:
            Refusal: there is no such session, or nothing of it can be read.
        """
        return missing(fold(self.past(session).events))

    def paused(self, session: str) -> bool:
        """Whether a session was left paused, so that it must be known whether the crank has moved."""
        return fold(self.past(session).events).paused

    def file_partial(self, session: str, crank: Crank | None = None) -> None:
        """Close a session that was left open, as partial, and take it into the register.

        ``crank`` answers for one that was left paused whether the crank has moved.

        Raises:
            Refusal: another program has it open, or nothing is missing, so that it is closed where
                a complete check is.
            WriteFailed: its file is damaged or cannot be written.
        """
        live = self.resume(session)
        try:
            if not missing(live.bench.state):
                raise Refusal("Nothing is missing in this check.", "Go on with it and close up.")
            if crank is not None:
                live.bench.do(Resume(crank))
            live.bench.do(CloseSession())
        finally:
            live.release()
        self.store(session)

    def amend(self, session: str, command: Command) -> None:
        """Put something right in a session that has ended, and take it into the register.

        Raises:
            Refusal: it is not to be put right so, another program has it open, or there is no such.
            WriteFailed: its file is damaged or cannot be written.
        """
        live = self.resume(session)
        try:
            live.bench.do(command)
        finally:
            live.release()
        self.store(session)

    def resume(self, session: str) -> LiveSession:
        """Go on with a session that was not closed, read-only where another program has it open.

        Raises:
            WriteFailed: its file is damaged.
            Refusal: there is no such session.
        """
        path = self._path(session)
        try:
            journal, recorded = FileJournal.resume(path)
        except SessionBusy as busy:
            reader = _Reader(str(busy))
            return LiveSession(Bench(reader, self.clock, read_session(path).events), None, path)
        return LiveSession(Bench(journal, self.clock, recorded.events), journal)
