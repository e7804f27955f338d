"""Names that would be a device, or another name, on some platform are refused on every one."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui import cli
from benchtui.blade_shelf import BladeShelf
from benchtui.domain.errors import FaultyInput, Unable
from benchtui.store.bundle import MANIFEST, BundleError
from benchtui.store.hands import path_of_hand
from benchtui.store.library import library
from benchtui.store.names import NAME, check_new_name
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.store.taking_in import take_in
from benchtui.workshop import Workshop

# The platform's published rules for naming files, from memory: these, in any capitals and also
# with an extension; and a dot or a space at the end, which it drops silently.
DEVICES = ["CON", "con", "PRN", "Aux", "nul", "COM0", "com1", "COM9", "lpt1", "LPT9"]
DROPPED = ["quay.", "quay ", "con.", "NUL ", "com1.toml", "aux.", " quay", "..", "."]

Check = Callable[[str], None]


@pytest.fixture(params=["sheet", "blade set"])
def check(request: pytest.FixtureRequest, tmp_path: Path) -> Check:
    """What stands before a new name on either screen."""
    data = DataFolder(tmp_path)
    if request.param == "sheet":
        shop = Workshop(data, lambda: datetime(2026, 5, 1, tzinfo=UTC))
        return lambda name: shop.engines.keep_sheet(name, "", new=True)
    shelf = BladeShelf(data, library(data))
    return lambda name: shelf.keep(name, "", new=True)


@pytest.mark.parametrize("name", DEVICES)
def test_a_device_is_refused_and_said_to_be_one(name: str, check: Check) -> None:
    with pytest.raises(Unable, match=f"'{name}', which Windows keeps for a device"):
        check(name)


@pytest.mark.parametrize("name", [*DROPPED, "", "a" * 65, "-a", "a\x00", "a/b", "ä", "a\n"])
def test_a_name_no_file_can_carry_everywhere_is_refused(name: str, check: Check) -> None:
    with pytest.raises(Unable, match=r"no dots|keeps for a device"):
        check(name)


@pytest.mark.parametrize("name", ["console", "nulls", "com10", "aux-engine", "a", "a" * 64, "0"])
def test_names_that_only_resemble_one_are_taken(name: str, check: Check) -> None:
    check(name)


def test_capitals_alone_make_no_other_name() -> None:
    with pytest.raises(Unable, match="There is a sheet 'Quay-pump' already"):
        check_new_name("quay-PUMP", ["Quay-pump"], "sheet")


@pytest.mark.parametrize("name", ["con", "NUL"])
def test_one_that_is_there_already_is_told_of_not_hidden(name: str, tmp_path: Path) -> None:
    data = DataFolder(tmp_path)
    for folder, shipped in (
        (data.sheets, "quay-pump.toml"),
        (data.blades, "blades/fine-metric.toml"),
    ):
        folder.mkdir()
        (folder / f"{name}.toml").write_bytes((shipped_specs() / shipped).read_bytes())
    shelf = library(data)
    assert name in shelf.sheet_names()
    assert name in shelf.blade_names()
    for look_up in (shelf.sheet, shelf.blades):
        with pytest.raises(FaultyInput, match=rf"{name}.toml: found '{name}', which Windows keeps"):
            look_up(name)


@pytest.mark.parametrize("argv", [["sheet", "nul"], ["form", "COM1", "--blades", "fine-metric"]])
def test_commands_say_so_in_one_line(
    argv: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["--data", str(tmp_path), *argv]) == cli.FAULTY
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    assert "which Windows keeps for a device" in said.err


def test_none_is_taken_in_from_another_machine(tmp_path: Path) -> None:
    path = tmp_path / "all.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(MANIFEST, json.dumps({"format": 1, "sessions": 0}))
        archive.writestr("sheets/aux.toml", "format = 1\n")
    with pytest.raises(BundleError, match=r"aux\.toml"):
        take_in(path, DataFolder(tmp_path / "data"))
    assert not (tmp_path / "data").exists()


@given(st.from_regex(NAME, fullmatch=True))
def test_what_is_allowed_is_no_device(name: str) -> None:
    assert name.casefold() not in {d.casefold() for d in DEVICES}
    assert not name.endswith((" ", "."))


@pytest.mark.parametrize("who", [*DEVICES, "M.", "con.", "LPT1 ", "a:b", 'q"?', "CON.txt"])
def test_a_hand_of_any_name_lies_in_a_file_safe_everywhere(who: str, tmp_path: Path) -> None:
    """A person may be called Con, or sign as M.: the file's name is never the bare one."""
    name = path_of_hand(DataFolder(tmp_path), who).name
    assert name.startswith("hand-")
    assert name.endswith(".toml")
    assert not set(name) & set('<>:"/\\|?* ')
    assert PureWindowsPath(name).name == name
