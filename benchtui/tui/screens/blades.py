"""The sets of blades: every leaf with what is known of it, and what past sessions say."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import DataTable, Static

from benchtui.blade_shelf import BladeHistory, ShelvedSet
from benchtui.domain.errors import BenchError
from benchtui.text.quantities.show import inert
from benchtui.text.words.blade_words import fault_lines, history_lines, leaf_lines, set_words
from benchtui.text.words.refusals import error_words
from benchtui.tui.editor import edit_file
from benchtui.tui.frame import plain
from benchtui.tui.keys import BLADES, bindings_for
from benchtui.tui.tables import TableScreen


class BladesScreen(TableScreen):
    """The sets on the left, the leaves of the one under the cursor on the right."""

    SCREEN = BLADES
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(BLADES)

    def __init__(self) -> None:
        super().__init__()
        self._sets: dict[str, ShelvedSet] = {}
        self._history: dict[str, BladeHistory] = {}

    def body(self) -> ComposeResult:
        """Sets, leaves, and what the record says of them."""
        with Horizontal():
            table: DataTable[object] = DataTable(cursor_type="row", id="sets")
            # Without the focus, or the table would take the page keys from the leaves.
            table.can_focus = False
            table.add_column("Set", width=16)
            table.add_column("Leaves", width=6)
            yield table
            with VerticalScroll(id="leaves", can_focus=False):
                yield Static(id="listed", markup=False)
        yield Static(id="told", markup=False, classes="undecided")

    def title_text(self) -> str:
        """Whose file it is."""
        shelved = self._sets.get(self.selected() or "")
        if shelved is None:
            return ""
        whose = "your own file" if shelved.own else "came with the program; Enter makes it yours"
        return f"{shelved.key}: {whose}"

    def on_mount(self) -> None:
        """Read the files."""
        self.action_read_again()

    def on_screen_resume(self) -> None:
        """Nothing changes while another screen is up: the keys below read again."""

    def action_read_again(self) -> None:
        """Read every file once more."""
        chosen = self.selected()
        self._sets = {s.key: s for s in self.program.workshop.shelf.sets()}
        self._history.clear()
        table = self.table()
        table.clear()
        for shelved in self._sets.values():
            leaves = "faults" if shelved.blades is None else str(len(shelved.blades.leaves))
            table.add_row(plain(shelved.key), leaves, key=shelved.key)
        if chosen is not None:
            self.select(chosen)
        self.say("")
        self.refresh_view()

    def refresh_view(self) -> None:
        """Show the set under the cursor."""
        super().refresh_view()
        shelved = self._sets.get(self.selected() or "")
        listed = self.query_one("#listed", Static)
        listed.set_class(shelved is not None and shelved.faults is not None, "out")
        if shelved is None:
            listed.update("No set of blades yet: A adds one.")
            return
        if shelved.blades is not None:
            lines = [set_words(shelved.blades), "", *leaf_lines(shelved.blades)]
        else:
            lines = ["This file has faults. Enter opens it in your editor.", ""]
            lines += fault_lines(() if shelved.faults is None else shelved.faults.faults)
        listed.update("\n".join(inert(line) for line in lines))
        self._tell(shelved.key)
        if shelved.key not in self._history:
            self.load(shelved)

    @work(thread=True, exclusive=True)
    def load(self, shelved: ShelvedSet) -> None:
        """Ask the record beside the screen."""
        try:
            told = self.program.workshop.reviews.blade_history(shelved)
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take, shelved.key, told)

    def _take(self, key: str, told: BladeHistory) -> None:
        self._history[key] = told
        if self.here and self.selected() == key:
            self._tell(key)

    def _tell(self, key: str) -> None:
        told = self._history.get(key, BladeHistory())
        self.query_one("#told", Static).update("\n".join(history_lines(told.suspects, told.to_get)))

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        """The cursor stands on another set."""
        event.stop()
        self.query_one("#leaves").scroll_home(animate=False)
        self.refresh_view()

    def action_page_before(self) -> None:
        """A page of leaves up."""
        self.query_one("#leaves").scroll_page_up(animate=False)

    def action_page_after(self) -> None:
        """A page of leaves down."""
        self.query_one("#leaves").scroll_page_down(animate=False)

    def action_edit(self) -> None:
        """Open the set's file in the editor; a shipped one is copied first."""
        key = self.selected()
        if key is not None:
            self._edit(key)

    def _edit(self, key: str) -> None:
        try:
            edit_file(self.app, self.program.workshop.shelf.own_file(key))
        except BenchError as error:
            self.action_read_again()
            self.say(error_words(error), alarm=True)
            return
        self.action_read_again()
        self.select(key)
        shelved = self._sets.get(key)
        if shelved is not None and shelved.faults is not None:
            self.say(
                f"{len(shelved.faults.faults)} faults: Enter opens the file again.", alarm=True
            )

    def action_add(self) -> None:
        """Add a set in a form."""
        from benchtui.tui.screens.blades_form import BladesFormScreen

        self.app.push_screen(BladesFormScreen())

    def action_change(self) -> None:
        """Change one's own set in the form; a usual one is copied from there."""
        from benchtui.tui.screens.blades_form import BladesFormScreen

        shelved = self._sets.get(self.selected() or "")
        if shelved is None or shelved.blades is None:
            self.action_edit()
        else:
            self.app.push_screen(BladesFormScreen(shelved.key if shelved.own else None))
