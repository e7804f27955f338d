"""The session's file is replaced, removed or written over while somebody is at the bench."""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.errors import NotKept
from benchtui.domain.session.facts.events import Noted, Opened
from benchtui.domain.session.steps.fold import fold
from benchtui.store.file_journal import FileJournal
from benchtui.store.joining import behind, leading
from benchtui.store.journal import SUFFIX, read_session

AT = datetime(2026, 5, 4, 9, tzinfo=UTC)
RECORD = Path(__file__).parent.parent / "records" / "screws-1.session"


def opening() -> Opened:
    fact = read_session(RECORD).events[0].fact
    assert isinstance(fact, Opened)
    return fact


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[FileJournal]:
    made = FileJournal.create(tmp_path / "data" / "sessions", "one")
    yield made
    made.close()


@pytest.fixture
def bench(journal: FileJournal) -> Bench:
    made = Bench.open(journal, lambda: AT, opening())
    made.do(Noted("a"))
    made.do(Noted("b"))
    return made


def notes(path: Path) -> list[str]:
    return [n.text for n in fold(read_session(path).events).notes]


def removed(path: Path) -> None:
    path.unlink()


def replaced(path: Path) -> None:
    older = b"".join(path.read_bytes().splitlines(keepends=True)[:2])
    other = path.with_name(".coming-in")
    other.write_bytes(older)
    other.replace(path)


def written_over(path: Path) -> None:
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:2]))


def written_on(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"what another program wrote\n")


def folder_taken_away(path: Path) -> None:
    path.parent.rename(path.parent.with_name("elsewhere"))


HARM = [removed, replaced, written_over, written_on, folder_taken_away]


@pytest.mark.parametrize("harm", HARM)
def test_it_is_said_at_the_next_step_and_nothing_confirmed_is_lost(
    bench: Bench, journal: FileJournal, harm: Callable[[Path], None]
) -> None:
    first = journal.path
    harm(first)
    with pytest.raises(NotKept, match="Nothing that was confirmed is lost") as caught:
        bench.do(Noted("c"))
    assert caught.value.tall == "FILE GONE"
    assert str(first) in str(caught.value)
    assert journal.path.name in str(caught.value)
    assert journal.path != first
    assert notes(journal.path) == ["a", "b"]
    bench.do(Noted("c"))
    assert notes(journal.path) == ["a", "b", "c"]


@pytest.mark.parametrize("harm", HARM)
def test_whoever_leaves_without_a_further_step_loses_nothing_either(
    bench: Bench, journal: FileJournal, harm: Callable[[Path], None]
) -> None:
    harm(journal.path)
    assert "Nothing that was confirmed is lost" in journal.close()
    assert notes(journal.path) == ["a", "b"]
    assert len(bench.events) == 3


def test_a_file_replaced_within_the_write_is_seen_after_the_sync(
    bench: Bench, journal: FileJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.fsync
    path = journal.path

    def meanwhile(handle: int) -> None:
        real(handle)
        if path.exists() and stat.S_ISREG(os.fstat(handle).st_mode):
            path.unlink()

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", meanwhile)
        with pytest.raises(NotKept):
            bench.do(Noted("c"))
    bench.do(Noted("c"))
    assert notes(journal.path) == ["a", "b", "c"]


def test_where_no_file_can_be_written_it_is_said_and_tried_again(
    bench: Bench, journal: FileJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forbidden(*_: object) -> None:
        raise OSError(13, "Permission denied")

    journal.path.unlink()
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", forbidden)
        for _ in range(2):
            with pytest.raises(NotKept, match=r"only in this program's memory.*Permission denied"):
                bench.do(Noted("c"))
    with pytest.raises(NotKept, match="Nothing that was confirmed is lost"):
        bench.do(Noted("c"))
    bench.do(Noted("c"))
    assert notes(journal.path) == ["a", "b", "c"]


def test_a_file_from_elsewhere_is_not_written_in_but_gone_on_from(
    bench: Bench, journal: FileJournal, tmp_path: Path
) -> None:
    journal.close()
    there = tmp_path / "there" / "sessions"
    shutil.copytree(journal.path.parent, there)
    before = (there / "one.session").read_bytes()
    other, recorded = FileJournal.resume(there / "one.session")
    assert recorded.events == bench.events
    Bench(other, lambda: AT, recorded.events).do(Noted("there"))
    other.close()
    assert (there / "one.session").read_bytes() == before
    assert notes(other.path) == ["a", "b", "there"]
    assert leading(there / "one.session") == other.path
    again, _ = FileJournal.resume(other.path)
    assert again.path == other.path  # its own, this time
    again.close()


def test_a_file_that_lost_what_this_machine_left_in_it_is_not_written_in(
    bench: Bench, journal: FileJournal
) -> None:
    journal.close()
    written_over(journal.path)
    again, _ = FileJournal.resume(journal.path)
    again.close()
    assert again.path != journal.path
    assert len(bench.events) == 3


def test_of_files_that_go_on_from_one_another_the_furthest_leads_and_forks_both_stay(
    bench: Bench, journal: FileJournal
) -> None:
    journal.close()
    folder = journal.path.parent
    lines = journal.path.read_bytes().splitlines(keepends=True)
    (folder / "one_00000001.session").write_bytes(b"".join(lines[:2]))
    (folder / "one_00000002.session").write_bytes(b"".join(lines))
    fork, recorded = FileJournal.resume(folder / "one_00000001.session")
    Bench(fork, lambda: AT, recorded.events).do(Noted("otherwise"))
    fork.close()
    files = {p.stem: read_session(p) for p in folder.glob(f"*{SUFFIX}")}
    assert behind(files) == {"one_00000001": "one", "one_00000002": "one"}
    assert notes(fork.path) == ["a", "otherwise"]
    assert notes(folder / "one.session") == ["a", "b"]
    assert len(bench.events) == 3


def test_a_clock_set_back_makes_no_file_older(bench: Bench, journal: FileJournal) -> None:
    ahead = journal.path.stat().st_mtime_ns + 3_600 * 10**9
    journal._changed_ns = ahead  # as it is where the clock stood an hour later before
    bench.do(Noted("c"))
    assert journal.path.stat().st_mtime_ns > ahead
