"""What is stored is its owner's alone, or its group's where the folder says so; whatever the umask."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchtui.store.modes import make_folder
from benchtui.store.storage import write_whole

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")


@pytest.fixture(params=[0o000, 0o022, 0o077])
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


def mode(path: Path) -> str:
    return f"{stat.S_IMODE(path.stat().st_mode):04o}"


def test_by_default_only_the_owner(tmp_path: Path, umask: int) -> None:
    write_whole(tmp_path / "data" / "sessions" / "x.session", b"x")
    folder = tmp_path / "data"
    assert [mode(p) for p in (folder, folder / "sessions")] == ["0700", "0700"]
    assert mode(folder / "sessions" / "x.session") == "0600"


def test_in_a_shared_folder_the_group_too(tmp_path: Path, umask: int) -> None:
    folder = tmp_path / "club"
    make_folder(folder)
    folder.chmod(0o2770)
    write_whole(folder / "sessions" / "x.session", b"x")
    assert mode(folder / "sessions") == "2770"
    assert mode(folder / "sessions" / "x.session") == "0660"


def test_a_folder_that_anybody_may_write_in_is_not_shared(tmp_path: Path, umask: int) -> None:
    tmp_path.chmod(0o1777)  # as the folder for temporary files is
    write_whole(tmp_path / "data" / "x", b"x")
    assert (mode(tmp_path / "data"), mode(tmp_path / "data" / "x")) == ("0700", "0600")
