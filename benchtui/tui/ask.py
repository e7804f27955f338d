"""A question with one line to answer it, checked before it is taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from benchtui.domain.errors import BenchError
from benchtui.text.quantities.show import inert

ALL_THE_SAME = "Enter again: it is so."
"""One key takes what was doubted."""


class Ask(ModalScreen[str | None]):
    """Asks; the answer is None where the asking was left.

    ``check`` raises BenchError for an answer that cannot be taken; what it says is shown. ``doubt``
    says what is odd about one that can be ("" for nothing): Enter once more takes it all the same.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "give_up", "Leave")]

    def __init__(
        self,
        question: str,
        *,
        hint: str = "",
        value: str = "",
        check: Callable[[str], object] | None = None,
        doubt: Callable[[str], str] | None = None,
    ) -> None:
        super().__init__()
        self._doubt = doubt
        self._doubted = ""
        self._question, self._hint, self._value, self._check = question, hint, value, check

    def compose(self) -> ComposeResult:
        """Question, line, what is wrong."""
        with Vertical(classes="dialog"):
            yield Static(inert(self._question), markup=False, classes="strong")
            yield Input(self._value, placeholder=self._hint)
            yield Static("Enter to take it, Esc to leave it.", id="wrong", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the answer if it can be taken."""
        try:
            if self._check is not None:
                self._check(event.value)
            if self._doubt is not None and event.value != self._doubted:
                odd = self._doubt(event.value)
                if odd:
                    self._doubted = event.value
                    self._tell(f"{odd} {ALL_THE_SAME}")
                    return
        except BenchError as error:
            self._tell(str(error))
            return
        self.dismiss(event.value)

    def _tell(self, text: str) -> None:
        wrong = self.query_one("#wrong", Static)
        wrong.update(inert(text))
        wrong.add_class("out")

    def action_give_up(self) -> None:
        """Leave without an answer."""
        self.dismiss(None)


class Choose(ModalScreen[str | None]):
    """A question with a key for each answer; Esc leaves it."""

    def __init__(self, question: str, answers: dict[str, str], detail: str = "") -> None:
        super().__init__()
        self._question, self._answers, self._detail = question, answers, detail

    def compose(self) -> ComposeResult:
        """Question, detail, the answers with their keys."""
        with Vertical(classes="dialog"):
            yield Static(inert(self._question), markup=False, classes="strong")
            if self._detail:
                yield Static(inert(self._detail, lines=True), markup=False)
            for key, words in self._answers.items():
                yield Static(f" {key.upper()}  {inert(words)}", markup=False, classes="answer")
            yield Static("Esc leaves it.", markup=False, classes="faint")

    def on_key(self, event: events.Key) -> None:
        """A key that answers; it goes no further, or the screen below would take it as well."""
        key = event.key.lower()
        if key in self._answers or key == "escape":
            event.stop()
            event.prevent_default()
            self.dismiss(key if key in self._answers else None)

    def on_click(self, event: object) -> None:
        """A click on an answer."""
        widget = getattr(event, "widget", None)
        rows = list(self.query(".answer"))
        if widget in rows:
            self.dismiss(list(self._answers)[rows.index(widget)])
