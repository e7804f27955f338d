"""What is due, as a page for the workshop's wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from benchtui.text.pages.card_html import document
from benchtui.text.pages.sheet_page import OUTRANKED
from benchtui.text.quantities import show
from benchtui.text.quantities.show import inert

SIZE = 14.0
"""Points: to be read standing, at two arm's lengths (design value)."""


@dataclass(frozen=True, slots=True)
class DueRow:
    """One engine: how pressing it is in a word, its name, when and why, and what else there is."""

    word: str
    name: str
    says: str
    notes: tuple[str, ...]


def due_html(workshop: tuple[str, ...], rows: Sequence[DueRow], today: date) -> str:
    """The whole document; texts from files are made harmless."""
    return document("Valve clearances due", _body(workshop, rows, today), SIZE)


def _body(workshop: tuple[str, ...], rows: Sequence[DueRow], today: date) -> Iterator[str]:
    yield from (f"<p>{_safe(line)}</p>" for line in workshop)
    yield f'<h1>Valve clearances due, as of {show.date(today)}</h1><ul class="steps">'
    for row in rows:
        words = " ".join([row.says, *row.notes])
        yield f"<li>&#9744; <b>{_safe(row.word)}: {_safe(row.name)}</b><br>{_safe(words)}</li>"
    yield f'</ul><p class="small">{_safe(OUTRANKED)}</p>'


def _safe(text: str) -> str:
    return escape(inert(text))
