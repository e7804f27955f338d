"""One session in two versions, brought together: nothing of either is ever lost."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchtui.store.bundle import BundleError, pack
from benchtui.store.file_journal import FileJournal
from benchtui.store.joining import Joined, beside, join
from benchtui.store.journal import read_session
from benchtui.store.paths import DataFolder
from benchtui.store.taking_in import TakenIn, take_in

RECORD = Path(__file__).parent.parent / "records" / "screws-1.session"
LINES = RECORD.read_bytes().splitlines(keepends=True)
WHOLE = b"".join(LINES)


@pytest.fixture
def here(tmp_path: Path) -> Path:
    path = tmp_path / "data" / "sessions" / "s.session"
    path.parent.mkdir(parents=True)
    return path


@pytest.mark.parametrize("count", range(1, len(LINES)))
def test_the_longer_is_taken_where_one_begins_with_the_other(here: Path, count: int) -> None:
    shorter = b"".join(LINES[:count])
    here.write_bytes(shorter)
    assert join(here, WHOLE) is Joined.AHEAD
    assert here.read_bytes() == WHOLE
    assert join(here, shorter) is Joined.BEHIND
    assert here.read_bytes() == WHOLE


def test_a_torn_end_is_gone_on_from_too(here: Path) -> None:
    here.write_bytes(WHOLE[:-7])
    assert join(here, WHOLE) is Joined.AHEAD
    assert read_session(here).damage is None


def test_a_fork_touches_nothing(here: Path) -> None:
    mine = b"".join(LINES[:3])
    here.write_bytes(mine)
    assert join(here, b"".join(LINES[:2]) + LINES[3]) is Joined.FORKED
    assert here.read_bytes() == mine


@pytest.mark.parametrize("tail", [b"00000000 {}\n", b"half a line"])
def test_a_sound_session_is_never_replaced_by_a_damaged_one(here: Path, tail: bytes) -> None:
    here.write_bytes(LINES[0])
    assert join(here, LINES[0] + tail) is Joined.DAMAGED
    assert here.read_bytes() == LINES[0]


def test_a_session_that_is_being_written_waits(here: Path) -> None:
    here.write_bytes(LINES[0])
    journal, _ = FileJournal.resume(here)
    assert join(here, WHOLE) is Joined.BUSY
    journal.close()
    assert join(here, WHOLE) is Joined.AHEAD


def brought(tmp_path: Path, here: Path, theirs: bytes) -> TakenIn:
    there = DataFolder(tmp_path / f"there{len(theirs)}")
    there.sessions.mkdir(parents=True)
    (there.sessions / here.name).write_bytes(theirs)
    pack(there, tmp_path / f"{len(theirs)}.zip")
    return take_in(tmp_path / f"{len(theirs)}.zip", DataFolder(here.parent.parent))


def test_both_of_a_fork_are_kept_and_named_however_often_they_come(
    tmp_path: Path, here: Path
) -> None:
    mine, theirs = b"".join(LINES[:3]), b"".join(LINES[:2]) + LINES[3]
    here.write_bytes(mine)
    told = brought(tmp_path, here, theirs)
    other = beside(here, theirs)
    assert told.forked == [("sessions/s.session", other.stem)]
    assert (here.read_bytes(), other.read_bytes()) == (mine, theirs)
    again = take_in(tmp_path / f"{len(theirs)}.zip", DataFolder(here.parent.parent))
    assert (again.same, again.forked) == (["sessions/s.session"], [])
    assert sorted(p.name for p in here.parent.iterdir()) == sorted([here.name, other.name])


def test_a_full_disk_leaves_the_shorter_as_it_was(
    tmp_path: Path, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here.write_bytes(LINES[0])
    there = DataFolder(tmp_path / "there")
    there.sessions.mkdir(parents=True)
    (there.sessions / here.name).write_bytes(WHOLE)
    pack(there, tmp_path / "all.zip")

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BundleError, match="No space left"):
        take_in(tmp_path / "all.zip", DataFolder(here.parent.parent))
    assert here.read_bytes() == LINES[0]
    assert [p.name for p in here.parent.iterdir()] == [here.name]


def test_killed_while_joining_one_of_the_two_is_there_whole(here: Path) -> None:
    """Joined to and fro by another process that is killed at some moment or other."""
    script = (
        "import sys; from pathlib import Path; from benchtui.store.joining import join\n"
        "here, whole = Path(sys.argv[1]), Path(sys.argv[2]).read_bytes()\n"
        "while True:\n"
        "    join(here, whole); print(1, flush=True)\n"
        "    here.with_suffix('.short').write_bytes(first := whole.splitlines(True)[0])\n"
        "    here.with_suffix('.short').replace(here)\n"
    )
    for rounds in (1, 4, 9):
        here.write_bytes(LINES[0])
        with subprocess.Popen(
            [sys.executable, "-c", script, str(here), str(RECORD)], stdout=subprocess.PIPE
        ) as writer:
            assert writer.stdout is not None
            for _ in range(rounds):
                writer.stdout.readline()
            writer.kill()
        assert here.read_bytes() in (LINES[0], WHOLE)
