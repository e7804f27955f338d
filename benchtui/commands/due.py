"""``benchtui due``: every engine with what is due, the most pressing first."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from benchtui.commands.shop import shop_to_read
from benchtui.domain.errors import Unable
from benchtui.domain.history.due import Due, order
from benchtui.store.bundle import put_new
from benchtui.text.exports.ics import DueDay, calendar, is_ours
from benchtui.text.pages.due_html import DueRow, due_html
from benchtui.text.quantities.show import date as day_words
from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.blade_words import history_lines
from benchtui.text.words.due_words import due_sentence
from benchtui.workshop import Engine, Row, Workshop

OVERDUE = 1
"""Exit status where anything is overdue, or was left out because it cannot be read."""

COLUMNS, INDENT = 80, " " * 14

HYDRAULIC = "Hydraulic adjusters: there is no clearance to check."
NO_INTERVAL = "The sheet gives no interval, so nothing is ever due."


@dataclass(frozen=True, slots=True)
class EngineDue:
    """One engine and what is due; ``why`` says why there is no ``due``."""

    engine: Engine
    due: Due | None
    last: date | None
    why: str = ""

    @property
    def name(self) -> str:
        """What the engine is called, or its sheet where that cannot be read."""
        return self.engine.key if self.engine.sheet is None else self.engine.sheet.name

    @property
    def word(self) -> str:
        """How pressing it is, in a word or two."""
        if self.due is None:
            return "faulty sheet" if self.engine.faults else "not due"
        if self.due.overdue is None:
            return "perhaps" if self.due.limits and self.due.date else "not known"
        return "OVERDUE" if self.due.overdue else "soon" if self.due.soon else "later"

    @property
    def says(self) -> str:
        """The whole in a sentence."""
        return self.why if self.due is None else due_sentence(self.due)

    @property
    def notes(self) -> tuple[str, ...]:
        """What else is to be said; of an engine that was never at the bench, the sentence says enough."""
        last = () if self.last is None else (f"Last checked {day_words(self.last)}.",)
        return (*last, *(self.due.notes if self.due is not None and self.due.date else ()))


def run_due(data: str | None, *, ics: str | None, as_json: bool, form: str = "text") -> int:
    """Print what is due; the status is ``OVERDUE`` if anything is, or may be.

    Raises:
        BenchError: the calendar file exists or cannot be written, or no day is known.
    """
    workshop = shop_to_read(data)
    standings = standing(workshop)
    troubles = workshop.reviews.troubles()
    for trouble in (*troubles, *workshop.reviews.clock_doubts()):
        print(f"benchtui: {inert(trouble)}", file=sys.stderr)
    if not standings and not as_json:
        print("No engine of yours yet: benchtui opens the program, which offers to add one.")
    if ics is not None:
        days = [day for s in standings if (day := _day(s)) is not None]
        if not days:
            raise Unable("No day is known on which a check is due, so no calendar was written.")
        put_new(Path(ics), calendar(days, workshop.clock()), is_ours)
    if as_json:
        for each in standings:
            print(json.dumps(_document(each)))
    elif form == "html":
        listed = [DueRow(s.word, s.name, s.says, s.notes) for s in standings]
        print(due_html(workshop.reviews.letterhead(), listed, workshop.clock().date()))
    else:
        _print(standings)
        for line in blade_lines(workshop):
            print(inert(line))
    return OVERDUE if troubles or any(s.due and s.due.overdue for s in standings) else 0


def standing(workshop: Workshop) -> list[EngineDue]:
    """The owner's engines with what is due, sorted; those of which nothing can be told come last.

    The invented examples are never due.
    """
    rows = workshop.past_sessions.rows()
    used = {r.engine for r in rows if not r.practice}
    found = [_standing(workshop, engine, rows) for engine in workshop.engines.owned(used)]
    known = sorted((s for s in found if s.due is not None), key=_by_urgency)
    return [*known, *(s for s in found if s.due is None)]


def blade_lines(workshop: Workshop) -> list[str]:
    """What past sessions say of the blades: leaves to doubt, and sizes that would have decided."""
    lines = []
    for shelved in workshop.shelf.sets():
        told = workshop.reviews.blade_history(shelved)
        lines += [f"{shelved.key}: {t}" for t in history_lines(told.suspects, told.to_get)]
    return ["", "Blades", *lines] if lines else []


def _by_urgency(standing: EngineDue) -> tuple[int, int, Any]:
    assert standing.due is not None
    return order(standing.due)


def _standing(workshop: Workshop, engine: Engine, rows: list[Row]) -> EngineDue:
    sheet = engine.sheet
    if sheet is None:
        count = len(engine.faults.faults) if engine.faults is not None else 0
        many = "s" if count != 1 else ""
        return EngineDue(
            engine, None, None, f"{count} fault{many}: benchtui sheet {engine.key} lists them."
        )
    mine = [r for r in rows if r.engine == engine.key and r.counts]
    last = next((r.started.date() for r in mine if r.complete), None)
    if not sheet.adjuster.set_by.measured:
        return EngineDue(engine, None, last, HYDRAULIC)
    due = workshop.reviews.due(sheet, rows)
    return EngineDue(engine, due, last, NO_INTERVAL if due is None else "")


def _print(standings: list[EngineDue]) -> None:
    """Each engine in a paragraph; no word and no date is broken."""
    for each in standings:
        print(f"{each.word:<12}  {inert(each.name)}")
        for text in (each.says, *each.notes):
            for line in wrap(inert(text), COLUMNS - len(INDENT)):
                print(f"{INDENT}{line}")


def _document(standing: EngineDue) -> dict[str, Any]:
    due = standing.due
    return {
        "engine": standing.engine.key,
        "name": standing.name,
        "last_check": None if standing.last is None else standing.last.isoformat(),
        "date": None if due is None or due.date is None else due.date.isoformat(),
        "foretold": due is not None and due.foretold,
        "odometer_km": None if due is None or due.at_km is None else float(due.at_km),
        "hours": None if due is None or due.at_hours is None else float(due.at_hours),
        "overdue": None if due is None else due.overdue,
        "soon": due is not None and due.soon,
        "reason": "" if due is None else due.reason,
        "sentence": standing.says,
        "notes": [] if due is None else list(due.notes),
    }


def _day(standing: EngineDue) -> DueDay | None:
    due = standing.due
    if due is None or due.date is None:
        return None
    return DueDay(standing.engine.key, standing.name, due.date, standing.says)
