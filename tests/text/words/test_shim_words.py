"""The plain lines of a replay for engines set by shims."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.domain.session.next_step import kinds as k
from benchtui.text.words.steps import sentence

Said = Callable[..., str]

SHEET = """format = 1
name = "Test bench"
[layout]
cylinders = ["1"]
valves = { 1 = ["1I", "1E"] }
[clearance]
inlet = ["0.15 mm", "0.25 mm"]
exhaust = ["0.15 mm", "0.25 mm"]
[adjuster]
kind = "shim"
under_bucket = true
"""
STEPS = 'shims = { from = "2.50 mm", to = "3.50 mm", step = "0.05 mm" }\n'


@pytest.fixture
def said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Said:
    def told(*lines: str, sheet: str = SHEET + STEPS) -> str:
        (tmp_path / "sheets").mkdir(exist_ok=True)
        (tmp_path / "sheets" / "bench.toml").write_text(sheet, encoding="utf-8")
        script = tmp_path / "script.txt"
        head = ("sheet bench", "blades fine-metric", "position 1 mark slack")
        script.write_text("\n".join([*head, *lines]), encoding="utf-8")
        assert main(["--data", str(tmp_path), "replay", str(script)]) == 0
        return capsys.readouterr().out

    return told


WIDE = ("1I shim 2.80", "1I 0.30 free", "1I 0.31 refuses")
TIGHT = ("1E shim 2.90", "1E 0.10 free", "1E 0.11 refuses")


def test_swap_order_and_what_binds(said: Said) -> None:
    # 1I may have 2.86 to 2.95: the 2.90 of 1E; 1E 2.76 to 2.85: the 2.80 of 1I (arithmetic).
    text = said(*WIDE, *TIGHT)
    assert "  1I: fit 2.90 from 1E\n  1E: fit 2.80 from 1I\nOrder: nothing.\n" in text
    assert "come out with the cams only" in text


def test_what_to_buy(said: Said) -> None:
    text = said(*WIDE)
    assert "  1I: fit 2.90, to buy\nOrder: 1 of 2.90 mm.\n" in text
    assert "1E: no shim reckoned" not in text


def test_a_size_to_be_found_and_one_not_known(said: Said) -> None:
    text = said(*WIDE, *TIGHT[1:], sheet=SHEET)
    assert "1I: fit 2.86 to 2.95: find one" in text
    assert "1E: no shim reckoned: the size fitted is not known." in text


def test_nothing_is_said_where_all_is_in_range(said: Said) -> None:
    text = said("1I 0.20 free", "1I 0.25 refuses", "1E 0.20 free", "1E 0.25 refuses", "close")
    assert "shim" not in text.split("Complete.")[1]


def test_nothing_is_said_to_be_ordered_or_not_before_the_shims_are_known() -> None:
    told = sentence(k.CamsOut((), (), unread=("1E", "2I")), inch=False)
    assert told == "All measured. Cams out: read the shims of 1E and 2I, then order."
    assert "Nothing to order" in sentence(k.CamsOut((), ()), inch=False)
