from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tinydb import Storage, TinyDB, where
from tinydb.storages import MemoryStorage

from benchtui.store.storage import (
    STILL_AT_WORK,
    TEMP_PREFIX,
    AtomicStorage,
    StoreDamaged,
    sweep,
    write_whole,
)

OLD = {"rows": {"1": {"name": "old"}}}
NEW = {"rows": {"1": {"name": "new"}}}


@pytest.fixture(params=["memory", "atomic"])
def storage(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], Storage]:
    """The same tests against tinydb's own memory and against ours."""
    if request.param == "memory":
        return MemoryStorage
    return lambda: AtomicStorage(tmp_path / "deep" / "er" / "list.json")


def test_nothing_is_stored_at_first(storage: Callable[[], Storage]) -> None:
    assert storage().read() is None


def test_what_is_written_is_read(storage: Callable[[], Storage]) -> None:
    store = storage()
    store.write(OLD)
    assert store.read() == OLD
    store.write(NEW)
    assert store.read() == NEW


def test_a_database_works_on_it(storage: Callable[[], Storage]) -> None:
    with TinyDB(storage=storage) as db:
        table = db.table("rows")
        table.insert_multiple({"n": n, "even": n % 2 == 0} for n in range(6))
        table.update({"even": None}, where("n") == 4)
        table.remove(where("n") == 0)
        assert [d["n"] for d in table.search(where("even") == True)] == [2]  # noqa: E712  # a query
        assert len(table) == 5
        db.drop_table("rows")
        assert db.tables() == set()


@pytest.mark.parametrize(
    "document", [{"s": "öl \u2028 👀"}, {"n": 10**20}, {"deep": [[{"x": None}]]}, {"": True}]
)
def test_any_json_comes_back(storage: Callable[[], Storage], document: dict[str, Any]) -> None:
    with TinyDB(storage=storage) as db:
        db.insert(document)
        assert [dict(d) for d in db.all()] == [document]


# What memory cannot show


def test_another_reader_sees_the_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "list.json"
    AtomicStorage(path).write(NEW)
    assert AtomicStorage(path).read() == NEW
    assert json.loads(path.read_text(encoding="utf-8"))["tables"] == NEW


@pytest.mark.parametrize("text", ["", "{", "[1]", "null", "\x00" * 40, '{"rows": {"1": '])
def test_a_damaged_file_is_never_an_empty_one(tmp_path: Path, text: str) -> None:
    path = tmp_path / "list.json"
    path.write_text(text)
    with pytest.raises(StoreDamaged, match=r"list\.json"):
        AtomicStorage(path).read()
    assert path.read_text() == text


def test_a_file_that_cannot_be_read_is_never_an_empty_one(tmp_path: Path) -> None:
    path = tmp_path / "list.json"
    path.mkdir()
    with pytest.raises(StoreDamaged):
        AtomicStorage(path).read()


@pytest.mark.parametrize("bad", [float("nan"), object(), {1, 2}])
def test_what_is_no_json_changes_neither_file_nor_memory(tmp_path: Path, bad: object) -> None:
    path = tmp_path / "list.json"
    store = AtomicStorage(path)
    store.write(OLD)
    with pytest.raises((TypeError, ValueError)):
        store.write({"rows": {"1": {"bad": bad}}})
    assert store.read() == OLD
    assert AtomicStorage(path).read() == OLD


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_a_failed_write_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    path = tmp_path / "list.json"
    store = AtomicStorage(path)
    store.write(OLD)

    def full(*arguments: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, call, full)
    with pytest.raises(OSError, match="No space"):
        store.write(NEW)
    monkeypatch.undo()
    assert store.read() == OLD
    assert AtomicStorage(path).read() == OLD
    assert [p.name for p in tmp_path.iterdir()] == ["list.json"]


def test_the_data_are_synced_before_the_name_changes_and_the_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = []
    fsync, replace = os.fsync, os.replace

    def noting_sync(handle: int) -> None:
        calls.append("folder" if os.fstat(handle).st_mode & 0o040000 else "file")
        fsync(handle)

    def noting_replace(source: str, target: Path) -> None:
        calls.append("replace")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", noting_sync)
    monkeypatch.setattr(os, "replace", noting_replace)
    write_whole(tmp_path / "x.json", b"{}")
    assert calls == ["file", "replace", "folder"]


def test_sweeping_takes_what_killed_writers_left_and_spares_one_at_work(tmp_path: Path) -> None:
    stale, fresh, other = (tmp_path / n for n in (f"{TEMP_PREFIX}a", f"{TEMP_PREFIX}b", "x.json"))
    for path in (stale, fresh, other):
        path.write_text("{}")
    long_ago = stale.stat().st_mtime - STILL_AT_WORK - 5
    for path in (stale, other):
        os.utime(path, (long_ago, long_ago))
    sweep(tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([fresh.name, other.name])
    sweep(tmp_path / "not there")


WRITER = """
import sys
from pathlib import Path
from benchtui.store.storage import write_whole
size = 0
while True:
    size = (size + 7919) % 200_000
    write_whole(Path(sys.argv[1]), b'{"x":"' + b"y" * size + b'"}')
    print(size, flush=True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="the platform has no such signal")
def test_killed_while_writing_the_file_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "list.json"
    for writes in (1, 5, 20):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            for _ in range(writes):
                writer.stdout.readline()
            writer.kill()
        assert set(json.loads(path.read_bytes())) == {"x"}
