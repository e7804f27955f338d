"""The page for whoever goes on with a session: what is loose, where it stopped, what is next."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from benchtui.text.pages.handover import KEEP_OFF
from benchtui.tui.card import write_handover
from benchtui.tui.frame import RolledScreen, plain
from benchtui.tui.keys import HANDOVER, bindings_for


class HandoverScreen(RolledScreen):
    """Shows the page as it would be printed, and writes it into a file on demand."""

    SCREEN = HANDOVER
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(HANDOVER)

    def __init__(self, session_id: str, text: str) -> None:
        super().__init__()
        self._session, self._text = session_id, text

    def body(self) -> ComposeResult:
        """The page."""
        with VerticalScroll(can_focus=False, id="page"):
            yield Static(plain(self._text, lines=True), markup=False)

    def title_text(self) -> str:
        """Which session."""
        return self._session

    def caution_text(self) -> str:
        """Nobody starts it."""
        return KEEP_OFF if "Nobody starts" in self._text else ""

    def action_write_page(self) -> None:
        """Write it beside the data."""
        write_handover(self, self._session)
