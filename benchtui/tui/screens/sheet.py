"""An engine's sheet: the figures, where they come from, and what is wrong with them."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from benchtui.domain.errors import BenchError, FaultyInput
from benchtui.text.pages.sheet_page import sheet_page
from benchtui.text.words.refusals import error_words
from benchtui.tui.editor import edit_file
from benchtui.tui.frame import OUTRANK, RolledScreen, plain
from benchtui.tui.keys import SHEET, bindings_for

_NARROWEST = 60
_BESIDE = 2
"""Columns that stay blank beside it."""


class SheetScreen(RolledScreen):
    """One engine's sheet as it is used, or its faults."""

    SCREEN = SHEET
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SHEET)

    def __init__(self, key: str, *, edit: bool = False) -> None:
        super().__init__()
        self._key = key
        self._edit = edit

    def body(self) -> ComposeResult:
        """The sheet as text."""
        with VerticalScroll(id="page"):
            yield Static(id="sheet", markup=False)

    def title_text(self) -> str:
        """Which sheet."""
        return self._key

    def caution_text(self) -> str:
        """Who outranks us."""
        return OUTRANK

    def on_mount(self) -> None:
        """A new sheet goes to the editor first."""
        super().on_mount()
        if self._edit:
            self.call_after_refresh(self.action_edit)

    def refresh_view(self) -> None:
        """Read the file and show it, or everything that is wrong with it."""
        super().refresh_view()
        shown = self.query_one("#sheet", Static)
        try:
            sheet = self.program.workshop.engines.sheet(self._key)
        except FaultyInput as error:
            shown.add_class("out")
            faults = "\n".join(str(fault) for fault in error.faults)
            shown.update(
                plain(
                    f"This sheet cannot be used yet. Enter opens the file.\n\n{faults}", lines=True
                )
            )
        else:
            shown.remove_class("out")
            columns = max(_NARROWEST, self.size.width - _BESIDE)
            shown.update(plain(sheet_page(sheet, columns), lines=True))

    def on_resize(self) -> None:
        """As wide as the screen is now."""
        self.refresh_view()

    def action_edit(self) -> None:
        """Open the owner's own file in the editor, then check it."""
        try:
            path = self.program.workshop.engines.own_sheet(self._key)
            edit_file(self.app, path)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
        self.refresh_view()

    def action_change(self) -> None:
        """Change one's own sheet in the form; of an example begin one's own."""
        from benchtui.tui.screens.engine_form import EngineFormScreen

        workshop = self.program.workshop
        if not workshop.engines.is_own(self._key):
            self.app.push_screen(EngineFormScreen(copy_of=f"example:{self._key}"))
            return
        try:
            workshop.engines.sheet(self._key)
        except FaultyInput:
            self.action_edit()
            return
        self.app.push_screen(EngineFormScreen(self._key))

    def action_read_again(self) -> None:
        """Read the file once more."""
        self.refresh_view()
        self.say("Read again.")

    def action_second_reading(self) -> None:
        """The figures were read twice in the manual."""
        try:
            if self.program.workshop.engines.sheet(self._key).source.checked:
                self.say("Already marked: its figures were read twice in the manual.")
                return
            self.program.workshop.engines.mark_checked(self._key)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self.refresh_view()
        self.say("Marked: the figures were read twice in the manual.")
