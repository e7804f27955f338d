"""The plainest program of its kind: a header, a footer and one table. What ours is measured against."""

from __future__ import annotations

from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable, Footer, Header

ENGINES = tuple(f"Engine number {k}" for k in range(1, 8))


class BareApp(App[None]):
    """One table; F changes a cell."""

    BINDINGS: ClassVar[list[BindingType]] = [("f", "change", "Change"), ("q", "quit", "Quit")]

    def compose(self) -> ComposeResult:
        """Header, table, footer."""
        yield Header()
        yield DataTable(cursor_type="row")
        yield Footer()

    def on_mount(self) -> None:
        """Fill the table."""
        self._count = 0
        table = self.query_one(DataTable)
        for name in ("Engine", "Due", "Last check", "In hand"):
            table.add_column(name, key=name)
        for name in ENGINES:
            table.add_row(name, "...", "", "", key=name)
        table.focus()

    def action_change(self) -> None:
        """Count up in a cell."""
        self._count += 1
        self.query_one(DataTable).update_cell(ENGINES[0], "Due", str(self._count))


if __name__ == "__main__":
    BareApp().run()
