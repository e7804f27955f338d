"""An engine's sheet, from the text of its file."""

from __future__ import annotations

import re
from dataclasses import dataclass, fields

from benchtui.domain.crank.faults import faults_of
from benchtui.domain.sheet import (
    Adjuster,
    Clearances,
    Interval,
    Layout,
    Papers,
    PrintedStop,
    Sheet,
    Source,
    Timing,
    Torque,
)
from benchtui.domain.work_steps import Work
from benchtui.text.reading.checked import Faults, open_table
from benchtui.text.reading.readers import as_text
from benchtui.text.reading.sheet_adjuster import parse_adjuster
from benchtui.text.reading.sheet_clearance import check_kinds, parse_clearance
from benchtui.text.reading.sheet_extras import (
    parse_interval,
    parse_papers,
    parse_plan,
    parse_source,
    parse_timing,
    parse_torques,
    parse_work,
)
from benchtui.text.reading.sheet_layout import parse_layout
from benchtui.text.reading.sheet_warnings import warnings_of
from benchtui.text.reading.toml_lines import Path

__all__ = ["Parts", "parse_sheet", "read_parts", "warnings_of"]


@dataclass(frozen=True, slots=True)
class Parts:
    """What could be read of a sheet; None, or nothing, for a part that is missing or faulty."""

    name: str | None
    source: Source
    layout: Layout | None
    clearances: Clearances | None
    adjuster: Adjuster | None
    timing: Timing | None
    plan: tuple[PrintedStop, ...] | None
    torques: tuple[Torque, ...]
    interval: Interval | None
    work: Work
    papers: Papers


def parse_sheet(text: str, key: str, file: str) -> Sheet:
    """The sheet in ``text``, filed under ``key``; ``file`` is only for the faults to name.

    Raises:
        FaultyInput: everything that is wrong in it, from the top down; a file that is no TOML has
            one fault only, and so has one of another format.
    """
    parts, faults = read_parts(text, file)
    faults.raise_any()
    # A part that is missing by now has left a fault behind.
    return Sheet(key=key, **{part.name: getattr(parts, part.name) for part in fields(parts)})


def read_parts(text: str, file: str) -> tuple[Parts, Faults]:
    """Every part of a sheet that can be read, and the faults of the others.

    Raises:
        FaultyInput: it is no TOML, or of another format.
    """
    top = open_table(text, file)
    in_clearance = top.table("clearance", "a table [clearance]")
    parts = Parts(
        name=top.need("name", as_text, 'what the engine is called, as in "Quay pump"'),
        source=top.part("source", parse_source) or Source(),
        layout=top.part("layout", parse_layout, "a table [layout]"),
        clearances=None if in_clearance is None else parse_clearance(in_clearance),
        adjuster=top.part("adjuster", parse_adjuster, "a table [adjuster]"),
        timing=top.part("timing", parse_timing),
        plan=parse_plan(top.tables("plan")),
        torques=parse_torques(top.tables("torque")),
        interval=top.part("interval", parse_interval),
        work=top.part("work", parse_work) or (),
        papers=top.part("papers", parse_papers) or Papers(),
    )
    top.done()
    if parts.layout is not None:
        _check_crank(top.faults, parts.layout, parts.timing, parts.plan or ())
        if in_clearance is not None and parts.clearances is not None:
            measured = parts.adjuster is None or parts.adjuster.set_by.measured
            check_kinds(in_clearance, parts.layout, parts.clearances, measured=measured)
    return parts, top.faults


def _check_crank(
    faults: Faults, layout: Layout, timing: Timing | None, plan: tuple[PrintedStop, ...]
) -> None:
    """What the parts say together: firing angles, valve timing, the manual's table."""
    for key, found, wanted in faults_of(layout, timing, plan):
        faults.add_new(_path(key), found, wanted)


def _path(key: str) -> Path:
    """``plan.2.valves`` counts rows from 1, a path from 0."""
    parts = key.split(".")
    if len(parts) > 1 and parts[0] == "plan" and re.fullmatch("[0-9]+", parts[1]):
        return ("plan", int(parts[1]) - 1, *parts[2:])
    return tuple(parts)
