"""One session gone on with on two machines and carried both ways by a real syncing program."""

from __future__ import annotations

import random
import shutil
import subprocess
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.session.facts.events import Noted, Opened
from benchtui.domain.session.steps.fold import fold
from benchtui.store.file_journal import FileJournal, is_ours
from benchtui.store.journal import SUFFIX, read_session
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

RECORD = Path(__file__).parent.parent / "records" / "screws-1.session"
RSYNC = shutil.which("rsync")

pytestmark = pytest.mark.skipif(RSYNC is None, reason="rsync is not installed here")

ticks = count()


def clock() -> datetime:
    return datetime(2026, 5, 4, 9, tzinfo=UTC) + timedelta(seconds=next(ticks))


class Machine:
    """A data folder of its own and what was confirmed on it."""

    def __init__(self, folder: Path) -> None:
        self.data = DataFolder(folder)
        self.data.sessions.mkdir(parents=True)

    def begin(self) -> None:
        opening = read_session(RECORD).events[0].fact
        assert isinstance(opening, Opened)
        journal = FileJournal.create(self.data.sessions, opening.session)
        Bench.open(journal, clock, opening)
        journal.close()

    def shop(self) -> Workshop:
        return Workshop(self.data, clock)

    def go_on(self, *texts: str, row: int = 0) -> None:
        live = self.shop().open_sessions.resume(self.shop().past_sessions.unfinished()[row].session)
        for text in texts:
            live.bench.do(Noted(text))
        live.release()

    def branches(self) -> dict[str, list[str]]:
        """The notes of every session that is listed."""
        shop = self.shop()
        listed = [row.session for row in shop.past_sessions.rows()]
        assert all(not row.damage for row in shop.past_sessions.rows())
        return {s: [n.text for n in fold(shop.past_sessions.past(s).events).notes] for s in listed}


def sync(one: Machine, other: Machine, *, whole: bool) -> None:
    """Newer wins, both ways: the sessions alone, or the whole data folder."""
    for here, there in ((one, other), (other, one)):
        part = "" if whole else "sessions/"
        command = [str(RSYNC), "-a", "--update", f"{here.data.root}/{part}"]
        subprocess.run([*command, f"{there.data.root}/{part}"], check=True, timeout=60)


@pytest.fixture
def machines(tmp_path: Path) -> tuple[Machine, Machine]:
    return Machine(tmp_path / "one"), Machine(tmp_path / "other")


@pytest.mark.parametrize("whole", [False, True])
def test_both_branches_are_there_on_both(machines: tuple[Machine, Machine], whole: bool) -> None:
    one, other = machines
    one.begin()
    one.go_on("before")
    sync(one, other, whole=whole)
    one.go_on("on the first")
    other.go_on("on the second", "and again")
    sync(one, other, whole=whole)
    branches = one.branches()
    assert sorted(branches.values()) == [
        ["before", "on the first"],
        ["before", "on the second", "and again"],
    ]
    assert other.branches() == branches
    shop = one.shop()
    shop.past_sessions.rows()
    ids = [shop.past_sessions.past(s).record.session for s in branches]
    assert sorted(ids) == sorted(branches), "each has an id of its own in what is exported"


def test_whoever_goes_on_after_the_other_goes_on_from_there(
    machines: tuple[Machine, Machine],
) -> None:
    one, other = machines
    one.begin()
    told = []
    for turn in range(6):
        told.append(f"step {turn}")
        (one, other)[turn % 2].go_on(told[-1])
        sync(one, other, whole=False)
        assert list(one.branches().values()) == list(other.branches().values()) == [told]


def test_only_the_machine_that_wrote_a_file_takes_it_for_its_own(
    machines: tuple[Machine, Machine],
) -> None:
    one, other = machines
    one.begin()
    sync(one, other, whole=False)
    path = next(one.data.sessions.glob(f"*{SUFFIX}"))
    assert is_ours(path, path.stat().st_size)
    copy = next(other.data.sessions.glob(f"*{SUFFIX}"))
    assert not is_ours(copy, copy.stat().st_size)


@pytest.mark.parametrize("seed", range(4))
def test_whatever_the_order_nothing_confirmed_is_lost(
    machines: tuple[Machine, Machine], seed: int
) -> None:
    draw = random.Random(seed)  # noqa: S311  # drawn, not secret
    one, other = machines
    one.begin()
    sync(one, other, whole=False)
    told: list[str] = []

    def write(machine: Machine) -> Callable[[], None]:
        def go() -> None:
            told.append(f"note {len(told)}")
            rows = machine.shop().past_sessions.unfinished()
            machine.go_on(told[-1], row=draw.randrange(len(rows)))

        return go

    deeds: list[Callable[[], None]] = [
        write(one),
        write(other),
        lambda: sync(one, other, whole=False),
    ]
    for _ in range(14):
        draw.choice(deeds)()
    sync(one, other, whole=False)
    assert one.branches() == other.branches()
    kept = {text for notes in one.branches().values() for text in notes}
    assert kept == set(told)
