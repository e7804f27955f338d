"""Numbered choices in letters to be read from afar, the cursor at one of them."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.message import Message

from benchtui.text.quantities.wrapping import wrap
from benchtui.tui.widgets import bigtext
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.picture import Picture

CURSOR = "►"
_WORDS = 10
_ROWS = 4
"""Three rows a choice and one of air; a low screen goes without the air, then without the letters."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What it is called, and two plain sentences."""

    name: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Choices:
    """The choices, numbered from 1, and the index of the one under the cursor."""

    all: tuple[Choice, ...]
    at: int = 0


def tops(view: Choices, height: int) -> tuple[int, ...]:
    """The row on which each choice begins."""
    room = _ROWS if height >= _high(view, _ROWS) else _ROWS - 1 if height >= _high(view, 3) else 1
    found, y = [], 0
    for choice in view.all:
        found.append(y)
        y += room if choice.lines else min(room, 2)
    return tuple(found)


def _high(view: Choices, rows: int) -> int:
    return sum(rows if choice.lines else 1 for choice in view.all)


def draw(view: Choices, width: int, height: int) -> Grid:
    """Number, name and sentences of each; the one under the cursor is pointed at and strong."""
    grid = Grid(width, height)
    starts = tops(view, height)
    for number, (choice, y) in enumerate(zip(view.all, starts, strict=True), start=1):
        here = number - 1 == view.at
        room = (starts[number] if number < len(starts) else height) - y
        tall = bool(choice.lines) and room >= len(choice.lines) + 1
        if tall:
            for row, line in enumerate(bigtext.lines(Big(str(number)), 4, 3)):
                grid.put(4, y + row, line, Role.STRONG if here else Role.FAINT)
            for row, line in enumerate(_told(choice, width - _WORDS - 1, room - 1), start=1):
                grid.put(_WORDS + 1, y + row, line, Role.PLAIN)
        else:
            grid.put(4, y, str(number), Role.STRONG)
        grid.put(_WORDS + 1, y, choice.name, Role.CURSOR if here else Role.STRONG)
        if here:
            grid.put(1, y + (1 if tall else 0), CURSOR, Role.STRONG)
    return grid


def _told(choice: Choice, columns: int, rows: int) -> list[str]:
    """Both sentences as they are; on a narrow screen what fits of them, sentence by sentence."""
    if max(map(len, choice.lines)) <= columns:
        return list(choice.lines)
    *first, _ = sentences = " ".join(choice.lines).split(". ")
    whole = wrap(". ".join(sentences), columns)
    return whole if len(whole) <= rows or not first else wrap(f"{first[0]}.", columns)[:rows]


class ChoicesPicture(Picture[Choices]):
    """The choices; a click on one takes it."""

    class Taken(Message):
        """The choice at this index was clicked."""

        def __init__(self, at: int) -> None:
            super().__init__()
            self.at = at

    def draw(self, view: Choices, width: int, height: int) -> Grid:
        """The picture (see :func:`draw`)."""
        return draw(view, width, height)

    def on_click(self, event: events.Click) -> None:
        """Take the choice under the pointer."""
        if self.view is not None:
            above = [at for at, y in enumerate(tops(self.view, self.size.height)) if y <= event.y]
            self.post_message(self.Taken(above[-1] if above else 0))
