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
from benchtui.text.words.refusals import error_words
from benchtui.tui.keys import shown_key
from benchtui.tui.parts import WithParts

ALL_THE_SAME = "Enter again: it is so."
"""One key takes what was doubted."""


class Ask(WithParts, ModalScreen[str | None]):
    """Asks; the answer is None where the asking was left.

    ``check`` raises BenchError for an answer that cannot be taken; what it says is shown. ``doubt``
    says what is odd about one that can be ("" for nothing): Enter once more takes it all the same.
    ``value`` is offered, and what is typed takes its place; ``first`` was typed on the screen before,
    and what is typed goes on from it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "give_up", "Leave")]

    def __init__(
        self,
        question: str,
        *,
        hint: str = "",
        value: str = "",
        first: str = "",
        check: Callable[[str], object] | None = None,
        doubt: Callable[[str], str] | None = None,
    ) -> None:
        super().__init__()
        self._doubt = doubt
        self._doubted = ""
        self._question, self._hint, self._check = question, hint, check
        self._value, self._first = value, first

    def compose(self) -> ComposeResult:
        """Question, line, what is wrong."""
        with Vertical(classes="dialog"):
            yield Static(inert(self._question), markup=False, classes="strong")
            yield Input(
                self._first or self._value, placeholder=self._hint, select_on_focus=not self._first
            )
            yield Static("Enter takes it. Esc: back, nothing is noted.", id="wrong", markup=False)

    def on_key(self, event: events.Key) -> None:
        """What was typed before the line had the cursor goes into it all the same."""
        if event.is_printable and event.character is not None:
            event.stop()
            line = self.query_one(Input)
            if line.value == self._value and not self._first:
                line.value = ""
            line.insert_text_at_cursor(event.character)

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
            self._tell(error_words(error))
            return
        self.dismiss(event.value)

    def _tell(self, text: str) -> None:
        wrong = self.query_one("#wrong", Static)
        wrong.update(inert(text))
        wrong.add_class("out")

    def action_give_up(self) -> None:
        """Leave without an answer."""
        self.dismiss(None)


class Choose(WithParts, ModalScreen[str | None]):
    """A question with numbered answers, given back by their names; Esc leaves it.

    ``enter`` names the answer that Enter stands for, ``keys`` the letters instead of numbers: only the
    three answers of a blade have letters of their own.
    """

    def __init__(
        self,
        question: str,
        answers: dict[str, str],
        detail: str = "",
        *,
        enter: str = "",
        keys: tuple[str, ...] = tuple("123456789"),
    ) -> None:
        super().__init__()
        self._question, self._answers, self._detail = question, answers, detail
        self._keys: dict[str, tuple[str, ...]] = {
            name: ("enter",) if name == enter else () for name in answers
        }
        numbered = [name for name in answers if name != enter]
        self._keys |= {name: tuple(letters) for name, letters in zip(numbered, keys, strict=False)}

    def compose(self) -> ComposeResult:
        """Question, detail, the answers with their keys."""
        with Vertical(classes="dialog"):
            yield Static(inert(self._question), markup=False, classes="strong")
            if self._detail:
                yield Static(inert(self._detail, lines=True), markup=False)
            for name, words in self._answers.items():
                key = " or ".join(map(shown_key, self._keys[name]))
                yield Static(
                    f" {key:<{self._wide}}  {inert(words)}", markup=False, classes="answer"
                )
            yield Static("Esc: back, all stays as it is.", markup=False, classes="faint")

    def on_key(self, event: events.Key) -> None:
        """A key that answers; it goes no further, or the screen below would take it as well."""
        key = event.key.lower()
        chosen = next((name for name, keys in self._keys.items() if key in keys), None)
        if chosen is not None or key == "escape":
            event.stop()
            event.prevent_default()
            self.dismiss(chosen)

    @property
    def _wide(self) -> int:
        return max(len(" or ".join(map(shown_key, keys))) for keys in self._keys.values())

    def on_click(self, event: object) -> None:
        """A click on an answer."""
        widget = getattr(event, "widget", None)
        rows = list(self.query(".answer"))
        if widget in rows:
            self.dismiss(list(self._answers)[rows.index(widget)])
