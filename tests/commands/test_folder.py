"""A data folder that was mistyped is told, and never taken for an empty workshop."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchtui.cli import FAULTY, main
from benchtui.store.paths import shipped_specs

READING = (["due"], ["card", "last"], ["export"], ["export", "--all", "all.zip"])
SCRIPT = (
    "sheet quay-pump\nblades fine-metric\ndate today\nposition 1 mark slack\n1I 0.06 free\nclose\n"
)


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize("command", [*READING, ["sheet", "quay-pump"], ["take-in", "x.zip"]])
def test_a_file_is_no_data_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    wrong = tmp_path / "notes.txt"
    wrong.write_text("not a folder", encoding="utf-8")
    assert main(["--data", str(wrong), *command]) == FAULTY
    out, err = capsys.readouterr()
    assert out == ""
    assert f"found a file {wrong}; wanted a folder" in err


@pytest.mark.parametrize("command", READING)
def test_a_missing_folder_is_told_by_whatever_only_reads(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    missing = tmp_path / "missing"
    assert main(["--data", str(missing), *command]) == FAULTY
    assert f"There is no folder {missing}" in capsys.readouterr().err
    assert not missing.exists()


def test_a_part_that_cannot_be_read_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    sessions = tmp_path / "sessions"
    sessions.mkdir()
    scandir = os.scandir

    def refused(path: Path) -> object:
        if path == sessions:
            raise PermissionError(13, "Permission denied")
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refused)
    assert main(["--data", str(tmp_path), "due"]) == FAULTY
    assert f"{sessions} cannot be read: Permission denied" in capsys.readouterr().err


def test_a_shipped_engine_is_found_all_the_same_and_the_missing_folder_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--data", str(tmp_path / "missing"), "sheet", "quay-pump"]) == 0
    out, err = capsys.readouterr()
    assert out
    assert "there is no folder" in err
    assert shipped_specs().is_dir()


def test_keeping_makes_the_folder_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script, fresh = tmp_path / "script.txt", tmp_path / "fresh"
    script.write_text(SCRIPT, encoding="utf-8")
    assert main(["--data", str(fresh), "replay", str(script), "--keep"]) == 0
    assert f"made the data folder {fresh}" in capsys.readouterr().err
    assert len(list((fresh / "sessions").iterdir())) == 1
    main(["--data", str(fresh), "replay", str(script), "--keep"])
    assert "made" not in capsys.readouterr().err


def test_an_example_is_never_due_until_there_is_a_session_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "script.txt"
    assert main(["--data", str(tmp_path), "due"]) == 0
    assert "No engine of yours yet" in capsys.readouterr().out
    script.write_text(SCRIPT, encoding="utf-8")
    assert main(["--data", str(tmp_path), "replay", str(script)]) == 0
    main(["--data", str(tmp_path), "due"])
    assert "No engine of yours yet" in capsys.readouterr().out
    assert main(["--data", str(tmp_path), "replay", str(script), "--keep"]) == 0
    capsys.readouterr()
    main(["--data", str(tmp_path), "due"])
    told = capsys.readouterr().out
    assert "Quay pump" in told
    assert "Mole crane" not in told
