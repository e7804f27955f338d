"""An answer that the disk would not take: said in tall letters, tried again at the next key."""

from __future__ import annotations

import errno
from io import FileIO
from pathlib import Path

import pytest

from benchtui.domain.session.facts.events import ReadingTaken
from benchtui.store.file_journal import FileJournal
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.not_kept import NotKeptScreen
from tests.tui.shed import Shed, Tell, teller


@pytest.fixture
def tell(tmp_path: Path) -> Tell:
    return teller(tmp_path / "data")


async def at_the_bench(shed: Shed) -> FileJournal:
    await shed.begin("quay", "fine-metric", ("metal", "19 C"))
    await shed.keys("1", "2")
    assert isinstance(shed.app.screen, BenchScreen)
    assert shed.app.live is not None
    journal = shed.app.live._journal
    assert isinstance(journal, FileJournal)
    return journal


def readings(shed: Shed) -> int:
    return sum(isinstance(fact, ReadingTaken) for fact in shed.facts())


class Full(FileIO):
    full = True

    def write(self, data: bytes) -> int:  # type: ignore[override]  # bytes is all that comes
        if self.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        return super().write(data)


def test_a_full_disk_is_said_and_the_next_key_tries_again(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        journal = await at_the_bench(shed)
        full = Full(journal.path, "ab")
        journal._file = full
        await shed.keys("s")
        for _ in range(2):
            assert isinstance(shed.app.screen, NotKeptScreen)
            assert "No space left on device" in shed.screen()
            assert "Any key tries again" in shed.screen()
            assert readings(shed) == 0
            await shed.keys("s")
        full.full = False
        await shed.keys("s")
        assert isinstance(shed.app.screen, BenchScreen)
        assert "Recorded now." in shed.screen()
        assert readings(shed) == 1

    tell(story)


def test_esc_leaves_the_answer_unrecorded_and_says_so(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        journal = await at_the_bench(shed)
        journal._file = Full(journal.path, "ab")
        await shed.keys("s", "escape")
        assert isinstance(shed.app.screen, BenchScreen)
        assert "not recorded" in shed.screen()
        assert readings(shed) == 0

    tell(story)


def test_a_file_taken_away_is_said_and_the_next_key_records_the_answer_beside_it(
    tell: Tell,
) -> None:
    async def story(shed: Shed) -> None:
        journal = await at_the_bench(shed)
        await shed.keys("s")
        first = journal.path
        first.unlink()
        await shed.keys("s")
        assert isinstance(shed.app.screen, NotKeptScreen)
        assert "Nothing that was confirmed is lost" in shed.screen()
        await shed.keys("s")
        assert isinstance(shed.app.screen, BenchScreen)
        assert not first.exists()
        assert readings(shed) == 2

    tell(story)


def test_a_file_taken_away_while_no_key_is_pressed_is_said_too(tell: Tell) -> None:
    async def story(shed: Shed) -> None:
        journal = await at_the_bench(shed)
        await shed.keys("s")
        journal.path.unlink()
        shed.app._look_after()
        await shed.settle()
        assert isinstance(shed.app.screen, NotKeptScreen)
        assert readings(shed) == 1
        await shed.keys("s")
        assert isinstance(shed.app.screen, BenchScreen)

    tell(story)
