"""The lines of a form: a label, what is typed or chosen, and beside it what it was understood as."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input, Label, Static

from benchtui.text.quantities.show import inert

GOOD, BAD = "√", "!!"
"""Before a remark: understood, or not."""


class ChoiceLine(Static, can_focus=True):
    """One of several; left and right choose, so that typing can change nothing by mistake."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "choose(-1)", "The one before", show=False),
        Binding("right", "choose(1)", "The one after", show=False),
    ]

    class Changed(Message):
        """Another one was chosen."""

    def __init__(self, choices: tuple[tuple[str, str], ...], value: str, *, id_: str) -> None:
        super().__init__(id=id_, markup=False)
        self.choices = choices
        self._at = next((at for at, (key, _) in enumerate(choices) if key == value), 0)

    @property
    def value(self) -> str:
        """The value chosen; empty where there is nothing to choose from."""
        return self.choices[self._at][0] if self.choices else ""

    def take(self, value: str) -> None:
        """Choose this value, if it is one of them."""
        self._at = next((at for at, (k, _) in enumerate(self.choices) if k == value), self._at)
        self.refresh(layout=True)

    def render(self) -> str:
        """What is chosen between two arrows."""
        words = inert(self.choices[self._at][1]) if self.choices else "none"
        return f"◄ {words} ►" if len(self.choices) > 1 else words

    def action_choose(self, by: int) -> None:
        """Take the one before or after."""
        if len(self.choices) > 1:
            self._at = (self._at + by) % len(self.choices)
            self.refresh(layout=True)
            self.post_message(self.Changed())

    def on_click(self) -> None:
        """A click takes the next one."""
        self.focus()
        self.action_choose(1)


class TypedLine(Input):
    """One line to type in; the arrows up and down leave it, all else is the library's.

    ``space_means`` is what Space puts into the line while it is empty.
    """

    space_means = ""

    def __init__(self, value: str, hint: str, *, id_: str) -> None:
        super().__init__(value, placeholder=hint, id=id_, select_on_focus=False)

    def on_focus(self) -> None:
        """One goes on where it ends."""
        self.cursor_position = len(self.value)

    def on_blur(self) -> None:
        """It is read from its start: "anticlockwise" cut at the front says the opposite."""
        self.cursor_position = 0

    async def _on_key(self, event: events.Key) -> None:
        if event.key == "space" and self.space_means and not self.value:
            event.stop()
            event.prevent_default()
            self.value = self.space_means
            self.cursor_position = len(self.value)
            return
        await super()._on_key(event)


class FormLine(Horizontal):
    """Label, line, remark. ``id`` is ``line-NAME``, the line's own is ``NAME``."""

    def __init__(
        self,
        name: str,
        label: str,
        value: str = "",
        hint: str = "",
        choices: tuple[tuple[str, str], ...] = (),
        *,
        must: bool = False,
    ) -> None:
        super().__init__(id=f"line-{name}", classes="form-line")
        self.asked = name
        self.wrong = self._told = ""
        self._label = f"{'*' if must else ' '} {label}"
        self.line: ChoiceLine | TypedLine = (
            ChoiceLine(choices, value, id_=name) if choices else TypedLine(value, hint, id_=name)
        )

    def compose(self) -> ComposeResult:
        """As they stand side by side."""
        yield Label(self._label, markup=False)
        yield self.line
        yield Static("", markup=False, classes="remark")

    @property
    def value(self) -> str:
        """What is typed, or the value that is chosen."""
        return self.line.value

    def remark(self, words: str, *, good: bool | None = None) -> None:
        """Say beside it what it was understood as (``good``), what is wrong, or something plain."""
        self.wrong = words if good is False else ""
        self._told = inert(words)
        if good and isinstance(self.line, ChoiceLine) and not words:
            good = None  # what is chosen says it all
        shape = "" if good is None else f"{GOOD if good else BAD} "
        told = self.query_one(".remark", Static)
        told.set_class(good is False, "out")
        told.update(f"{shape}{inert(words)}".rstrip())

    @property
    def cut(self) -> str:
        """The remark as a sentence, where there is no room beside the line for all of it."""
        room = self.query_one(".remark", Static).content_size
        return f"{self._told}. " if room.height == 1 and len(self._told) > room.width > 0 else ""

    def on_click(self, event: events.Click) -> None:
        """A click beside the line goes into it."""
        event.stop()
        self.line.focus()
