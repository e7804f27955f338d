"""The whole data folder as one file, and back."""

from __future__ import annotations

import errno
import json
import os
import zipfile
from pathlib import Path

import pytest

from benchtui.store import bundle
from benchtui.store.bundle import MANIFEST, BundleError, Packed, pack, put_new
from benchtui.store.paths import DataFolder
from benchtui.store.taking_in import take_in


def filled(root: Path, **files: str) -> DataFolder:
    data = DataFolder(root)
    for kind in (data.sheets, data.blades, data.sessions, data.register):
        kind.mkdir(parents=True, exist_ok=True)
    (data.sheets / "quay-pump.toml").write_bytes(b"format = 1\r\n# as written\n")
    (data.blades / "mine.toml").write_bytes(b"format = 1\n")
    (data.sessions / "20260501-090000-quay-pump-aa.session").write_bytes(b"one\ntorn")
    (data.register / "list.json").write_bytes(b"{}")
    for name, text in files.items():
        (data.sessions / f"{name}.session").write_bytes(text.encode())
    return data


def contents(data: DataFolder) -> dict[str, bytes]:
    return {
        str(p.relative_to(data.root).as_posix()): p.read_bytes()
        for p in sorted(data.root.rglob("*"))
        if p.is_file() and "register" not in p.parts
    }


def test_a_folder_comes_back_byte_for_byte_without_its_register(tmp_path: Path) -> None:
    data = filled(tmp_path / "a", b="two\n")
    assert pack(data, tmp_path / "all.zip") == Packed(2, ())
    other = DataFolder(tmp_path / "b")
    told = take_in(tmp_path / "all.zip", other)
    assert len(told.new) + len(told.unsound) == 4
    assert contents(other) == contents(data)
    assert not other.register.exists()


def test_two_machines_keep_the_sessions_of_both(tmp_path: Path) -> None:
    here, there = filled(tmp_path / "a", b="two\n"), filled(tmp_path / "b", c="three\n")
    pack(there, tmp_path / "all.zip")
    told = take_in(tmp_path / "all.zip", here)
    assert told.new == []
    assert [name for name, _ in told.unsound] == [
        "sheets/quay-pump.toml",
        "blades/mine.toml",
        "sessions/20260501-090000-quay-pump-aa.session",
        "sessions/c.session",
    ]
    assert {"sessions/b.session", "sessions/c.session"} <= set(contents(here))


def test_taking_in_twice_changes_nothing(tmp_path: Path) -> None:
    data = filled(tmp_path / "a")
    pack(data, tmp_path / "all.zip")
    before = contents(data)
    told = take_in(tmp_path / "all.zip", data)
    assert (told.new, told.kept) == ([], [])
    assert contents(data) == before


def test_what_is_here_is_never_overwritten_and_is_named(tmp_path: Path) -> None:
    here, there = filled(tmp_path / "a"), filled(tmp_path / "b")
    (here.sheets / "quay-pump.toml").write_bytes(b"mine")
    pack(there, tmp_path / "all.zip")
    told = take_in(tmp_path / "all.zip", here)
    assert told.kept == ["sheets/quay-pump.toml"]
    assert (here.sheets / "quay-pump.toml").read_bytes() == b"mine"


def test_the_archive_depends_on_the_files_alone(tmp_path: Path) -> None:
    one, two = filled(tmp_path / "a"), filled(tmp_path / "b")
    os.utime(two.sheets / "quay-pump.toml", (1, 1))
    pack(one, tmp_path / "1.zip")
    pack(two, tmp_path / "2.zip")
    assert (tmp_path / "1.zip").read_bytes() == (tmp_path / "2.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "1.zip") as archive:
        assert archive.testzip() is None
        assert json.loads(archive.read(MANIFEST)) == {"format": 1, "sessions": 1}


def test_an_existing_file_is_left_intact(tmp_path: Path) -> None:
    (tmp_path / "all.zip").write_bytes(b"the only photograph of the boat")
    with pytest.raises(BundleError, match="exists already"):
        pack(filled(tmp_path / "a"), tmp_path / "all.zip")
    with pytest.raises(BundleError, match="exists already"):
        put_new(tmp_path / "all.zip", b"x")
    assert (tmp_path / "all.zip").read_bytes() == b"the only photograph of the boat"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a", "all.zip"]


def test_an_existing_file_is_left_intact_without_hard_links_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(self: Path, target: Path) -> None:
        raise OSError(errno.EPERM, "no hard links here")

    monkeypatch.setattr(Path, "hardlink_to", none)
    put_new(tmp_path / "new", b"x")
    assert (tmp_path / "new").read_bytes() == b"x"
    with pytest.raises(BundleError, match="exists already"):
        put_new(tmp_path / "new", b"y")
    assert (tmp_path / "new").read_bytes() == b"x"
    assert [p.name for p in tmp_path.iterdir()] == ["new"]


def test_a_full_disk_is_told_and_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = filled(tmp_path / "a")
    before = contents(data)

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BundleError, match="No space left"):
        pack(data, tmp_path / "all.zip")
    assert [p.name for p in tmp_path.iterdir()] == ["a"]
    assert contents(data) == before


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no always-full device here")
def test_a_device_that_takes_no_new_file_is_told() -> None:
    with pytest.raises(BundleError):
        put_new(Path("/dev/full/x"), b"x")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BundleError, match="could not be written"):
        put_new(tmp_path / "no" / "x", b"x")


def test_an_empty_folder_makes_no_archive(tmp_path: Path) -> None:
    with pytest.raises(BundleError, match="no sheets, blade sets or sessions"):
        pack(DataFolder(tmp_path / "none"), tmp_path / "all.zip")
    assert not (tmp_path / "all.zip").exists()


def archive(path: Path, files: dict[str, bytes], manifest: bytes | None = b'{"format": 1}') -> Path:
    with zipfile.ZipFile(path, "w") as made:
        if manifest is not None:
            made.writestr(MANIFEST, manifest)
        for name, content in files.items():
            made.writestr(name, content)
    return path


@pytest.mark.parametrize(
    "name",
    [
        "../evil.session",
        "sessions/../../evil.session",
        "/etc/x.session",
        "sessions/..session",
        "sessions/a/b.session",
        "sessions\\..\\x.session",
        "sheets/a b.toml",
        "sheets/x.session",
        "register/list.json",
        "sessions/.hidden.session",
        "sessions/x.toml",
        "evil.py",
        "sessions/",
    ],
)
def test_nothing_is_written_outside_its_place_or_at_all(tmp_path: Path, name: str) -> None:
    path = archive(tmp_path / "x.zip", {"sessions/good.session": b"x", name: b"evil"})
    with pytest.raises(BundleError, match="no place in a data folder"):
        take_in(path, DataFolder(tmp_path / "d"))
    assert sorted(p.name for p in tmp_path.rglob("*")) == ["x.zip"]


@pytest.mark.parametrize("manifest", [None, b"", b"{}", b"[1]", b"\xff", b'{"format": 2}'])
def test_an_archive_of_another_kind_is_refused(tmp_path: Path, manifest: bytes | None) -> None:
    path = archive(tmp_path / "x.zip", {"sessions/good.session": b"x"}, manifest)
    with pytest.raises(BundleError):
        take_in(path, DataFolder(tmp_path / "d"))
    assert not (tmp_path / "d").exists()


def test_a_damaged_archive_is_refused_whole_wherever_it_is_cut_or_changed(tmp_path: Path) -> None:
    data = filled(tmp_path / "a", b="two\n" * 50)
    pack(data, tmp_path / "all.zip")
    sound = (tmp_path / "all.zip").read_bytes()
    path = tmp_path / "bad.zip"
    for cut in range(0, len(sound), 40):
        path.write_bytes(sound[:cut])
        with pytest.raises(BundleError):
            take_in(path, DataFolder(tmp_path / "d"))
    for at in range(0, len(sound), 11):
        path.write_bytes(sound[:at] + bytes([sound[at] ^ 0x55]) + sound[at + 1 :])
        target = DataFolder(tmp_path / f"d{at}")
        try:
            take_in(path, target)
        except BundleError:
            assert not target.root.exists()
        else:  # the change touched no content: a time stamp, an attribute
            assert contents(target) == contents(data)


def test_a_file_too_large_is_refused_before_it_is_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bundle, "MOST_SESSION_BYTES", 1000)
    path = archive(tmp_path / "x.zip", {"sessions/good.session": b"0" * 1001})
    with pytest.raises(BundleError, match="larger than"):
        take_in(path, DataFolder(tmp_path / "d"))
