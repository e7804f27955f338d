"""Valves that were last left out of their range, and since when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.history.course import real
from benchtui.domain.session.whole.record import SessionRecord

OUT = (VerdictKind.TIGHT, VerdictKind.WIDE)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A valve, how it was left (tight or wide), and on what day."""

    valve: str
    how: VerdictKind
    on: date


def left_out(records: Sequence[SessionRecord]) -> tuple[LeftOut, ...]:
    """The valves that the latest session to gauge them left tight or wide, in the engine's order.

    Partial sessions count: a valve is out whether or not the check was finished.
    """
    last: dict[str, LeftOut | None] = {}
    for record in real(records):
        for valve in record.valves:
            if valve.left is None or (valve.touched and not valve.read_after):
                continue
            how = valve.left.verdict.kind
            if how is VerdictKind.NONE:
                continue  # said nothing, so what was known stands
            day = record.ended.date()
            last[valve.name] = LeftOut(valve.name, how, day) if how in OUT else None
    return tuple(each for each in last.values() if each is not None)


def left_out_words(valves: Sequence[LeftOut]) -> str:
    """``left tight on 2026-11-20: 1E, 2E; left wide on 2026-11-21: 1I``; "" where none was."""
    groups: dict[tuple[str, date], list[str]] = {}
    for each in valves:
        groups.setdefault((each.how.value, each.on), []).append(each.valve)
    return "; ".join(
        f"left {how} on {on.day} {on:%B %Y}: {', '.join(names)}"
        for (how, on), names in groups.items()
    )
