"""An engine's sheet, from the text of its file."""

from __future__ import annotations

import re
from dataclasses import dataclass

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
from benchtui.text.reading.checked import Faults, Table, check_format
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
from benchtui.text.reading.toml_lines import Path, read_toml

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
    assert parts.name is not None
    assert parts.layout is not None
    assert parts.clearances is not None
    assert parts.adjuster is not None
    return Sheet(
        key=key,
        name=parts.name,
        layout=parts.layout,
        clearances=parts.clearances,
        adjuster=parts.adjuster,
        source=parts.source,
        timing=parts.timing,
        plan=parts.plan or (),
        torques=parts.torques,
        interval=parts.interval,
        work=parts.work,
        papers=parts.papers,
    )


def read_parts(text: str, file: str) -> tuple[Parts, Faults]:
    """Every part of a sheet that can be read, and the faults of the others.

    Raises:
        FaultyInput: it is no TOML, or of another format.
    """
    data, lines = read_toml(text, file)
    faults = Faults(file, lines)
    top = Table(data, (), faults)
    check_format(top, faults)
    name = top.need("name", as_text, 'what the engine is called, as in "Quay pump"')
    source = parse_source(top.table("source"))
    in_layout = top.table("layout", "a table [layout]")
    in_clearance = top.table("clearance", "a table [clearance]")
    in_adjuster = top.table("adjuster", "a table [adjuster]")
    in_timing = top.table("timing")
    layout = None if in_layout is None else parse_layout(in_layout)
    clearances = None if in_clearance is None else parse_clearance(in_clearance)
    adjuster = None if in_adjuster is None else parse_adjuster(in_adjuster)
    timing = None if in_timing is None else parse_timing(in_timing)
    plan = parse_plan(top.tables("plan"))
    torques = parse_torques(top.tables("torque"))
    interval = parse_interval(top.table("interval"))
    work = parse_work(top.table("work"))
    papers = parse_papers(top.table("papers"))
    top.done()
    if layout is not None:
        _check_crank(faults, layout, timing, plan or ())
        if in_clearance is not None and clearances is not None:
            measured = adjuster is None or adjuster.set_by.measured
            check_kinds(in_clearance, layout, clearances, measured=measured)
    parts = Parts(
        name, source, layout, clearances, adjuster, timing, plan, torques, interval, work, papers
    )
    return parts, faults


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
