"""Files named by mistake are refused quickly and plainly."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchtui import cli
from benchtui.domain.errors import FaultyInput
from benchtui.store.library import MOST_BYTES, text_of_file


def test_a_file_of_the_largest_size_is_read(tmp_path: Path) -> None:
    path = tmp_path / "whole.txt"
    path.write_bytes(b"#" * MOST_BYTES)
    assert len(text_of_file(path)) == MOST_BYTES


def test_one_byte_more_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "over.txt"
    path.write_bytes(b"#" * (MOST_BYTES + 1))
    with pytest.raises(FaultyInput, match=f"over.txt: found {MOST_BYTES + 1} bytes"):
        text_of_file(path)


@pytest.mark.parametrize("command", ["replay", "sheet"])
def test_a_huge_file_is_one_line_of_error(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(300_000_000)  # sparse: it takes no room on the disk
    (tmp_path / "data").mkdir()
    assert cli.main(["--data", str(tmp_path / "data"), command, str(path)]) != 0
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    assert "huge.toml" in said.err
