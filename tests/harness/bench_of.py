"""A bench to do harm to, and what is left of what was confirmed at it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.session.facts.events import Noted, Opened
from benchtui.domain.session.steps.fold import fold
from benchtui.store.file_journal import FileJournal
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

RECORD = Path(__file__).parent.parent / "records" / "chained-7.session"
AT = datetime(2026, 5, 4, 9, tzinfo=UTC)


def opening() -> Opened:
    fact = read_session(RECORD).events[0].fact
    assert isinstance(fact, Opened)
    return fact


def begun(folder: Path, clock: Callable[[], datetime] = lambda: AT) -> tuple[FileJournal, Bench]:
    """A new session, in a data folder that is empty."""
    journal = FileJournal.create(folder / "sessions", "one")
    return journal, Bench.open(journal, clock, opening())


def say(bench: Bench, text: str) -> None:
    bench.do(Noted(text))


def kept(folder: Path) -> set[str]:
    """The notes of every session that is listed and can be read."""
    shop = Workshop(DataFolder(folder), lambda: AT)
    rows = shop.past_sessions.rows()
    return {
        n.text
        for r in rows
        if r.events
        for n in fold(shop.past_sessions.past(r.session).events).notes
    }
