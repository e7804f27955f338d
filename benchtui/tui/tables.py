"""A screen that is a list: rows that the keys walk."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import DataTable

from benchtui.text.quantities.show import inert
from benchtui.tui.frame import WorkScreen


def cell(text: str) -> Text:
    """What a file or a person wrote, in a table: no markup; what is too long goes on below."""
    return Text(inert(text))


class TableScreen(WorkScreen):
    """A screen with one table that the keys walk, whatever has the focus."""

    def table(self) -> DataTable[object]:
        """The table."""
        return self.query_one(DataTable)

    def selected(self) -> str | None:
        """The key of the row under the cursor."""
        table = self.table()
        if not table.row_count:
            return None
        key = table.coordinate_to_cell_key(table.cursor_coordinate).row_key.value
        return None if key is None else str(key)

    def select(self, key: str) -> None:
        """Put the cursor on a row, if it is there."""
        table = self.table()
        for index, row in enumerate(table.ordered_rows):
            if row.key.value == key:
                table.move_cursor(row=index)

    def action_row_before(self) -> None:
        """One row up."""
        self.table().action_cursor_up()

    def action_row_after(self) -> None:
        """One row down."""
        self.table().action_cursor_down()

    def action_page_before(self) -> None:
        """One page up."""
        self.table().action_page_up()

    def action_page_after(self) -> None:
        """One page down."""
        self.table().action_page_down()
