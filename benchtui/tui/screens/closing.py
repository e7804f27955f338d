"""Closing up: what is missing, the torque list, the tally, and filing the session."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable

from benchtui.domain.cautions import Step, cautions
from benchtui.domain.session.commands import CloseSession, CountItem, TickTorque
from benchtui.domain.session.decide import missing, unticked
from benchtui.domain.session.state import State
from benchtui.text.show import inert, torque_both
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.keys import CLOSING, bindings_for
from benchtui.tui.tables import TableScreen

_VALVE, _TORQUE, _ITEM = "valve", "torque", "item"


class ClosingScreen(TableScreen):
    """Everything that has to be right before the cover goes on and the session is filed."""

    SCREEN = CLOSING
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(CLOSING)

    def body(self) -> ComposeResult:
        """One list of all of it."""
        table: DataTable[object] = DataTable(cursor_type="row", id="closing")
        table.add_column("", key="done", width=7)
        table.add_column("What", key="what", width=40)
        table.add_column("How", key="how", width=28)
        yield table

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def title_text(self) -> str:
        """How much is missing."""
        lacking = len(missing(self.state))
        standing = "nothing missing" if not lacking else f"{lacking} missing: files as partial"
        return f"{self.state.opened.sheet.name}  {standing}"

    def caution_text(self) -> str:
        """Count out; small threads."""
        return cautions(Step.CLOSE, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        table = self.table()
        row = table.cursor_row
        table.clear()
        for key, *cells in self._rows():
            table.add_row(*(inert(c) for c in cells), key=key, height=None)
        table.move_cursor(row=row)

    def _rows(self) -> list[tuple[str, str, str, str]]:
        state = self.state
        rows = [("valve:", "ok", "every valve measured and in range", "")]
        lacking = missing(state)
        if lacking:
            rows = [(f"valve:{n}", "MISSING", what, "") for n, what in enumerate(lacking)]
        left = unticked(state)
        for torque in state.opened.sheet.torques:
            ticked = "to do" if torque.what in left else "tight"
            how = f"{torque_both(torque.low, torque.high)}"
            rows.append((f"{_TORQUE}:{torque.what}", ticked, torque.what, how))
        for item, (went, came) in state.tally.items():
            out = "ok" if came >= went else "SHORT"
            rows.append((f"{_ITEM}:{item}", out, f"{item}: {went} in, {came} out", ""))
        rows.append(("count:", "", "count something in: rags, tools, caps", "Space"))
        return rows

    def action_tick(self) -> None:
        """Tick the torque under the cursor, or count something in."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == _TORQUE:
            self.do(TickTorque(name))
        elif kind == "count":
            self._count_in()
        elif kind == _ITEM:
            self.action_count_up()

    def on_data_table_row_selected(self) -> None:
        """Enter files the session; the table would take the key otherwise."""
        self.action_file()

    def _count_in(self) -> None:
        def typed(text: str | None) -> None:
            if text and text.strip():
                number, _, item = text.strip().partition(" ")
                count = int(number) if number.isdigit() and item else 1
                self.do(
                    CountItem(
                        item if number.isdigit() and item else text.strip(), count, inwards=True
                    )
                )

        self.app.push_screen(Ask("How many of what went in or lie open?", hint="4 rags"), typed)

    def action_count_up(self) -> None:
        """One more came out."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == _ITEM:
            self.do(CountItem(name, 1, inwards=False))

    def action_count_down(self) -> None:
        """One more went in after all."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == _ITEM:
            self.do(CountItem(name, 1, inwards=True))

    def action_open_shims(self) -> None:
        """Every shim of this engine."""
        from benchtui.tui.screens.shims import open_shims

        open_shims(self)

    def action_open_torques(self) -> None:
        """The torques in every unit."""
        from benchtui.tui.screens.torques import TorquesScreen

        self.app.push_screen(TorquesScreen())

    def action_file(self) -> None:
        """File the session, complete or in part."""
        lacking = missing(self.state)
        left = unticked(self.state)
        if not lacking and not left:
            self._file()
            return
        what = [*lacking, *(f"{t}: torque not ticked" for t in left)]
        question = (
            "File it as partial? It does not count as a check."
            if lacking
            else "File it all the same?"
        )
        self.app.push_screen(
            Choose(question, {"f": "file it", "b": "back to the bench"}, "\n".join(what)),
            self._chosen,
        )

    def _chosen(self, key: str | None) -> None:
        if key == "f":
            self._file()
        elif key == "b":
            self.app.pop_screen()

    def _file(self) -> None:
        if self.do(CloseSession()):
            self.program.filed()
