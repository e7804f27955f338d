"""A session at work: begun on disk, gone on with, or only followed."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.blades import Feeler
from benchtui.domain.errors import BenchError, NotKept, Unable
from benchtui.domain.history.doubtful import Doubt
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import CloseSession, Command
from benchtui.domain.session.facts.events import Corrected, Crank, Event, Noted, Opened, Resumed
from benchtui.domain.session.steps.amend import fits
from benchtui.domain.session.steps.decide import check_opening
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.sheet_check import pooled_finding
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.sheet import Sheet
from benchtui.store.codec import encoded
from benchtui.store.file_journal import FileJournal, family, put_session
from benchtui.store.joining import leading
from benchtui.store.journal import MemoryJournal, SessionBusy, WriteFailed, read_session
from benchtui.store.sense import made_sense_of
from benchtui.workshop.data_root import DataRoot
from benchtui.workshop.engines import Engines
from benchtui.workshop.past_sessions import PastSessions
from benchtui.workshop.reviews import Reviews


class LiveSession:
    """A session at work. ``journal`` is None where it can only be looked at.

    ``followed`` is the file that another program goes on writing. ``told`` is what the person should
    know before he goes on, empty if nothing.
    """

    mark = ""
    """What row 1 says all the time of a session that is not real."""

    def __init__(
        self, bench: Bench, journal: FileJournal | None, followed: Path | None = None
    ) -> None:
        self.bench = bench
        self._journal = journal
        self._followed = followed
        self.told = "" if journal is None else journal.told

    @property
    def session(self) -> str:
        """The id that it is stored under; another than it was opened with where its file had to be left."""
        if self._journal is None:
            return self.bench.state.opened.session
        return self._journal.path.stem

    @property
    def read_only(self) -> bool:
        """Whether another program has it open, so that it can only be looked at."""
        return self._journal is None

    def guide(self, screen: str, valve: str = "", feeler: Feeler | None = None) -> tuple[str, ...]:
        """What leads one through it on that screen; nothing, where it is real."""
        del screen, valve, feeler
        return ()

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
            events = read_session(leading(self._followed)).events
        except OSError:
            return False
        if len(events) <= len(self.bench.events):
            return False
        self.bench = self.bench.with_events(events)
        return True

    def look_after(self) -> None:
        """See that the session's file is still the one being written; cheap enough for every second.

        Raises:
            NotKept: it was not; where everything is now is said.
        """
        if self._journal is not None:
            self._journal.look_after()

    def release(self) -> str:
        """Let go of the file, so that another program may go on with it.

        What has to be said of it is returned, empty if nothing.
        """
        return "" if self._journal is None else self._journal.close()


class _Reader:
    """The journal of a session that another program writes."""

    def __init__(self, why: str) -> None:
        self._why = why

    def append(self, event: Event) -> None:
        del event
        raise Unable(f"{self._why}: here it can only be looked at.", "Close it there first.")


class OpenSessions:
    """Opens session files for the bench."""

    def __init__(
        self, root: DataRoot, engines: Engines, past: PastSessions, reviews: Reviews
    ) -> None:
        self._root, self._engines, self._past, self._reviews = root, engines, past, reviews

    def open(self, opened: Opened) -> LiveSession:
        """Begin a session on disk.

        Raises:
            Refusal: this engine cannot be measured; nothing was written.
            BenchError: the session file could not be written.
        """
        check_opening(opened)
        journal = FileJournal.create(self._root.data.sessions, opened.session)
        try:
            bench = Bench.open(journal, self._root.clock, opened)
        except BenchError:
            journal.close()
            raise
        return LiveSession(bench, journal)

    def put(self, events: Sequence[Event]) -> str:
        """Store a session that was played elsewhere, whole, and take it into the register; its id.

        Raises:
            NotKept: its file could not be written, and nothing is left of it.
        """
        opened = events[0].fact
        assert isinstance(opened, Opened)
        put_session(self._root.data.sessions, opened.session, encoded(events))
        with suppress(NotKept):  # what the register lacks it reads from the file next time
            self._past.store(opened.session)
        return opened.session

    def lacking(self, session: str) -> tuple[str, ...]:
        """What stands between a session and a complete check, as its file has it.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
        """
        return missing(fold(self._past.past(session).events))

    def paused(self, session: str) -> bool:
        """Whether a session was left paused, so that it must be known whether the crank has moved."""
        return fold(self._past.past(session).events).paused

    def file_partial(self, session: str, crank: Crank | None = None) -> None:
        """Close a session that was left open, as partial, and take it into the register.

        ``crank`` answers for one that was left paused whether the crank has moved.

        Raises:
            Unable: another program has it open, or nothing is missing, so that it is closed where
                a complete check is.
            WriteFailed: its file is damaged or cannot be written.
        """
        live = self.resume(session)
        try:
            if not missing(live.bench.state):
                raise Unable("Nothing is missing in this check.", "Go on with it and close up.")
            if crank is not None:
                live.bench.do(Resumed(crank))
            live.bench.do(CloseSession())
        finally:
            live.release()
        self._past.store(live.session)

    def fitting(self, session: str) -> tuple[Sheet, ...]:
        """The other engines at which this session could have been measured.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
        """
        here = fold(self._past.past(session).events).opened.sheet
        sheets = [
            e.sheet for e in self._engines.owned() if e.sheet is not None and e.key != here.key
        ]
        return tuple(sheet for sheet in sheets if fits(here, sheet))

    def amended(
        self, session: str, before: Sequence[Command], command: Command
    ) -> tuple[tuple[Event, ...], tuple[Doubt, ...]]:
        """The session after a command that puts it right, those before it done first; nothing is written.

        And what is odd about it. Those before that change nothing are passed over. Raises as
        ``amend`` does.
        """
        bench = Bench(MemoryJournal(), self._root.clock, self._past.past(session).events)
        for earlier in before:
            with suppress(Refusal):
                bench.do(earlier)
        was = bench.state
        state = bench.do(command)
        if not isinstance(bench.events[-1].fact, Corrected):
            return bench.events, ()
        return bench.events, self._reviews.doubts_of(session, was, state)

    def amend(self, session: str, command: Command) -> str:
        """Put something right in a session that has ended, and take it into the register.

        The id that it is stored under now is returned: another where this machine had to go on with
        it in a file of its own.

        Raises:
            Unable: it is not to be put right so, another program has it open, or there is no such.
            WriteFailed: its file is damaged or cannot be written.
        """
        live = self.resume(session)
        try:
            live.bench.do(command)
        finally:
            live.release()
        self._past.store(live.session)
        return live.session

    def mend(self, session: str) -> str:
        """Put the sound part of a damaged session into a file of its own, which says so; its id.

        The damaged file stays as it is, and is told as damaged further on.

        Raises:
            Unable: there is no such session, nothing of it can be read, or it is not damaged.
            WriteFailed: the new file could not be written; then nothing is left of it.
        """
        past = self._past.past(session)
        if past.damage is None:
            raise Unable(f"Session {session} is not damaged.", "Go on with it as it is.")
        bench = Bench(MemoryJournal(), self._root.clock, past.events)
        bench.do(
            Noted(
                f"gone on from the sound part of {session}: {len(past.events)} steps; from line "
                f"{past.damage.line} on it is damaged ({past.damage.reason})"
            )
        )
        name = f"{family(session)}_{secrets.token_hex(4)}"
        put_session(self._root.data.sessions, name, encoded(bench.events))
        self._past.store(name)
        return name

    def resume(self, session: str) -> LiveSession:
        """Go on with a session that was not closed, read-only where another program has it open.

        Raises:
            WriteFailed: its file is damaged.
            Unable: there is no such session.
        """
        path = leading(self._past.path(session))
        try:
            journal, recorded = FileJournal.resume(path)
        except SessionBusy as busy:
            reader = _Reader(str(busy))
            events = self._past.past(path.stem).events
            return LiveSession(Bench(reader, self._root.clock, events), None, path)
        sense, _, _ = made_sense_of(recorded)
        if sense.damage is not None:
            journal.close()
            raise WriteFailed(
                f"{path} is damaged at line {sense.damage.line} ({sense.damage.reason}); "
                f"it can be looked at, not written on"
            )
        return LiveSession(Bench(journal, self._root.clock, recorded.events), journal)
