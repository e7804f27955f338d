"""One session file in a line, and the record that goes with it: what the register keeps of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from typing import Any

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.facts.events import Event, Opened
from benchtui.domain.session.whole.clock import latest, set_back
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.store.codec import converter, fraction_of
from benchtui.store.files import Entry, Odd, why
from benchtui.store.journal import SUFFIX, read_session
from benchtui.store.sense import made_sense_of
from benchtui.text.words.clock_words import set_back_words


@dataclass(frozen=True, slots=True)
class Row:
    """One session file in a line. ``size`` and ``changed_ns`` are the file's, to see that it changed.

    ``opened_as`` is the id that the session was opened with: several files may hold one session.
    ``behind`` is the file that goes on from this one, empty if it leads; ``forked`` that another leads as
    well, each with answers of its own. ``events`` is how many events it has, ``known`` how many it
    ever had. ``latest`` is the latest time in it, ``set_back`` what is to be said of a clock that was set
    back in the middle of it.
    """

    session: str
    started: datetime
    size: int
    changed_ns: int
    engine: str = ""
    engine_name: str = ""
    who: str = ""
    blades: str = ""
    odometer_km: Fraction | None = None
    hours: Fraction | None = None
    closed: bool = False
    complete: bool = False
    practice: bool = False
    verdicts: str = ""
    damage: str = ""
    set_aside: str = ""
    opened_as: str = ""
    events: int = 0
    known: int = 0
    behind: str = ""
    forked: bool = False
    notes: str = ""
    latest: datetime | None = None
    set_back: str = ""

    @property
    def counts(self) -> bool:
        """Whether it says anything of the engine: it is neither practice nor set aside."""
        return not (self.practice or self.set_aside)

    @property
    def unfinished(self) -> bool:
        """Whether it was not closed and can be gone on with."""
        return not (self.closed or self.damage or self.set_aside)


def row_of(document: dict[str, Any]) -> Row:
    """The row that the register keeps, by hand: ten thousand are made before the first list is shown.

    Its file is known to be as it was written, by its checksum.
    """
    km, hours = document["odometer_km"], document["hours"]
    latest = document["latest"]
    made = {
        "latest": None if latest is None else datetime.fromisoformat(latest),
        "started": datetime.fromisoformat(document["started"]),
        "odometer_km": None if km is None else fraction_of(km),
        "hours": None if hours is None else fraction_of(hours),
    }
    return Row(**(document | made))


Read = tuple[Row, dict[str, Any] | None] | Odd
"""What came of one file: its row with its record as plain data, if any, or why it gave nothing."""


def read_each(entries: Sequence[Entry]) -> list[Read]:
    """Each of these session files; what one of them is like hinders no other."""
    return [_read(entry) for entry in entries]


def odd_row(odd: Odd) -> Row:
    """The line of an entry that cannot be read; it never counts as anything."""
    at = datetime.fromtimestamp(odd.changed_ns / 1e9).astimezone()
    return Row(odd.name.removesuffix(SUFFIX), at, 0, 0, damage=f"it cannot be read: {odd.reason}")


def _read(entry: Entry) -> Read:
    """The row of a session file, and its record if it has a sound opening.

    A damaged file is shown as damaged with what could be read, and never counts as a check.
    """
    try:
        recorded, _, record = made_sense_of(read_session(entry.path))
    except OSError as error:
        return Odd(entry.name, why(error), entry.changed_ns)
    damage = ""
    if recorded.damage is not None:
        damage = f"line {recorded.damage.line}: {recorded.damage.reason}"
    at = datetime.fromtimestamp(entry.changed_ns / 1e9).astimezone()
    if record is None:
        nothing = damage or "it holds no session: not even its opening was written"
        return Row(entry.stem, at, entry.size, entry.changed_ns, damage=nothing), None
    try:
        # The file's name counts: a copy that a syncing program made is a session file of its own.
        record = replace(record, session=entry.stem, complete=record.complete and not damage)
        opened = recorded.events[0].fact
        opened_as = opened.session if isinstance(opened, Opened) else ""
        row = _row(entry, record, damage, opened_as, recorded.events)
        document: dict[str, Any] = converter().unstructure(record)
    except Exception as error:  # noqa: BLE001  # whatever odd facts provoke, it is one odd session
        told = damage or f"makes no session: {error}"
        return Row(entry.stem, at, entry.size, entry.changed_ns, damage=told), None
    return row, document


def _row(
    entry: Entry, record: SessionRecord, damage: str, opened_as: str, events: tuple[Event, ...]
) -> Row:
    return Row(
        entry.stem,
        record.started,
        entry.size,
        entry.changed_ns,
        engine=record.engine,
        engine_name=record.engine_name,
        who=record.who,
        blades=record.blades,
        odometer_km=record.odometer_km,
        hours=record.hours,
        closed=record.closed,
        complete=record.complete,
        practice=record.practice,
        verdicts=_verdicts(record),
        damage=damage,
        set_aside=record.set_aside,
        opened_as=opened_as,
        events=len(events),
        known=len(events),
        notes=" ".join(record.notes),
        latest=latest(events),
        set_back=" ".join(map(set_back_words, set_back(events))),
    )


def _verdicts(record: SessionRecord) -> str:
    """Found and left in a few words: ``6 in, 2 tight -> 8 in``."""
    found = _count([v.found.verdict.kind for v in record.valves if v.found is not None])
    left = _count([v.left.verdict.kind for v in record.valves if v.left is not None])
    return found if found == left else f"{found} -> {left}"


def _count(kinds: list[VerdictKind]) -> str:
    each = [f"{kinds.count(k)} {k.value}" for k in dict.fromkeys(kinds)]
    return ", ".join(each) or "nothing measured"
