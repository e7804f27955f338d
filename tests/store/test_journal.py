from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.bench import Bench, BenchStopped
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.errors import BenchError
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import AddNote, LockNut, TakeReading, Undo
from benchtui.domain.session.facts.events import (
    Event,
    Fact,
    Locked,
    Noted,
    Opened,
    Particulars,
    ScrewTurned,
)
from benchtui.domain.session.steps.fold import fold
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
from benchtui.store.codec import encode
from benchtui.store.journal import FileJournal, SessionBusy, WriteFailed, read_session

AT = datetime(2026, 5, 4, 9, tzinfo=UTC)
VALVE = Valve("1I", "1", ValveKind.INLET)
BAND = Band(Length.mm("0.06"), Length.mm("0.10"))
LEAF = Leaf(Length.mm("0.08"))
SHEET = Sheet(
    "tiny",
    "Tiny",
    Layout((Cylinder("1", Fraction(0), (VALVE,)),)),
    Clearances(((ValveKind.INLET, GapRole.OPENER, BAND),)),
    Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.75")),
)
OPENED = Opened("one", SHEET, "set", BladeSet("Set", (LEAF,)), Particulars())
FACTS: tuple[Fact, ...] = (
    OPENED,
    Noted("first"),
    ScrewTurned("1I", Way.OUT, Fraction(20)),
    Locked("1I"),
)
EVENTS = tuple(Event(n, AT, fact) for n, fact in enumerate(FACTS, start=1))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "sessions"


@pytest.fixture
def written(folder: Path) -> Path:
    journal = FileJournal.create(folder, "one")
    for event in EVENTS:
        journal.append(event)
    journal.close()
    return journal.path


@pytest.fixture
def opened(folder: Path) -> Iterator[FileJournal]:
    journal = FileJournal.create(folder, "one")
    journal.append(EVENTS[0])
    yield journal
    journal.close()


def test_what_was_written_is_read_again(written: Path) -> None:
    recorded = read_session(written)
    assert recorded.events == EVENTS
    assert (recorded.damage, recorded.torn) == (None, False)
    assert recorded.sound_bytes == written.stat().st_size


def test_each_event_is_synced_before_append_returns(
    opened: FileJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    sizes = []
    real = os.fsync

    def noting(handle: int) -> None:
        real(handle)
        sizes.append(os.fstat(handle).st_size)

    monkeypatch.setattr(os, "fsync", noting)
    opened.append(EVENTS[1])
    assert sizes == [opened.path.stat().st_size]
    assert read_session(opened.path).events == EVENTS[:2]


@pytest.mark.parametrize("lost", [1, 2, 30])
def test_a_torn_last_line_is_cut_off_and_the_rest_goes_on(written: Path, lost: int) -> None:
    written.write_bytes(written.read_bytes()[:-lost])
    torn = read_session(written)
    assert torn.events == EVENTS[:-1]
    assert (torn.torn, torn.damage) == (True, None)
    journal, recorded = FileJournal.resume(written)
    assert recorded.events == EVENTS[:-1]
    journal.append(EVENTS[-1])
    journal.close()
    assert read_session(written).events == EVENTS


def test_a_torn_line_is_only_looked_at_until_somebody_goes_on(written: Path) -> None:
    written.write_bytes(written.read_bytes()[:-5])
    before = written.read_bytes()
    read_session(written)
    assert written.read_bytes() == before


@pytest.mark.parametrize("line", [1, 2, 3, 4])
def test_a_damaged_line_keeps_what_is_before_it_and_nothing_is_dropped(
    written: Path, line: int
) -> None:
    lines = written.read_bytes().splitlines(keepends=True)
    lines[line - 1] = lines[line - 1].replace(b'"data"', b'"dato"')
    written.write_bytes(b"".join(lines))
    before = written.read_bytes()

    recorded = read_session(written)
    assert recorded.events == EVENTS[: line - 1]
    assert recorded.damage is not None
    assert recorded.damage.line == line
    assert "checksum" in recorded.damage.reason
    with pytest.raises(WriteFailed, match=f"damaged at line {line}"):
        FileJournal.resume(written)
    assert written.read_bytes() == before


def test_bytes_that_are_no_text_are_damage(written: Path) -> None:
    written.write_bytes(written.read_bytes().replace(b"first", b"fir\xff\xfe"))
    assert read_session(written).damage is not None


@pytest.mark.parametrize("order", [(0, 2), (0, 1, 1), (1,), (0, 0), ()])
def test_events_out_of_their_order_are_damage(folder: Path, order: tuple[int, ...]) -> None:
    folder.mkdir()
    path = folder / "odd.session"
    path.write_text("".join(encode(EVENTS[i]) + "\n" for i in order))
    recorded = read_session(path)
    assert recorded.damage is not None or not recorded.events
    with pytest.raises(WriteFailed):
        FileJournal.resume(path)


def test_a_second_opening_is_damage(folder: Path) -> None:
    folder.mkdir()
    path = folder / "odd.session"
    again = Event(2, AT, OPENED)
    path.write_text(encode(EVENTS[0]) + "\n" + encode(again) + "\n")
    recorded = read_session(path)
    assert recorded.damage is not None
    assert "begins with its opening" in recorded.damage.reason


def test_a_second_writer_is_refused_until_the_first_lets_go(opened: FileJournal) -> None:
    with pytest.raises(SessionBusy, match="another program"):
        FileJournal.resume(opened.path)
    opened.close()
    journal, _ = FileJournal.resume(opened.path)
    journal.close()


def test_a_second_writer_in_another_process_is_refused(opened: FileJournal) -> None:
    code = textwrap.dedent(
        f"""
        from pathlib import Path
        from benchtui.store.journal import FileJournal, SessionBusy
        try:
            FileJournal.resume(Path({str(opened.path)!r}))
        except SessionBusy:
            print("busy")
        """
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout == "busy\n"


def test_a_refused_resume_keeps_no_lock(written: Path) -> None:
    whole = written.read_bytes()
    written.write_bytes(b"x" + whole)
    with pytest.raises(WriteFailed):
        FileJournal.resume(written)
    written.write_bytes(whole)
    FileJournal.resume(written)[0].close()


def test_the_same_session_is_not_begun_twice(opened: FileJournal) -> None:
    with pytest.raises(WriteFailed, match="cannot begin"):
        FileJournal.create(opened.path.parent, "one")
    assert read_session(opened.path).events == EVENTS[:1]


def test_a_missing_session_cannot_be_gone_on_with(folder: Path) -> None:
    folder.mkdir()
    with pytest.raises(WriteFailed):
        FileJournal.resume(folder / "none.session")


class _Full:
    """A file on a disk with room for so many bytes only."""

    def __init__(self, path: Path, room: int) -> None:
        self._file = path.open("ab", buffering=0)
        self._room = room

    def write(self, data: bytes) -> int:
        if self._room <= 0:
            raise OSError(28, "No space left on device")
        taken = self._file.write(data[: self._room])
        self._room -= taken
        return taken

    def fileno(self) -> int:
        return self._file.fileno()

    def close(self) -> None:
        self._file.close()


@pytest.mark.parametrize("room", [0, 1, 40])
def test_on_a_full_disk_the_bench_stops_and_nothing_written_is_lost(
    opened: FileJournal, monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    bench = Bench(opened, lambda: AT, EVENTS[:1])
    monkeypatch.setattr(opened, "_file", _Full(opened.path, room))
    before = bench.state
    with pytest.raises(WriteFailed, match="cannot write"):
        bench.do(AddNote("one word too many"))
    assert bench.state == before
    with pytest.raises(BenchStopped):
        bench.do(AddNote("and another"))
    with pytest.raises(WriteFailed, match="earlier write failed"):
        opened.append(EVENTS[1])
    opened.close()

    journal, recorded = FileJournal.resume(opened.path)
    assert recorded.events == EVENTS[:1]
    again = Bench(journal, lambda: AT, recorded.events)
    again.do(AddNote("room again"))
    journal.close()
    assert [n.text for n in fold(read_session(opened.path).events).notes] == ["room again"]


def test_a_failed_sync_stops_the_bench_too(
    opened: FileJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(handle: int) -> None:
        raise OSError(5, "Input/output error")

    bench = Bench(opened, lambda: AT, EVENTS[:1])
    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(WriteFailed, match="Input/output"):
        bench.do(AddNote("x"))
    with pytest.raises(BenchStopped):
        bench.do(AddNote("x"))


def test_an_opening_that_could_not_be_written_leaves_no_session(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = FileJournal.create(folder, "one")
    monkeypatch.setattr(journal, "_file", _Full(journal.path, 10))
    with pytest.raises(BenchError):
        Bench.open(journal, lambda: AT, OPENED)
    assert list(folder.iterdir()) == []
    FileJournal.create(folder, "one").close()


def test_a_folder_that_cannot_be_made_is_an_error_that_says_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(WriteFailed, match="cannot begin"):
        FileJournal.create(tmp_path / "file" / "sessions", "one")


def test_undo_reaches_across_a_restart(opened: FileJournal) -> None:
    bench = Bench(opened, lambda: AT, EVENTS[:1])
    blade = Feeler((LEAF,))
    bench.do(TakeReading("1I", blade, Answer.DRAG))
    kept = bench.state
    bench.do(LockNut("1I"))
    opened.close()

    journal, recorded = FileJournal.resume(opened.path)
    again = Bench(journal, lambda: AT, recorded.events)
    undone = again.do(Undo())
    journal.close()
    assert undone.valves == kept.valves
    assert len(read_session(opened.path).events) == 4  # nothing that was written is ever removed
    assert fold(read_session(opened.path).events) == undone


WRITER = """
import sys
from fractions import Fraction
from pathlib import Path
from datetime import UTC, datetime
from benchtui.domain.session.facts.events import Event, Noted
from benchtui.store.journal import FileJournal
journal, recorded = FileJournal.resume(Path(sys.argv[1]))
number = len(recorded.events)
while True:
    number += 1
    journal.append(Event(number, datetime(2026, 5, 4, tzinfo=UTC), Noted("n" * (number % 400))))
    sys.stdout.write(f"{number}\\n")
    sys.stdout.flush()
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="the platform has no such signal")
def test_killed_while_writing_every_acknowledged_event_is_there(opened: FileJournal) -> None:
    opened.close()
    for killed_after in (1, 17, 60):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(opened.path)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            acknowledged = [int(writer.stdout.readline()) for _ in range(killed_after)]
            writer.kill()
            acknowledged += [int(line) for line in writer.stdout.read().split()]
        journal, recorded = FileJournal.resume(opened.path)
        journal.close()
        assert recorded.damage is None
        assert len(recorded.events) >= acknowledged[-1]
        assert [e.number for e in recorded.events] == list(range(1, len(recorded.events) + 1))
