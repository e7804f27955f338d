"""Shipped engines that the owner has hidden."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from benchtui.domain.errors import Refusal
from benchtui.store.hidden import change_hidden, hidden_names, listed
from benchtui.store.journal import WriteFailed
from benchtui.store.library import library
from benchtui.store.paths import DataFolder


@pytest.fixture
def data(tmp_path: Path) -> DataFolder:
    return DataFolder(tmp_path / "data")


def test_hidden_and_brought_back(data: DataFolder) -> None:
    change_hidden(data, "quay-pump", hide=True)
    change_hidden(data, "mole-crane", hide=True)
    assert hidden_names(data) == {"quay-pump", "mole-crane"}
    change_hidden(data, "quay-pump", hide=False)
    assert hidden_names(data) == {"mole-crane"}


def test_lists_leave_it_out_and_it_is_found_by_name(data: DataFolder) -> None:
    shop = library(data)
    change_hidden(data, "quay-pump", hide=True)
    assert "quay-pump" not in listed(shop, data)
    assert shop.sheet("quay-pump").key == "quay-pump"


def test_the_owners_own_come_first_and_are_never_hidden(data: DataFolder) -> None:
    data.sheets.mkdir(parents=True)
    (data.sheets / "zz-own.toml").write_text("format = 1\n", encoding="utf-8")
    (data.sheets / "quay-pump.toml").write_text("format = 1\n", encoding="utf-8")
    change_hidden(data, "quay-pump", hide=True)
    assert listed(library(data), data)[:2] == ("quay-pump", "zz-own")


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"format": 2, "engines": []}', '{"format": 1, "engines": [1]}', "\x80"]
)
def test_a_file_that_makes_no_sense_hides_nothing_and_is_not_overwritten(
    data: DataFolder, text: str
) -> None:
    data.root.mkdir()
    path = data.root / "hidden.json"
    path.write_bytes(text.encode("latin-1"))
    assert hidden_names(data) == frozenset()
    with pytest.raises(Refusal, match=r"hidden\.json"):
        change_hidden(data, "quay-pump", hide=True)
    assert path.read_bytes() == text.encode("latin-1")


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_a_failed_write_leaves_the_file_as_it_was(
    data: DataFolder, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    change_hidden(data, "mole-crane", hide=True)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, call, full)
    with pytest.raises(WriteFailed, match="No space left"):
        change_hidden(data, "quay-pump", hide=True)
    assert hidden_names(data) == {"mole-crane"}
    assert [p.name for p in data.root.iterdir()] == ["hidden.json"]
