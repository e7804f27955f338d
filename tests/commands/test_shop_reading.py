"""Commands that read what is stored: a long reading is told, in one line on the error side."""

from __future__ import annotations

import sys
import time
from itertools import count
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.store import many
from tests.tui.kept_sessions import pump_years


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years(tmp_path / "data")


@pytest.mark.parametrize(("case", "lines"), [((1, True), 1), ((0, True), 0), ((1, False), 0)])
def test_a_long_reading_is_told_where_somebody_waits(
    case: tuple[int, bool],
    lines: int,
    data: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    seconds, terminal = case
    (data / "register" / "lists" / "quay-pump.json").unlink()
    monkeypatch.setattr(many, "AT_ONCE", 1)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal)
    clock = count(step=seconds)
    monkeypatch.setattr(time, "monotonic", lambda: next(clock))
    capsys.readouterr()
    main(["--data", str(data), "due"])
    told = [x for x in capsys.readouterr().err.split("\n") if "reading the stored sessions" in x]
    assert len(told) == lines
    assert all(line.endswith(": 6 of 6") for line in told)
