"""A page of text laid over the screen, to be read and put away."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from benchtui.text.quantities.show import inert
from benchtui.tui.parts import WithParts


class ReadScreen(WithParts, ModalScreen[None]):
    """Shows paragraphs; up and down roll them, any of the leaving keys puts them away."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,y,Y", "leave", "Leave"),
        Binding("down", "roll(1)", "Down", show=False),
        Binding("up", "roll(-1)", "Up", show=False),
    ]

    def __init__(self, heading: str, paragraphs: list[str]) -> None:
        super().__init__()
        self._heading, self._paragraphs = heading, paragraphs

    def compose(self) -> ComposeResult:
        """Heading and paragraphs."""
        with VerticalScroll(classes="dialog reading"):
            yield Static(inert(self._heading), markup=False, classes="strong")
            for paragraph in self._paragraphs:
                yield Static(inert(paragraph, lines=True), markup=False, classes="paragraph")
            yield Static("Up and Down roll it, Esc puts it away.", markup=False, classes="faint")

    def action_roll(self, rows: int) -> None:
        """Roll by a row."""
        self.query_one(VerticalScroll).scroll_relative(y=rows, animate=False)

    def action_leave(self) -> None:
        """Put it away."""
        self.dismiss(None)
