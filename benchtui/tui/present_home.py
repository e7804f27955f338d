"""An engine on the first screen: its row in the list, and the picture of its last check."""

from __future__ import annotations

import datetime as dt

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.text.quantities.show import inert, short_date
from benchtui.text.words.due_words import due_by, due_short, due_sign
from benchtui.tui.present_history import gap_row, unit_for
from benchtui.tui.widgets.last_check import LastCheck
from benchtui.workshop import Shown

_BAD = (
    VerdictKind.CONTRADICTION,
    VerdictKind.TIGHT,
    VerdictKind.WIDE,
    VerdictKind.UNDECIDED,
    VerdictKind.NONE,
)
"""The worst first."""


def row_of(engine: Shown, today: dt.date) -> tuple[str, str, str, str, str, str, str]:
    """Sign, name, due, by when, last check, who did it, and how an open one stands."""
    who = inert(engine.who)
    last = "never" if engine.last is None else short_date(engine.last)
    if engine.gone:
        return "?", inert(engine.gone), "sheet's file is gone", "", last, who, _state(engine)
    if engine.sheet is None:
        return "?", inert(engine.key), "its sheet has faults", "", last, who, _state(engine)
    if engine.hydraulic:
        return "", inert(engine.sheet.name), "nothing to set: hydraulic", "", "", "", _state(engine)
    due = due_short(engine.due, today)
    by, name = due_by(engine.due), inert(engine.sheet.name)
    return due_sign(engine.due), name, due, by, last, who, _state(engine)


def _state(engine: Shown) -> str:
    if engine.open is not None and engine.open.slack:
        return "NUT SLACK"
    if engine.open is not None and engine.open.cams_out:
        return "CAMS OUT"
    if engine.unfinished is not None:
        return "not closed"
    return "in part" if engine.open is not None else ""


def last_check(record: SessionRecord) -> LastCheck:
    """Every valve of the last check: found before it was set, and left, against its range."""
    width, unit = max((len(v.name) for v in record.valves), default=0), unit_for(record)
    rows = tuple(gap_row(valve, width, unit) for valve in record.valves)
    worst = sorted(range(len(rows)), key=lambda at: _rank(record.valves[at]))
    said = "; ".join(_was(v) for v in record.valves if _was(v))
    return LastCheck(rows, tuple(worst), said, unit)


def _rank(valve: ValveRecord) -> tuple[int, bool, str]:
    kind = VerdictKind.NONE if valve.left is None else valve.left.verdict.kind
    at = _BAD.index(kind) if kind in _BAD else len(_BAD)
    return at, not valve.touched, valve.name


def _was(valve: ValveRecord) -> str:
    """``1E was tight``, where it was found so and set."""
    if not valve.touched or not _out(valve.found):
        return ""
    assert valve.found is not None
    return f"{inert(valve.name)} was {valve.found.verdict.kind.value}"


def _out(gauged: Gauged | None) -> bool:
    return gauged is not None and gauged.verdict.kind in (VerdictKind.TIGHT, VerdictKind.WIDE)
