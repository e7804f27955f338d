"""What anybody may put into a folder: each entry is judged alone, and only regular files are read."""

from __future__ import annotations

import os
import socket
import threading
from pathlib import Path

import pytest

from benchtui.store.files import Listing, listing, read_regular
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register

MOST = 1000


def odd_entries(folder: Path) -> dict[str, str]:
    """Puts one of every odd kind into a folder; names with the word that their reason must hold."""
    (folder / "dangling.session").symlink_to(folder / "nowhere")
    (folder / "loop.session").symlink_to(folder / "loop.session")
    (folder / "folder.session").mkdir()
    os.mkfifo(folder / "pipe.session")
    (folder / "device.session").symlink_to("/dev/zero")
    with (folder / "huge.session").open("wb") as file:
        file.truncate(2**30)
    Path(os.fsdecode(os.fsencode(folder) + b"/\xff\xfe.session")).write_bytes(b"")
    here = Path.cwd()
    os.chdir(folder)  # a socket's name may have but some hundred characters
    with socket.socket(socket.AF_UNIX) as made:
        made.bind("socket.session")
    os.chdir(here)
    return {
        "dangling.session": "leads nowhere",
        "loop.session": "in a circle",
        "folder.session": "a folder",
        "pipe.session": "a pipe",
        "device.session": "a device",
        "huge.session": "1073741824 bytes",
        "\\xff\\xfe.session": "UTF-8",
        "socket.session": "a socket",
    }


def test_each_odd_entry_is_named_and_hides_nothing(tmp_path: Path) -> None:
    (tmp_path / "good.session").write_bytes(b"x")
    (tmp_path / "other.txt").write_bytes(b"x")
    wanted = odd_entries(tmp_path)
    found = listing(tmp_path, ".session", MOST)
    assert [e.stem for e in found.files] == ["good"]
    assert {o.name for o in found.odd} == wanted.keys()
    for odd in found.odd:
        assert wanted[odd.name] in odd.reason


def test_the_register_has_a_row_for_each_of_them(tmp_path: Path) -> None:
    data = DataFolder(tmp_path)
    data.sessions.mkdir()
    wanted = odd_entries(data.sessions)
    rows = Register(data).rows()
    assert {f"{row.session}.session" for row in rows} == wanted.keys()
    assert all(row.damage.startswith("it cannot be read: ") for row in rows)


def test_only_a_missing_folder_is_an_empty_one(tmp_path: Path) -> None:
    assert listing(tmp_path / "none", ".session", MOST) == Listing()
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name in ("file", "link"):
        with pytest.raises(OSError, match=name):
            listing(tmp_path / name, ".session", MOST)


@pytest.mark.parametrize("name", ["pipe", "device", "folder", "huge", "dangling", "loop", "socket"])
def test_nothing_but_a_regular_file_is_read(tmp_path: Path, name: str) -> None:
    odd_entries(tmp_path)
    with pytest.raises(OSError, match=name):
        read_regular(tmp_path / f"{name}.session", MOST)


def test_a_file_of_the_largest_size_is_read_and_one_byte_more_is_not(tmp_path: Path) -> None:
    path = tmp_path / "x"
    path.write_bytes(b"x" * MOST)
    assert len(read_regular(path, MOST)) == MOST
    path.write_bytes(b"x" * (MOST + 1))
    with pytest.raises(OSError, match="1001 bytes"):
        read_regular(path, MOST)


def test_files_that_come_and_go_meanwhile_hide_none_of_the_others(tmp_path: Path) -> None:
    for number in range(50):
        (tmp_path / f"stays-{number}.session").write_bytes(b"")
    over = threading.Event()

    def come_and_go() -> None:
        while not over.is_set():
            for number in range(20):
                (tmp_path / f"goes-{number}.session").write_bytes(b"")
            for number in range(20):
                (tmp_path / f"goes-{number}.session").unlink()

    beside = threading.Thread(target=come_and_go)
    beside.start()
    try:
        for _ in range(300):
            found = listing(tmp_path, ".session", MOST)
            assert sum(e.stem.startswith("stays-") for e in found.files) == 50
            assert not found.odd
    finally:
        over.set()
        beside.join()
