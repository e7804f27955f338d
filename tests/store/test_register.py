from __future__ import annotations

import errno
import os
import shutil
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from benchtui.bench import Bench
from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import CloseSession, ConfirmPosition
from benchtui.domain.session.facts.events import Evidence, Noted, Opened, Particulars, ReadingTaken
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Sheet
from benchtui.store import many
from benchtui.store.file_journal import FileJournal
from benchtui.store.journal import Recorded, read_session
from benchtui.store.many import AT_ONCE
from benchtui.store.paths import DataFolder
from benchtui.store.register import SHAPE, Register
from benchtui.store.storage import (
    STILL_AT_WORK,
    TEMP_PREFIX,
    AtomicStorage,
    StoreDamaged,
    tables_within,
)
from benchtui.workshop import Workshop
from tests import engines
from tests.engines import band, fired, printed

BLADES = BladeSet("Set", tuple(Leaf(Length.mm(t)) for t in ("0.06", "0.10")))


def sheet(engine: str) -> Sheet:
    return engines.sheet(engine, fired({"1": 0}, "I"), printed(band("0.06", "0.10")))


Keep = Callable[..., Path]


@pytest.fixture
def data(tmp_path: Path) -> DataFolder:
    return DataFolder(tmp_path)


@pytest.fixture
def keep(data: DataFolder) -> Keep:
    """Puts one session's file into the folder, as another machine's sync would."""

    def kept(session: str, engine: str = "pump", day: int = 1, *, close: bool = True) -> Path:
        at = datetime(2026, 5, day, 9, tzinfo=UTC)
        journal = FileJournal.create(data.sessions, session)
        opened = Opened(session, sheet(engine), "set", BLADES, Particulars(hours=Fraction(day)))
        bench = Bench.open(journal, lambda: at, opened)
        bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
        bench.do(ReadingTaken("1I", BLADES.feeler(Length.mm("0.06")), Answer.FREE))
        bench.do(ReadingTaken("1I", BLADES.feeler(Length.mm("0.10")), Answer.REFUSES))
        if close:
            bench.do(CloseSession())
        journal.close()
        return journal.path

    return kept


def written(path: Path) -> dict[str, dict[str, Any]]:
    """The tables in a file of the register."""
    tables = AtomicStorage(path).read()
    assert tables is not None
    return tables


def sessions(data: DataFolder) -> list[str]:
    return [row.session for row in Register(data).rows()]


def recorded(data: DataFolder, engine: str = "pump") -> list[str]:
    return [record.session for record in Register(data).records(engine)]


def test_an_empty_folder_has_no_sessions_and_looking_writes_nothing(data: DataFolder) -> None:
    assert sessions(data) == []
    assert recorded(data) == []
    assert list(data.root.iterdir()) == []


def test_rows_come_newest_first_and_records_oldest_first(data: DataFolder, keep: Keep) -> None:
    keep("a", day=2)
    keep("b", day=3)
    keep("c", day=1)
    keep("d", "winch", day=4)
    assert sessions(data) == ["d", "b", "a", "c"]
    assert recorded(data) == ["c", "a", "b"]
    assert recorded(data, "winch") == ["d"]


def test_a_row_tells_what_the_list_needs(data: DataFolder, keep: Keep) -> None:
    keep("a")
    row = Register(data).rows()[0]
    assert (row.engine, row.engine_name, row.hours) == ("pump", "Pump", Fraction(1))
    assert (row.closed, row.complete, row.damage, row.verdicts) == (True, True, "", "1 in")


def test_a_record_comes_back_as_it_went(data: DataFolder, keep: Keep) -> None:
    keep("a")
    first = Register(data).records("pump")
    again = Register(data).records("pump")
    assert first == again
    assert isinstance(first[0], SessionRecord)
    assert first[0].valves[0].found == first[0].valves[0].left


def test_files_that_arrive_change_or_go_are_noticed(data: DataFolder, keep: Keep) -> None:
    register = Register(data)
    assert register.rows() == []
    keep("a")
    path = keep("b", day=2, close=False)
    assert [row.session for row in register.rows()] == ["b", "a"]
    assert [row.closed for row in register.rows()] == [False, True]

    journal, before = FileJournal.resume(path)
    bench = Bench(journal, lambda: datetime(2026, 5, 2, 10, tzinfo=UTC), before.events)
    bench.do(Noted("next day"))
    bench.do(CloseSession())
    journal.close()
    assert [row.closed for row in register.rows()] == [True, True]
    assert register.records("pump")[-1].notes == ("next day",)

    content = path.read_bytes()
    path.unlink()
    for again in (register, Register(data)):
        lost, kept = again.rows()
        assert (lost.session, lost.complete, kept.session) == ("b", False, "a")
        assert "its file is gone: 6 events were known" in lost.damage
        assert [record.session for record in again.records("pump")] == ["a"]
    path.write_bytes(content)
    assert [row.damage for row in register.rows()] == ["", ""]


def test_a_file_that_has_lost_its_end_is_damaged_until_it_is_whole_again(
    data: DataFolder, keep: Keep
) -> None:
    path = keep("a")
    whole = path.read_bytes()
    assert Register(data).rows()[0].complete
    lines = whole.splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:-1]))
    for _ in range(2):
        row = Register(data).rows()[0]
        assert "4 of 5 known events are left" in row.damage
        assert not row.complete
        assert not Register(data).records("pump")[0].complete
        path.write_bytes(b"".join(lines[:-1]) + b"\0" * 9)  # torn and worse, and as short as before
        assert Register(data).rows()[0].damage
        path.write_bytes(b"".join(lines[:-1]))
    path.write_bytes(whole)
    row = Register(data).rows()[0]
    assert (row.damage, row.complete) == ("", True)


def test_taking_in_one_session_shows_it_to_the_next_program(data: DataFolder, keep: Keep) -> None:
    register = Register(data)
    register.rows()
    keep("a")
    register.take_in("a")
    rows = written(data.register / "lists" / "pump.json")["rows"]
    assert [row["session"] for row in rows.values()] == ["a"]


def test_a_missing_register_is_rebuilt(data: DataFolder, keep: Keep) -> None:
    keep("a")
    keep("b", day=2)
    before = Register(data).records("pump")
    shutil.rmtree(data.register)
    assert sessions(data) == ["b", "a"]
    assert Register(data).records("pump") == before


def test_a_missing_file_of_one_engine_is_rebuilt(data: DataFolder, keep: Keep) -> None:
    keep("a")
    assert recorded(data) == ["a"]
    (data.register / "engines" / "pump.json").unlink()
    assert recorded(data) == ["a"]


def test_records_lost_from_the_file_of_one_engine_are_found_again(
    data: DataFolder, keep: Keep
) -> None:
    keep("a")
    keep("b", day=2)
    assert recorded(data) == ["a", "b"]
    path = data.register / "engines" / "pump.json"
    tables = written(path)
    tables["records"].popitem()
    AtomicStorage(path).write(tables)
    assert recorded(data) == ["a", "b"]


DAMAGE = ["", "{", "[]", "null", '{"records": 3}', '{"records": {"1": 4}, "rows": {"1": 4}}']


@pytest.mark.parametrize("text", DAMAGE)
@pytest.mark.parametrize("name", ["lists/pump.json", "engines/pump.json"])
def test_a_damaged_register_is_rebuilt(data: DataFolder, keep: Keep, name: str, text: str) -> None:
    keep("a")
    assert recorded(data) == ["a"]
    (data.register / name).write_text(text)
    assert sessions(data) == ["a"]
    assert recorded(data) == ["a"]
    keep("b", day=2)
    (data.register / name).write_text(text)
    assert sessions(data) == ["b", "a"]
    assert recorded(data) == ["a", "b"]


@pytest.mark.parametrize("change", [{"more": 1}, {"valves": None}, {"started": "long ago"}])
def test_records_of_another_shape_are_rebuilt(
    data: DataFolder, keep: Keep, change: dict[str, object]
) -> None:
    keep("a")
    before = Register(data).records("pump")
    path = data.register / "engines" / "pump.json"
    tables = written(path)
    tables["records"]["1"].update(change)
    AtomicStorage(path).write(tables)
    assert Register(data).records("pump") == before


def test_one_damaged_list_of_two_has_its_own_sessions_read_again_and_no_others(
    data: DataFolder, keep: Keep
) -> None:
    keep("a")
    keep("b", "winch", day=2)
    before = Register(data).rows()
    (data.register / "lists" / "winch.json").write_text("{")
    register = Register(data)
    read: list[int] = []
    register.progress = lambda _, of: read.append(of)
    assert register.rows() == before
    assert read == [1]


def test_the_list_of_an_older_program_goes(data: DataFolder, keep: Keep) -> None:
    keep("a")
    data.register.mkdir()
    (data.register / "list.json").write_text("{}")
    assert sessions(data) == ["a"]
    assert sorted(p.name for p in data.register.iterdir()) == ["engines", "lists"]


def test_a_list_that_could_not_be_written_is_written_when_there_is_room_again(
    data: DataFolder, keep: Keep, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep("a")
    keep("b", "winch", day=2)
    register = Register(data)
    replaced = os.replace

    def no_room_for_one(source: str, target: Path) -> None:
        if Path(target).name == "winch.json":
            raise OSError(errno.ENOSPC, "No space left on device")
        replaced(source, target)

    monkeypatch.setattr(os, "replace", no_room_for_one)
    register.rows()
    register.take_in("a")
    assert "No space" in register.trouble, "still said after another engine's was written"
    monkeypatch.undo()
    register.rows()
    assert register.trouble == ""
    assert (data.register / "lists" / "winch.json").exists()


def test_a_register_of_an_older_shape_is_rebuilt(data: DataFolder, keep: Keep) -> None:
    keep("a")
    before = Register(data).rows()
    path = data.register / "lists" / "pump.json"
    tables = written(path)
    tables["shape"]["1"]["shape"] = SHAPE - 1
    tables["rows"]["1"]["engine"] = "something else"
    AtomicStorage(path).write(tables)
    assert Register(data).rows() == before


def test_a_damaged_session_is_shown_as_damaged_and_never_counts(
    data: DataFolder, keep: Keep
) -> None:
    path = keep("a")
    lines = path.read_bytes().splitlines(keepends=True)
    lines[2] = lines[2].replace(b'"free"', b'"drag"')
    path.write_bytes(b"".join(lines))
    before = path.read_bytes()
    row = Register(data).rows()[0]
    assert row.damage.startswith("line 3: the checksum")
    assert (row.complete, row.engine) == (False, "pump")
    assert not Register(data).records("pump")[0].complete
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"\n", b"half a li", b"\xff\xfe\n"])
def test_a_file_that_is_no_session_is_listed_and_hurts_nothing(
    data: DataFolder, keep: Keep, content: bytes
) -> None:
    keep("a")
    (data.sessions / "odd.session").write_bytes(content)
    rows = {row.session: row for row in Register(data).rows()}
    assert rows["odd"].damage
    assert not rows["odd"].complete
    assert rows["a"].complete


def test_an_empty_file_that_a_kill_at_the_opening_left_is_swept(
    data: DataFolder, keep: Keep
) -> None:
    known = keep("a")
    sessions(data)
    known.write_bytes(b"")
    left = data.sessions / "b.session"
    left.touch()
    assert sorted(sessions(data)) == ["a", "b"], "the program may still be at work"
    for path in (known, left):
        long_ago = path.stat().st_mtime - STILL_AT_WORK - 5
        os.utime(path, (long_ago, long_ago))
    assert sessions(data) == ["a"], "one that held something is named, not removed"
    assert known.exists()
    assert not left.exists()


def test_a_session_that_cannot_be_read_at_all_is_listed_too(data: DataFolder, keep: Keep) -> None:
    keep("a")
    (data.sessions / "odd.session").mkdir()
    rows = {row.session: row for row in Register(data).rows()}
    assert "cannot be read" in rows["odd"].damage


def test_a_syncing_programs_copy_that_holds_nothing_more_is_not_listed(
    data: DataFolder, keep: Keep
) -> None:
    path = keep("a")
    lines = path.read_bytes().splitlines(keepends=True)
    copy = path.with_name("a (conflict of the van's laptop).session")
    for kept in (lines, lines[:3]):
        copy.write_bytes(b"".join(kept))
        assert sessions(data) == ["a"]
        assert recorded(data) == ["a"]
    path.write_bytes(b"".join(lines[:2]))
    shutil.rmtree(data.register)
    assert sessions(data) == [copy.stem]
    path.write_bytes(b"".join(lines))
    assert sessions(data) == ["a"]


def test_a_session_gone_on_with_elsewhere_is_listed_once_and_counts_once(
    data: DataFolder, keep: Keep
) -> None:
    path = keep("a", close=False)
    note_of_another_machine(path)
    journal, before = FileJournal.resume(path)
    assert journal.path != path
    bench = Bench(journal, lambda: datetime(2026, 5, 2, 10, tzinfo=UTC), before.events)
    bench.do(CloseSession())
    journal.close()
    own = journal.path.stem
    row = Register(data).rows()[0]
    assert (sessions(data), recorded(data)) == ([own], [own])
    assert (row.opened_as, row.forked, row.complete) == ("a", False, True)
    journal.path.unlink()
    lost, first = sorted(Register(data).rows(), key=lambda r: not r.damage)
    assert (lost.session, first.session, first.unfinished) == (own, "a", True)


def note_of_another_machine(path: Path) -> None:
    (path.parent.parent / "locks" / f"{path.stem}.ours").unlink()


def test_both_of_a_fork_are_listed_each_under_its_own_id(data: DataFolder, keep: Keep) -> None:
    path = keep("a", close=False)
    note_of_another_machine(path)
    journal, before = FileJournal.resume(path)
    at = datetime(2026, 5, 2, 10, tzinfo=UTC)
    Bench(journal, lambda: at, before.events).do(Noted("here"))
    journal.close()
    own = journal.path.stem
    other, _ = FileJournal.resume(path)
    Bench(other, lambda: at, before.events).do(Noted("there"))
    other.close()
    path.write_bytes(other.path.read_bytes())  # as the machine that began it would have gone on
    other.path.unlink()
    rows = {row.session: row.forked for row in Register(data).rows()}
    assert rows == {"a": False, own: True}
    shop = Workshop(data, lambda: at)
    shop.past_sessions.rows()
    assert [shop.past_sessions.past(s).record.session for s in ("a", own)] == ["a", own]
    assert [shop.past_sessions.past(s).record.notes for s in ("a", own)] == [("there",), ("here",)]


def test_what_killed_writers_left_is_swept_at_start(data: DataFolder, keep: Keep) -> None:
    keep("a")
    assert recorded(data) == ["a"]
    litter = [data.register / part / f"{TEMP_PREFIX}x" for part in ("", "lists", "engines")]
    for path in litter:
        path.write_text("{")
        long_ago = path.stat().st_mtime - STILL_AT_WORK - 5
        os.utime(path, (long_ago, long_ago))
    assert sessions(data) == ["a"]
    assert not any(path.exists() for path in litter)


def test_a_register_that_cannot_be_written_says_so(
    data: DataFolder, keep: Keep, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep("a")

    def full(*arguments: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    register = Register(data)
    assert [row.session for row in register.rows()] == ["a"]
    assert "No space" in register.trouble
    assert [r.session for r in register.records("pump")] == ["a"]
    register.take_in("a")
    assert "No space" in register.trouble
    monkeypatch.undo()
    assert register.rows()[0].complete
    assert register.trouble == "", "it was tried again"
    assert (data.register / "lists" / "pump.json").exists()


def test_whoever_waits_is_told_how_far_the_reading_is(data: DataFolder, keep: Keep) -> None:
    for number in range(AT_ONCE + 1):
        keep(f"s{number:03}")
    told: list[tuple[int, int]] = []
    register = Register(data)
    register.progress = lambda count, of: told.append((count, of))
    assert len(register.rows()) == AT_ONCE + 1
    assert told == [(AT_ONCE, AT_ONCE + 1), (AT_ONCE + 1, AT_ONCE + 1)]
    register.rows()
    assert len(told) == 2, "what is known is not read again"


@pytest.fixture
def by_several(monkeypatch: pytest.MonkeyPatch) -> None:
    """Other processes read, few files at a time."""
    monkeypatch.setattr(many, "MANY", 1)
    monkeypatch.setattr(many, "AT_ONCE", 3)
    monkeypatch.setattr(many, "cores", lambda: 2)


def test_several_processes_read_what_one_reads(
    data: DataFolder, keep: Keep, by_several: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(10):
        keep(f"20260501-090000-pump-{number:010x}", day=number + 1)
        keep(f"20260501-090000-winch-{number:010x}", "winch", day=number + 1)
    (data.sessions / "odd.session").write_bytes(b"odd")
    rows, records = Register(data).rows(), Register(data).records("pump")
    shutil.rmtree(data.register)
    monkeypatch.setattr(many, "cores", lambda: 1)
    assert (Register(data).rows(), Register(data).records("pump")) == (rows, records)
    assert len(rows) == 21


@pytest.mark.parametrize("process", ["/bin/false", "/nowhere", ""])
def test_where_no_other_process_helps_one_reads_all(
    data: DataFolder, keep: Keep, by_several: None, process: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(10):
        keep(f"20260501-090000-pump-{number:010x}", day=number + 1)
    monkeypatch.setattr(sys, "executable", process)
    assert len(sessions(data)) == 10


class Enough(Exception):
    """The one who waited has had enough."""


@pytest.mark.parametrize("how", [(1, "stop"), (1, "raise"), (2, "stop"), (2, "raise")])
def test_reading_that_was_stopped_goes_on_where_it_stood(
    data: DataFolder,
    keep: Keep,
    by_several: None,
    monkeypatch: pytest.MonkeyPatch,
    how: tuple[int, str],
) -> None:
    cores, way = how
    monkeypatch.setattr(many, "cores", lambda: cores)
    for number in range(12):
        keep(f"20260501-090000-pump-{number:010x}", day=number + 1)
    first = Register(data)

    def enough(count: int, of: int) -> None:
        if count >= 6 and way == "raise":
            raise Enough
        if count >= 6:
            first.stop()

    first.progress = enough
    if way == "raise":
        with pytest.raises(Enough):
            first.rows()
    else:
        assert len(first.rows()) == 6
    told: list[tuple[int, int]] = []
    second = Register(data)
    second.progress = lambda count, of: told.append((count, of))
    assert len(second.rows()) == 12
    assert told[-1] == (6, 6), "six were read before"
    assert len(Register(data).records("pump")) == 12


def test_a_session_out_of_reach_is_named_and_read_once_it_can_be(
    data: DataFolder, keep: Keep, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep("a")
    path = keep("b", day=2)
    real = read_session

    def forbidden(asked: Path) -> Recorded:
        if asked == path:
            raise PermissionError(errno.EACCES, "Permission denied", str(asked))
        return real(asked)

    monkeypatch.setattr("benchtui.store.rows.read_session", forbidden)
    found = {row.session: row for row in Register(data).rows()}
    assert found["b"].damage == "it cannot be read: Permission denied"
    assert found["a"].complete
    monkeypatch.undo()
    assert {row.session: row.damage for row in Register(data).rows()} == {"a": "", "b": ""}


def test_a_folder_that_cannot_be_listed_is_said_and_is_not_an_empty_one(
    data: DataFolder, keep: Keep
) -> None:
    keep("a")
    assert sessions(data) == ["a"]
    data.sessions.rename(data.root / "elsewhere")
    data.sessions.write_text("in its place")
    register = Register(data)
    assert [row.session for row in register.rows()] == ["a"]
    assert "sessions cannot be read" in register.trouble
    data.sessions.unlink()
    (data.root / "elsewhere").rename(data.sessions)
    assert [row.session for row in register.rows()] == ["a"]
    assert register.trouble == ""


@pytest.mark.parametrize("name", ["lists/pump.json", "engines/pump.json"])
def test_every_flipped_bit_of_the_register_is_noticed(
    data: DataFolder, keep: Keep, name: str
) -> None:
    keep("a")
    before = recorded(data), Register(data).rows()
    path = data.register / name
    sound = path.read_bytes()
    for bit in range(8 * len(sound)):
        flipped = bytearray(sound)
        flipped[bit // 8] ^= 1 << bit % 8
        assert tables_within(bytes(flipped)) is None
    for bit in range(0, 8 * len(sound), 4001):
        flipped = bytearray(sound)
        flipped[bit // 8] ^= 1 << bit % 8
        path.write_bytes(flipped)
        with pytest.raises(StoreDamaged):
            AtomicStorage(path).read()
        assert (recorded(data), Register(data).rows()) == before
        assert path.read_bytes() == sound


def test_an_engines_name_out_of_a_session_is_never_a_path(data: DataFolder, keep: Keep) -> None:
    keep("a", "../../sheets/pump")
    assert recorded(data, "../../sheets/pump") == ["a"]
    assert not (data.root / "sheets").exists()
    assert sorted(p.name for p in data.root.iterdir()) == ["locks", "register", "sessions"]
