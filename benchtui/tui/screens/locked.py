"""The keys are locked: nothing gets through but the word that unlocks them."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from benchtui.tui.parts import WithParts
from benchtui.tui.widgets.bigtext import Big, BigText


class LockedScreen(WithParts, ModalScreen[None]):
    """Shown while the keyboard is wiped."""

    def compose(self) -> ComposeResult:
        """Big word, how to unlock, what has been typed of it."""
        with Vertical(classes="dialog"):
            yield BigText(Big("LOCKED"), id="locked")
            yield Static("Wipe the keyboard. Type O P E N to go on.", markup=False)
            yield Static("", id="typed", markup=False, classes="strong")

    def show_typed(self, typed: str) -> None:
        """Show how much of the word has been typed."""
        self.query_one("#typed", Static).update(typed.upper())
