"""A stored session as a line of the list: its cells, and the words that the filter looks in."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from benchtui.domain.session.whole.completeness import NOTHING_DONE
from benchtui.text.quantities.show import date, short_date
from benchtui.text.words.standing import Standing
from benchtui.tui.widgets.marks import STRUCK
from benchtui.workshop import Row

SHORT = ("Date", "Engine", "Found → left", "Who", "Ended")
"""The headings of the list."""

NOT_CLOSED = "not closed"
DAMAGED = "!! DAMAGED"

_DATE, _WHO, _ENDED = 11, 9, 11
_FRAME = 2 * len(SHORT) + 2
"""A blank either side of each column, and the scroll bar."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One line. ``words`` are what the filter looks in, in small letters."""

    session: str
    engine: str
    name: str
    day: str
    verdicts: str
    who: str
    ended: str
    words: str
    unreadable: bool


def listed(rows: Iterable[Row]) -> tuple[Listed, ...]:
    """Every row, in the order given; one that was dropped with nothing measured is left out."""
    return tuple(_listed(row) for row in rows if row.set_aside != NOTHING_DONE)


def _listed(row: Row) -> Listed:
    day = row.started.date()
    name = row.engine_name or row.engine or row.session
    verdicts = row.verdicts or ("" if not row.damage else "not readable")
    ended = _ended(row)
    words = (
        name, row.engine, day.isoformat(), date(day), verdicts, row.who, ended, row.damage,
        row.session, row.notes, row.set_aside,
    )  # fmt: skip
    return Listed(
        session=row.session,
        engine=row.engine,
        name=name,
        day=short_date(day),
        verdicts=_short(verdicts),
        who=row.who,
        ended=ended,
        words=" ".join(words).lower(),
        unreadable=not row.engine,
    )


def _ended(row: Row) -> str:
    if row.damage:
        return DAMAGED
    if row.set_aside:
        return f"{STRUCK} set aside"
    if row.practice:
        return "practice"
    if row.complete:
        return "complete"
    return "partial" if row.closed else NOT_CLOSED


_SIGNS = {
    "in": Standing.IN_RANGE,
    "tight": Standing.TIGHT,
    "wide": Standing.WIDE,
    "undecided": Standing.UNDECIDED,
    "contradiction": Standing.CLASH,
    "none": Standing.NO_VERDICT,
}
SIGNS_KEY = "  ".join(f"{standing.sign} {standing.word}" for standing in _SIGNS.values())
"""Below the list: a state's word is never shortened, so where it does not fit its sign stands alone."""


def _short(verdicts: str) -> str:
    """``6 in, 2 tight -> 8 in`` as ``6 √ 2 ▼ → 8 √``."""
    counted = re.sub(
        r"(\d+) (\w+),?",
        lambda m: f"{m[1]} {_SIGNS[m[2]].sign}" if m[2] in _SIGNS else m[0],
        verdicts,
    )
    return counted.replace("->", "→")


def cells(row: Listed) -> tuple[str, ...]:
    """The line, under ``SHORT``."""
    return row.day, row.name, row.verdicts, row.who, row.ended


def widths(screen: int) -> tuple[int, ...]:
    """The columns' widths: engine and verdicts share what the others leave."""
    room = max(20, screen - _DATE - _WHO - _ENDED - _FRAME)
    engine = min(30, room * 9 // 20)
    return _DATE, engine, room - engine, _WHO, _ENDED
