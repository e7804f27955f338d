"""More: everything that the screen below can do, with its key; typing finds."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from benchtui.text.quantities.wrapping import wrap
from benchtui.tui.keys import Command
from benchtui.tui.parts import WithParts

_SENTENCE = 59
"""Columns of a sentence; its keys stand behind it."""


class MoreScreen(WithParts, ModalScreen[str | None]):
    """Gives back the action chosen; those without a key of their own stand first."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave")]

    def __init__(self, heading: str, commands: list[Command]) -> None:
        super().__init__()
        self._heading = heading
        self._all = sorted((c for c in commands if c.id != "more"), key=lambda c: bool(c.keys))
        self._words = ""
        self._at = 0

    def compose(self) -> ComposeResult:
        """What is looked for, and the lines that hold it."""
        with Vertical(classes="dialog more"):
            yield Static(id="more-find", markup=False, classes="strong")
            yield Static(id="more-found", markup=False)
            yield Static("Type to find; Enter or the number does it; Esc.", classes="faint")

    def on_mount(self) -> None:
        """Show everything."""
        self._show()

    def found(self) -> list[Command]:
        """What holds every word typed, in its sentence or its key."""
        words = self._words.lower().split()
        told = [(c, f"{c.help} {c.label} {' '.join(c.shown)}".lower()) for c in self._all]
        return [c for c, text in told if all(word in text for word in words)]

    def _show(self) -> None:
        self.query_one("#more-find", Static).update(
            f"More: {self._heading.lower()}   find {self._words}█"
        )
        rows: list[str] = []
        top = 0
        room = max(1, self.size.height - _FRAME)
        for at, command in enumerate(self.found()):
            first, *rest = wrap(command.help.rstrip("."), _SENTENCE)
            mark = "►" if at == self._at else " "
            number = at + 1 if at < _NUMBERED else ""
            top = len(rows) if at == self._at else top
            rows.append(f"{mark} {number:<2} {first:<{_SENTENCE}} {' '.join(command.shown[:2])}")
            rows += [f"     {line}" for line in rest]
        first_row = max(0, min(top - room // 2, len(rows) - room))
        seen = rows[first_row : first_row + room]
        below = len(rows) - first_row - len(seen)
        if below > 0:
            seen[-1] = f"  ↓  {below + 1} more rows"
        if first_row:
            seen[0] = f"  ↑  {first_row + 1} more rows"
        self.query_one("#more-found", Static).update(
            "\n".join(seen) or "Nothing of that here. Backspace takes a letter back."
        )

    def on_key(self, event: events.Key) -> None:
        """A number does its line; letters find; up and down go to a line, Enter does it."""
        if event.key == "escape":
            return
        event.stop()
        found = self.found()
        if event.key in ("up", "down"):
            by = 1 if event.key == "down" else -1
            self._at = max(0, min(len(found) - 1, self._at + by))
        elif event.key == "enter":
            self._do(self._at)
        elif event.key == "backspace":
            self._words, self._at = self._words[:-1], 0
        elif event.character and event.character.isdigit() and event.character != "0":
            self._do(int(event.character) - 1)
        elif event.character and event.is_printable:
            self._words, self._at = self._words + event.character, 0
        if self.is_current:
            self._show()

    def _do(self, at: int) -> None:
        found = self.found()
        if 0 <= at < len(found):
            self.dismiss(found[at].action())

    def action_leave(self) -> None:
        """Back, nothing done."""
        self.dismiss(None)

    def on_resize(self) -> None:
        """More rows may fit, or fewer."""
        self._show()


_NUMBERED = 9
_FRAME = 4
"""Rows of the border, of what is looked for and of what the keys do."""
