from __future__ import annotations

import dataclasses
import errno
import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from datetime import UTC, datetime
from fractions import Fraction
from io import FileIO
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.errors import NotKept
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import Undo
from benchtui.domain.session.facts.events import (
    Event,
    Fact,
    Locked,
    Noted,
    Opened,
    Particulars,
    ReadingTaken,
    ScrewTurned,
)
from benchtui.domain.session.steps.fold import fold
from benchtui.store.codec import encoded
from benchtui.store.file_journal import FileJournal, note_ours
from benchtui.store.journal import SessionBusy, WriteFailed, read_session
from tests.engines import band, fired, printed, sheet

AT = datetime(2026, 5, 4, 9, tzinfo=UTC)
LEAF = Leaf(Length.mm("0.08"))
SHEET = sheet("tiny", fired({"1": 0}, "I"), printed(band("0.06", "0.10")))
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
    assert (recorded.damage, recorded.torn) == (None, 0)
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


def test_a_sound_last_line_counts_without_its_end_and_the_rest_goes_on(written: Path) -> None:
    whole = written.read_bytes()
    written.write_bytes(whole[:-1])
    note_ours(written)
    read = read_session(written)
    assert (read.events, read.damage, read.torn) == (EVENTS, None, 0)
    journal, _ = FileJournal.resume(written)
    journal.append(Event(5, AT, Noted("on")))
    journal.close()
    assert written.read_bytes().startswith(whole)
    assert len(read_session(written).events) == 5


@pytest.mark.parametrize("length", [1, 15, 16, 17, 18, 30, 70, 101])
def test_a_torn_last_line_is_cut_off_and_the_rest_goes_on(written: Path, length: int) -> None:
    whole = written.read_bytes()
    further = encoded([*EVENTS, Event(5, AT, Noted("öl “wiped”"))])[len(whole) :]
    written.write_bytes(whole + further[:length])
    torn = read_session(written)
    assert (torn.events, torn.damage, torn.torn) == (EVENTS, None, length)
    journal, recorded = FileJournal.resume(written)
    assert recorded.events == EVENTS
    assert f"{length} bytes" in journal.told
    assert journal.path == written
    journal.append(Event(5, AT, Noted("again")))
    journal.close()
    assert read_session(written).events == (*EVENTS, Event(5, AT, Noted("again")))


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        (b"\0" * 40, "40 NUL bytes"),
        (b"0123456789abcdef " + b"\0" * 40, "40 NUL bytes"),
        (b"x" * 30, "checksum"),
        (b'0123456789abcdef {"n":9,"at":"2026', "checksum"),
        (b'0123456789abcdef {"n":5,"at":"2026", oops and more', "checksum"),
        (b'0123456789abcdef {"n":5,"at":"2026\r', "checksum"),
        (b'0123456789abcdef {"n":5,"at":"\xff\xfe', "codec"),
        (b"junk\njunk\njunk", "3 lines"),
    ],
)
def test_an_end_that_is_no_line_cut_short_is_damage_and_tells_how_much(
    written: Path, rest: bytes, said: str
) -> None:
    written.write_bytes(written.read_bytes() + rest)
    read = read_session(written)
    assert read.events == EVENTS
    assert read.damage is not None
    assert said in read.damage.reason
    assert f"({len(rest)} bytes) not used" in read.damage.reason


def test_a_sound_last_line_that_has_lost_its_end_and_a_bit_is_damage(written: Path) -> None:
    whole = written.read_bytes()
    written.write_bytes(whole[:-1].replace(b"locked", b"lockee"))
    assert read_session(written).damage is not None


def test_lines_of_another_session_of_the_same_engine_fit_nowhere(written: Path) -> None:
    lines = written.read_bytes().splitlines(keepends=True)
    opened = dataclasses.replace(OPENED, session="other")
    others = encoded([Event(1, AT, opened), *EVENTS[1:]]).splitlines(keepends=True)
    for at in range(1, len(lines)):
        written.write_bytes(b"".join([*lines[:at], others[at], *lines[at + 1 :]]))
        damage = read_session(written).damage
        assert damage is not None
        assert damage.line == at + 1


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
    path.write_bytes(encoded(EVENTS[i] for i in order))
    recorded = read_session(path)
    assert recorded.damage is not None or not recorded.events
    with pytest.raises(WriteFailed):
        FileJournal.resume(path)


def test_a_second_opening_is_damage(folder: Path) -> None:
    folder.mkdir()
    path = folder / "odd.session"
    again = Event(2, AT, OPENED)
    path.write_bytes(encoded([EVENTS[0], again]))
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
        from benchtui.store.file_journal import FileJournal
        from benchtui.store.journal import SessionBusy
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


class _Full(FileIO):
    """A file on a disk with room for so many bytes only."""

    room = 0

    def write(self, data: bytes) -> int:  # type: ignore[override]  # bytes is all that is written here
        if self.room <= 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        taken = super().write(data[: self.room])
        self.room -= taken
        return taken


@pytest.mark.parametrize("room", [0, 1, 40])
def test_on_a_full_disk_nothing_changes_and_the_next_step_tries_again(
    opened: FileJournal, monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    full = _Full(opened.path, "ab")
    full.room = room
    bench = Bench(opened, lambda: AT, EVENTS[:1])
    monkeypatch.setattr(opened, "_file", full)
    before = bench.state
    for _ in range(2):
        with pytest.raises(WriteFailed, match="cannot write") as caught:
            bench.do(Noted("one word too many"))
        assert caught.value.tall == "DISK FULL"
        assert bench.state == before
        assert read_session(opened.path).events == EVENTS[:1]
    full.room = 10_000
    bench.do(Noted("room again"))
    assert opened.path.stem == "one"
    assert [n.text for n in fold(read_session(opened.path).events).notes] == ["room again"]


def test_a_disk_that_fails_at_every_write_to_the_file_is_left_for_another_file(
    opened: FileJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(opened, lambda: AT, EVENTS[:1])
    bench.do(Noted("before"))
    first = opened.path

    def broken(*_: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", broken)
        with pytest.raises(WriteFailed, match="Input/output"):
            bench.do(Noted("lost"))
    with monkeypatch.context() as patch:
        patch.setattr(os, "ftruncate", broken)  # the file itself stays out of reach
        bench.do(Noted("after"))
    assert opened.path != first
    assert [n.text for n in fold(read_session(opened.path).events).notes] == ["before", "after"]


def test_an_opening_that_could_not_be_written_leaves_no_session(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    journal = FileJournal.create(folder, "one")
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        with pytest.raises(NotKept, match="No space"):
            Bench.open(journal, lambda: AT, OPENED)
    assert list(folder.iterdir()) == []
    Bench.open(journal, lambda: AT, OPENED)
    journal.close()
    assert read_session(journal.path).events == EVENTS[:1]


def test_a_folder_that_cannot_be_made_is_an_error_that_says_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(WriteFailed, match="cannot begin"):
        FileJournal.create(tmp_path / "file" / "sessions", "one")


def test_undo_reaches_across_a_restart(opened: FileJournal) -> None:
    bench = Bench(opened, lambda: AT, EVENTS[:1])
    blade = Feeler((LEAF,))
    bench.do(ReadingTaken("1I", blade, Answer.DRAG))
    kept = bench.state
    bench.do(Locked("1I"))
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
from io import FileIO
from pathlib import Path
from datetime import UTC, datetime
from benchtui.domain.session.facts.events import Event, Noted
from benchtui.store.file_journal import FileJournal
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
