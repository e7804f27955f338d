"""Past sessions, newest first, filtered as you type."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable, Input, Static

from benchtui.domain.errors import BenchError
from benchtui.text.words.refusals import error_words
from benchtui.tui.card import write_card
from benchtui.tui.frame import WHERE_ONE_ONLY_READS, plain
from benchtui.tui.keys import SESSIONS, bindings_for
from benchtui.tui.present_rows import (
    DAMAGED,
    NOT_CLOSED,
    SHORT,
    SIGNS_KEY,
    Listed,
    cells,
    listed,
    widths,
)
from benchtui.tui.tables import TableScreen

CHUNK = 60
"""So many rows go into the table at once; more follow as the cursor nears the end."""


_NONE_YET = "No session yet. Esc, and Enter on an engine of yours begins its first check."
_NONE_HOLDS = "No session holds all of these words. Backspace takes a letter back; empty shows all."
_NONE_CHOSEN = "There is no session in this list."


class SessionsScreen(TableScreen):
    """Every stored session in a line, those of one engine first; damaged ones are shown as damaged."""

    SCREEN = SESSIONS
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SESSIONS)
    VERTICAL_BREAKPOINTS = WHERE_ONE_ONLY_READS

    def __init__(self, engine: str = "") -> None:
        super().__init__()
        self._engine = engine
        self._all: tuple[Listed, ...] = ()
        self._matched: tuple[Listed, ...] = ()
        self._loaded = False

    def body(self) -> ComposeResult:
        """The line to type in, and the table."""
        yield Input(
            placeholder="press / and type: engine, date, verdict, who", id="filter", compact=True
        )
        yield DataTable(cursor_type="row", id="sessions")
        yield Static(id="none-here", markup=False)
        yield Static(SIGNS_KEY, markup=False, classes="faint")

    def title_text(self) -> str:
        """How many are shown of how many."""
        if not self._loaded:
            return "reading..."
        if len(self._matched) == len(self._all):
            order = "the chosen engine's first" if self._engine else "newest first"
            return f"{len(self._all)} in all, {order}"
        return f"{len(self._matched)} of {len(self._all)}"

    def on_mount(self) -> None:
        """The list takes the keys; the line takes them after the filter key."""
        self.table().focus()

    def on_screen_resume(self) -> None:
        """Read the register again: a session may have been filed or come in."""
        super().on_screen_resume()
        self.load()

    @work(thread=True, exclusive=True)
    def load(self) -> None:
        """Read beside the screen: the keys are never held up."""
        try:
            every = listed(self.program.workshop.past_sessions.rows())
            rows = tuple(sorted(every, key=lambda row: row.engine != self._engine))
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take, rows)

    def _take(self, rows: tuple[Listed, ...]) -> None:
        if not self.here:
            return
        if self._loaded and rows == self._all:
            return
        chosen = self.selected()
        self._all, self._loaded = rows, True
        self._filter()
        if chosen is not None:
            self._seek(chosen)

    def on_resize(self) -> None:
        """The columns share whatever width there is."""
        if self._loaded:
            self._filter()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Filter at each key."""
        event.stop()
        self._filter()

    def on_input_submitted(self) -> None:
        """Enter in the line goes to the list."""
        self.table().focus()

    def _filter(self) -> None:
        words = self.query_one("#filter", Input).value.lower().split()
        self._matched = tuple(x for x in self._all if all(w in x.words for w in words))
        table = self.table()
        table.clear(columns=True)
        for heading, width in zip(SHORT, widths(self.size.width), strict=True):
            table.add_column(heading, width=width)
        self._more()
        empty = self.query_one("#none-here", Static)
        empty.update(_NONE_HOLDS if self._all else _NONE_YET)
        empty.display = not self._matched
        self.refresh_view()

    def _more(self) -> None:
        """Put the next rows in, as many as a few screens hold."""
        table = self.table()
        start = table.row_count
        for row in self._matched[start : start + CHUNK]:
            table.add_row(*(plain(c) for c in cells(row)), key=row.session)

    def _seek(self, session: str) -> None:
        """Put the cursor back on a session, if it still matches."""
        places = [i for i, row in enumerate(self._matched) if row.session == session]
        if places:
            while self.table().row_count <= places[0]:
                self._more()
            self.table().move_cursor(row=places[0])

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        """More rows before the cursor can reach the end."""
        event.stop()
        if event.cursor_row >= self.table().row_count - CHUNK // 2:
            self._more()

    def on_data_table_row_selected(self) -> None:
        """Enter, or a click on the row under the cursor."""
        self.action_open_session()

    def action_filter(self) -> None:
        """Type into the line."""
        self.query_one("#filter", Input).focus()

    def action_leave(self) -> None:
        """From the line to the list; from the list to the screen before."""
        line = self.query_one("#filter", Input)
        if line.has_focus:
            self.table().focus()
        else:
            super().action_leave()

    def action_open_session(self) -> None:
        """Show this session; of one that was left open, ask what to do with it."""
        from benchtui.tui.screens.resume import offer, offer_sound_part
        from benchtui.tui.screens.session import SessionScreen

        session, chosen = self.selected(), self._chosen()
        if session is None:
            self.say(_NONE_CHOSEN)
            return

        def look() -> None:
            self.app.push_screen(SessionScreen(session))

        if chosen is not None and chosen.ended == NOT_CLOSED:
            offer(self, session, look)
        elif chosen is not None and chosen.ended == DAMAGED and not chosen.unreadable:
            offer_sound_part(self, session, look)
        else:
            look()

    def _chosen(self) -> Listed | None:
        session = self.selected()
        return next((row for row in self._matched if row.session == session), None)

    def action_side_by_side(self) -> None:
        """Put this session beside the one before of the same engine."""
        from benchtui.tui.screens.compare import CompareScreen

        chosen = self._chosen()
        if chosen is None:
            self.say(_NONE_CHOSEN)
            return
        same = [row for row in self._all if row.engine == chosen.engine and not row.unreadable]
        places = [i for i, row in enumerate(same) if row.session == chosen.session]
        if not places:
            self.say("Nothing of this session can be read.", alarm=True)
        elif places[0] + 1 >= len(same):
            self.say("This engine has no earlier session to put beside it.")
        else:
            earlier = tuple(row.session for row in same[places[0] + 1 :])
            self.app.push_screen(CompareScreen(earlier, chosen.session))

    def action_open_wear(self) -> None:
        """Show how the valves of this engine have moved."""
        from benchtui.tui.screens.wear import WearScreen

        chosen = self._chosen()
        if chosen is None:
            self.say(_NONE_CHOSEN)
            return
        try:
            sheet = self.program.workshop.engines.sheet(chosen.engine)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self.app.push_screen(WearScreen(sheet))

    def action_card(self) -> None:
        """Write the one-page card of this session."""
        session = self.selected()
        if session is None:
            self.say(_NONE_CHOSEN)
        else:
            write_card(self, session)
