from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import (
    AddNote,
    CloseSession,
    ConfirmPosition,
    TakeReading,
)
from benchtui.domain.session.facts.events import Evidence, Opened, Particulars
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import (
    Adjuster,
    AdjusterKind,
    Band,
    Clearances,
    Cylinder,
    GapRole,
    Layout,
    Sheet,
    Valve,
    ValveKind,
)
from benchtui.store.journal import FileJournal, WriteFailed
from benchtui.store.paths import DataFolder
from benchtui.store.register import SHAPE, TOLD_EVERY, Register
from benchtui.store.storage import STILL_AT_WORK, TEMP_PREFIX

BLADES = BladeSet("Set", tuple(Leaf(Length.mm(t)) for t in ("0.06", "0.10")))
VALVE = Valve("1I", "1", ValveKind.INLET)


def sheet(engine: str) -> Sheet:
    return Sheet(
        engine,
        engine.title(),
        Layout((Cylinder("1", Fraction(0), (VALVE,)),)),
        Clearances(
            ((ValveKind.INLET, GapRole.OPENER, Band(Length.mm("0.06"), Length.mm("0.10"))),)
        ),
        Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.75")),
    )


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
        bench.do(TakeReading("1I", BLADES.feeler(Length.mm("0.06")), Answer.FREE))
        bench.do(TakeReading("1I", BLADES.feeler(Length.mm("0.10")), Answer.REFUSES))
        if close:
            bench.do(CloseSession())
        journal.close()
        return journal.path

    return kept


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
    bench.do(AddNote("next day"))
    bench.do(CloseSession())
    journal.close()
    assert [row.closed for row in register.rows()] == [True, True]
    assert register.records("pump")[-1].notes == ("next day",)

    path.unlink()
    assert [row.session for row in register.rows()] == ["a"]
    assert [record.session for record in register.records("pump")] == ["a"]
    assert sessions(data) == ["a"]


def test_taking_in_one_session_shows_it_to_the_next_program(data: DataFolder, keep: Keep) -> None:
    register = Register(data)
    register.rows()
    keep("a")
    register.take_in("a")
    assert json.loads((data.register / "list.json").read_text())["rows"]["1"]["session"] == "a"


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
    tables = json.loads(path.read_text())
    tables["records"].popitem()
    path.write_text(json.dumps(tables))
    assert recorded(data) == ["a", "b"]


DAMAGE = ["", "{", "[]", "null", '{"records": 3}', '{"records": {"1": 4}, "rows": {"1": 4}}']


@pytest.mark.parametrize("text", DAMAGE)
@pytest.mark.parametrize("name", ["list.json", "engines/pump.json"])
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
    tables = json.loads(path.read_text())
    tables["records"]["1"].update(change)
    path.write_text(json.dumps(tables))
    assert Register(data).records("pump") == before


def test_a_register_of_an_older_shape_is_rebuilt(data: DataFolder, keep: Keep) -> None:
    keep("a")
    before = Register(data).rows()
    path = data.register / "list.json"
    tables = json.loads(path.read_text())
    tables["shape"]["1"]["shape"] = SHAPE - 1
    tables["rows"]["1"]["engine"] = "something else"
    path.write_text(json.dumps(tables))
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


def test_a_session_that_cannot_be_read_at_all_is_listed_too(data: DataFolder, keep: Keep) -> None:
    keep("a")
    (data.sessions / "odd.session").mkdir()
    rows = {row.session: row for row in Register(data).rows()}
    assert "cannot be read" in rows["odd"].damage


def test_a_syncing_programs_copy_is_a_session_of_its_own(data: DataFolder, keep: Keep) -> None:
    path = keep("a")
    shutil.copyfile(path, path.with_name("a (conflict of the van's laptop).session"))
    assert len(sessions(data)) == 2
    assert sorted(recorded(data)) == sorted(sessions(data))


def test_what_killed_writers_left_is_swept_at_start(data: DataFolder, keep: Keep) -> None:
    keep("a")
    assert recorded(data) == ["a"]
    litter = [data.register / f"{TEMP_PREFIX}x", data.register / "engines" / f"{TEMP_PREFIX}y"]
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
    with pytest.raises(WriteFailed, match="No space"):
        register.take_in("a")


def test_whoever_waits_is_told_how_far_the_reading_is(data: DataFolder, keep: Keep) -> None:
    for number in range(2 * TOLD_EVERY + 1):
        keep(f"s{number:03}")
    told: list[tuple[int, int]] = []
    register = Register(data)
    register.progress = lambda count, of: told.append((count, of))
    assert len(register.rows()) == 2 * TOLD_EVERY + 1
    assert told == [(TOLD_EVERY, 41), (2 * TOLD_EVERY, 41)]
    register.rows()
    assert len(told) == 2, "what is known is not read again"
