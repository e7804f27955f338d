"""Torques: every figure of the sheet in every unit, and what a wrench is to be set to."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable, Static

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.session.facts.state import State
from benchtui.text.quantities.show import inert
from benchtui.text.words.torque_words import (
    OnWrench,
    extension_of,
    setting_words,
    torque_notes,
    torque_units,
    wrench_of,
    wrench_words,
)
from benchtui.tui.ask import Ask
from benchtui.tui.keys import TORQUES, bindings_for
from benchtui.tui.screens.setting import plain_lines
from benchtui.tui.tables import TableScreen, cell


class TorquesScreen(TableScreen):
    """The torque list in both systems; below it, the line under the cursor on a wrench."""

    SCREEN = TORQUES
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(TORQUES)

    def body(self) -> ComposeResult:
        """The table, the wrench's setting, what to mind."""
        table: DataTable[object] = DataTable(cursor_type="row", id="torques")
        for key, heading, width in (
            ("what", "What", 22),
            ("nm", "N m", 14),
            ("ft", "lbf ft", 16),
            ("in", "lbf in", 16),
        ):
            table.add_column(heading, key=key, width=width)
        yield table
        yield Static(id="wrench", markup=False, classes="strong")
        yield Static(id="doubts", markup=False, classes="caution")

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def title_text(self) -> str:
        """The engine."""
        return self.state.opened.sheet.name

    def caution_text(self) -> str:
        """Small threads take the manual's figure only."""
        return cautions(CautionAt.CLOSE, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        table = self.table()
        row = table.cursor_row
        table.clear()
        for at, torque in enumerate(self.state.opened.sheet.torques):
            cells = (torque.what, *torque_units(torque))
            table.add_row(*(cell(c) for c in cells), key=str(at), height=None)
        table.move_cursor(row=row)
        self._show_row()

    def on_data_table_row_highlighted(self) -> None:
        """Another line is under the cursor."""
        self._show_row()

    def _show_row(self) -> None:
        key = self.selected()
        torques = self.state.opened.sheet.torques
        doubts = self.query_one("#doubts", Static)
        if key is None:
            self.query_one("#wrench", Static).update("The sheet lists no torque.")
            doubts.display = False
            return
        torque = torques[int(key)]
        on = self.program.wrench
        words = "1: a torque wrench, to work out its setting. 2: a crowfoot on it."
        if on is not None:
            words = f"{torque.what}: {setting_words(torque, on)}\n{wrench_words(on)}"
        self.query_one("#wrench", Static).update(inert(words, lines=True))
        notes = torque_notes(torque)
        doubts.update(plain_lines([f"! {note}" for note in notes]))
        doubts.display = bool(notes)

    def action_wrench(self) -> None:
        """Type the torque wrench's length and range."""

        def typed(text: str | None) -> None:
            if text:
                on = self.program.wrench
                wrench = wrench_of(text)
                self.program.wrench = OnWrench(wrench) if on is None else replace(on, wrench=wrench)
                self._show_row()

        self.app.push_screen(
            Ask(
                "The wrench: from square to grip, then its range",
                hint="300 mm, 5 to 25 N*m",
                check=wrench_of,
            ),
            typed,
        )

    def action_extension(self) -> None:
        """Type the length and angle of a crowfoot or an extension."""
        if self.program.wrench is None:
            self.say("First the wrench itself: 1.", alarm=True)
            return

        def typed(text: str | None) -> None:
            on = self.program.wrench
            if text is not None and on is not None:
                extension, angle = extension_of(text)
                self.program.wrench = replace(on, extension=extension, angle=angle)
                self._show_row()

        self.app.push_screen(
            Ask(
                "The crowfoot or extension: from nut to square, and its angle",
                hint="50 mm, or 50 mm at 90 (square to the wrench), or none",
                check=extension_of,
            ),
            typed,
        )
