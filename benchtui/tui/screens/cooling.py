"""Two temperatures and the time between: when will it be cold?"""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from benchtui.domain.cooling import ASSUMED, cold_in, cold_words
from benchtui.domain.errors import BenchError, Unable
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import inert, temperature
from benchtui.text.words.refusals import error_words
from benchtui.tui.parts import WithParts

_LINES = (
    ("first", "Metal, first reading", "as in 62 C"),
    ("minutes", "Minutes between", "as in 30"),
    ("later", "Metal, second reading", "as in 48 C"),
    ("air", "Air beside it", "as in 15 C"),
)


def _minutes(text: str) -> Fraction:
    return measure.hours(f"{text} min" if text.isdigit() else text) * 60


_READ = {
    "first": measure.temperature,
    "minutes": _minutes,
    "later": measure.temperature,
    "air": measure.temperature,
}
_HELP = "Enter: reckon it.   Down: next line.   Esc: back."


class CoolingScreen(WithParts, ModalScreen[None]):
    """Asks for two readings and the air; says when, how surely, and what that rests on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave"),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
    ]

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet

    def compose(self) -> ComposeResult:
        """The questions, then what comes of them."""
        limit = self._sheet.clearances.metal_below
        wanted = "no limit on its sheet" if limit is None else f"below {temperature(limit)}"
        with Vertical(classes="dialog form"):
            yield Static(inert(f"When will it be cold ({wanted})?"), markup=False, classes="strong")
            for id_, label, hint in _LINES:
                yield Horizontal(Label(label), Input("", placeholder=hint, id=id_))
            yield Static(_HELP, id="found", markup=False)
            yield Static(ASSUMED, markup=False, classes="faint")

    def on_mount(self) -> None:
        """Begin at the first reading."""
        self.query_one("#first", Input).focus()

    def on_input_submitted(self) -> None:
        """Reckon it, or say what is missing."""
        found = self.query_one("#found", Static)
        try:
            words = self._reckon()
        except BenchError as error:
            found.update(inert(error_words(error), lines=True))
            found.add_class("out")
            self.app.bell()
            return
        found.remove_class("out")
        found.update(inert(words))

    def _reckon(self) -> str:
        limit = self._sheet.clearances.metal_below
        if limit is None:
            raise Unable("This engine's sheet gives no temperature to wait for.")
        read: dict[str, Fraction] = {}
        wrong: list[str] = []
        for id_, label, hint in _LINES:
            text = self.query_one(f"#{id_}", Input).value.strip()
            try:
                if text:
                    read[id_] = _READ[id_](text)
                else:
                    wrong.append(f"{label}: not filled in, {hint}.")
            except BenchError as error:
                wrong.append(f"{label}: {error}")
        if wrong:
            raise Unable("\n".join(wrong))
        first, later, between, air = (read[id_] for id_ in ("first", "later", "minutes", "air"))
        return cold_words(cold_in(first, later, between, air, limit))

    def action_leave(self) -> None:
        """Back to where it was asked."""
        self.dismiss(None)
