"""A screen that is a form: its lines walked by the arrows, each explained while the cursor is in it."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from benchtui.text.quantities.show import inert
from benchtui.tui.frame import WorkScreen
from benchtui.tui.widgets.form_lines import ChoiceLine, FormLine


class FormScreen(WorkScreen):
    """Lines, the explanation of the one in hand, and whatever a form adds below.

    ``examined`` is called whenever an answer has changed.
    """

    LINES: ClassVar[str] = "#lines"

    def lines(self) -> list[FormLine]:
        """The lines that are asked now, top to bottom."""
        return [line for line in self.query(FormLine) if line.display]

    def line(self, name: str) -> FormLine:
        """One line by the name of what it asks."""
        return self.query_one(f"#line-{name}", FormLine)

    def form(self, lines: list[FormLine]) -> ComposeResult:
        """The lines, and room for what is said of the one in hand."""
        with VerticalScroll(id="lines", can_focus=False):
            yield from lines
        yield Static(id="explained", markup=False)

    def current(self) -> FormLine | None:
        """The line that the cursor is in."""
        focused = self.focused
        return next((line for line in self.lines() if line.line is focused), None)

    def go_to(self, name: str) -> None:
        """Put the cursor into a line, at its end."""
        widget = self.line(name).line
        widget.focus()
        if isinstance(widget, Input):
            widget.cursor_position = len(widget.value)

    def action_row_before(self) -> None:
        """One line up."""
        self._step(-1)

    def action_row_after(self) -> None:
        """One line down."""
        self._step(1)

    def _step(self, by: int) -> None:
        lines = self.lines()
        current = self.current()
        at = lines.index(current) if current in lines else -1
        wanted = max(0, min(len(lines) - 1, at + by))
        if lines:
            self.go_to(lines[wanted].asked)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """The cursor came into a line: say what it is for."""
        del event
        self.explain()

    def explain(self) -> None:
        """Show what the line in hand is for."""
        current = self.current()
        told = ""
        if current is not None:
            told = current.wrong or f"{current.cut}{self.explanation(current.asked)}"
        explained = self.query_one("#explained", Static)
        explained.set_class(current is not None and bool(current.wrong), "out")
        explained.update(inert(told))

    def explanation(self, name: str) -> str:
        """What this line is for, with an example."""
        raise NotImplementedError

    def on_key(self, event: events.Key) -> None:
        """A letter or a figure in a line that is chosen says how to change it."""
        if isinstance(self.focused, ChoiceLine) and (event.character or "").isalnum():
            event.stop()
            event.prevent_default()
            self.say("← or → changes this line.", alarm=True)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Something was typed."""
        event.stop()
        self.examined()
        self.explain()

    def on_choice_line_changed(self, event: ChoiceLine.Changed) -> None:
        """Something was chosen."""
        event.stop()
        self.examined()
        self.explain()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter in a line; the library's line takes the key before the screen does."""
        event.stop()
        self.action_go_on()

    def examined(self) -> None:
        """Look at the answers again."""
        raise NotImplementedError

    def action_go_on(self) -> None:
        """What Enter does in this form."""
        raise NotImplementedError
