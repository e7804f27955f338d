"""The sheet's own steps: read, ticked, left open; and the early recheck after a setting."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.errors import FaultyInput
from benchtui.domain.history.due import next_due
from benchtui.domain.history.usage import Usage
from benchtui.domain.sheet import Sheet
from benchtui.domain.work_steps import WorkStep, line_of, work_lines
from benchtui.text.reading.sheet_file import parse_sheet

SPECS = Path(__file__).parents[3] / "specs"


def shipped(name: str) -> Sheet:
    return parse_sheet((SPECS / f"{name}.toml").read_text(encoding="utf-8"), name, f"{name}.toml")


def test_what_comes_before_stands_among_the_cautions_to_tick() -> None:
    assert "Spark plug: out, its lead earthed on the head" in cautions(
        CautionAt.BEFORE, shipped("quay-pump")
    )
    assert any(
        "Stop lever: held at stop" in c for c in cautions(CautionAt.BEFORE, shipped("slip-winch"))
    )


def test_what_comes_at_closing_up_is_ticked_by_its_name() -> None:
    work = shipped("mole-crane").work
    after = work_lines(work, before=False)
    assert [line.partition(":")[0] for line in after] == [
        "Chain tensioner",
        "Gasket",
        "Timing plug",
    ]
    assert line_of(work, "gasket") == after[1]
    assert line_of(work, "no such step") == "no such step"
    assert WorkStep.SPARK_PLUG.before


def test_a_step_that_is_not_known_is_named() -> None:
    text = (
        (SPECS / "quay-pump.toml")
        .read_text(encoding="utf-8")
        .replace("spark_plug =", "sparkplug =")
    )
    with pytest.raises(FaultyInput, match="spark_plug\\?"):
        parse_sheet(text, "q", "q.toml")


def test_an_early_recheck_holds_only_after_a_setting() -> None:
    """25 h after 100 h is 125 h, the ordinary interval of 100 h leads to 200 h (arithmetic)."""
    interval = shipped("quay-pump").interval
    assert interval is not None
    last = Usage(date(2026, 5, 1), None, Fraction(100))
    now = Usage(date(2026, 5, 2))
    assert next_due(interval, last, now).at_hours == 200
    due = next_due(interval, last, now, was_set=True)
    assert due.at_hours == 125
    assert any("the early recheck" in limit.reason for limit in due.limits)


def test_no_shipped_engine_passes_for_a_real_one() -> None:
    for path in sorted(SPECS.glob("*.toml")):
        assert "invented example" in shipped(path.stem).source.title.lower(), path.stem
    for name in ("quay-pump", "ferry-tender", "dredge-lift"):
        interval = shipped(name).interval
        assert interval is not None
        assert interval.distance_km is None, "a pump and a boat have no odometer"
