"""The steps before the measuring: cold, safe, opened up, with rags and tools counted in."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.session.facts.events import (
    CautionAcknowledged,
    ItemCounted,
    Particulars,
    ParticularsEntered,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.readiness import UNREAD, Ready, cooled, sheet_read_twice
from benchtui.domain.sheet import Condition
from benchtui.text.quantities import measure
from benchtui.text.reading.counts import read_counts
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import OUTRANK
from benchtui.tui.keys import BEFORE, bindings_for
from benchtui.tui.screens.cooling import CoolingScreen
from benchtui.tui.screens.counting import counted_in
from benchtui.tui.tables import TableScreen, cell

_CAUTION, _COUNT, _COLD, _SHEET = "caution", "count", "cold", "sheet"
_SHAPES = {True: "ok", False: "!! NO", None: "?"}


class BeforeScreen(TableScreen):
    """Every caution is read and ticked by itself; the rest says how things stand."""

    SCREEN = BEFORE
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(BEFORE)

    def __init__(self) -> None:
        super().__init__()
        self._warned = ""

    def body(self) -> ComposeResult:
        """One list of all of it."""
        table: DataTable[object] = DataTable(cursor_type="row", id="before", show_header=False)
        table.add_column("", key="done", width=7)
        table.add_column("What", key="what", width=66)
        yield table

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def title_text(self) -> str:
        """How many are still to be read."""
        left = len(still_to_tick(self.state))
        return f"{self.state.opened.sheet.name}  " + (f"{left} to tick" if left else "all ticked")

    def caution_text(self) -> str:
        """Who outranks us."""
        return OUTRANK

    def on_mount(self) -> None:
        """Begin at the first caution."""
        super().on_mount()
        self.table().focus()
        self._to_next()

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        table = self.table()
        row = table.cursor_row
        table.clear()
        for key, *cells in self._rows():
            table.add_row(*(cell(c) for c in cells), key=key, height=None)
        table.move_cursor(row=row)

    def _rows(self) -> list[tuple[str, str, str]]:
        state = self.state
        rows = [_row(_SHEET, sheet_read_twice(state))]
        rows += [_row(f"{_COLD}:{n}", ready) for n, ready in enumerate(cooled(state))]
        for caution in _cautions(state):
            done = "[X]" if caution in state.cautions else "[ ]"
            rows.append((f"{_CAUTION}:{caution}", done, caution))
        for item, (went, _) in state.tally.items():
            rows.append((f"in:{item}", "in", f"{item}: {went}"))
        words = "opened up: count rags and tools in here, out when you close up"
        rows.append((f"{_COUNT}:", "+", words))
        return rows

    def _to_next(self) -> None:
        left = still_to_tick(self.state)
        if left:
            # What cannot be ticked now is no place to send the cursor back to.
            able = [row for row in left if not (row == self._cold_row and self._against())]
            self.select((able or left)[0])
        else:
            # The cursor stays: one Space too many must not open a question.
            self.say("All ticked: Enter goes on. The last line counts rags and tools in.")

    def action_tick(self) -> None:
        """This line is so."""
        kind, _, text = (self.selected() or "").partition(":")
        if kind == _CAUTION:
            if self._contradicted(text):
                return
            if text not in self.state.cautions:
                self.do(CautionAcknowledged(text))
            self._to_next()
        elif kind == _SHEET:
            if not sheet_read_twice(self.state).good:
                self.do(CautionAcknowledged(UNREAD))
            self._to_next()
        elif kind == _COLD:
            self.action_temperature()
        else:
            self._count_in()

    def _contradicted(self, caution: str) -> bool:
        """Whether what is recorded says that the engine is not cold; then it is not ticked."""
        if caution != _cautions(self.state)[0]:
            return False
        against = self._against()
        if against:
            self.say(f"Not by what is recorded: {against}. M: take it again.", alarm=True)
        return bool(against)

    @property
    def _cold_row(self) -> str:
        return f"{_CAUTION}:{_cautions(self.state)[0]}"

    def _against(self) -> str:
        """What is recorded against a cold engine; empty for nothing."""
        return "; ".join(ready.words for ready in cooled(self.state) if ready.good is False)

    def _count_in(self) -> None:
        def typed(text: str | None) -> None:
            for count, item in () if text is None else read_counts(text):
                self.do(ItemCounted(item, count, inwards=True))

        self.app.push_screen(counted_in(), typed)

    def action_temperature(self) -> None:
        """The metal's temperature now, the hours stood, or when it will be cold."""
        sheet = self.state.opened.sheet

        def chosen(key: str | None) -> None:
            if key == "1":
                ask = Ask("Metal temperature now", hint="19, or 66 F", check=_temperature)
                self.app.push_screen(ask, self._metal)
            elif key == "2":
                ask = Ask("How long has it stood?", hint="6 h", check=_hours)
                self.app.push_screen(ask, self._stood)
            elif key == "3" and hot:
                self.do(ParticularsEntered(Particulars(at_heat=True)))
            elif key == "3":
                self.app.push_screen(CoolingScreen(sheet))

        hot = sheet.clearances.condition is Condition.HOT
        answers = {"1": "enter the metal's temperature now"}
        if hot:
            answers["3"] = "it is at running heat"
        else:
            answers["2"] = "enter how long it has stood"
            answers["3"] = "tell from two readings when it will be cold"
        asked = "Is it at running heat?" if hot else "Is it cold?"
        self.app.push_screen(Choose(asked, answers), chosen)

    def _metal(self, text: str | None) -> None:
        if text:
            self.do(ParticularsEntered(Particulars(metal_c=_temperature(text))))

    def _stood(self, text: str | None) -> None:
        if text:
            self.do(ParticularsEntered(Particulars(stood_hours=_hours(text))))

    def on_data_table_row_selected(self) -> None:
        """Enter goes on; the table would take the key otherwise."""
        self.action_go_on()

    def action_go_on(self) -> None:
        """On to the crank, once every caution has been read."""
        left = still_to_tick(self.state)
        against = self._against()
        if against and left == [self._cold_row]:
            if self._warned == against:
                self.app.pop_screen()
                return
            self._warned = against
            self.say(f"{against}. No reading will count. Enter again goes on.", alarm=True)
            return
        if left:
            self.select(left[0])
            self.say(f"{len(left)} still to be read and ticked with Space.", alarm=True)
            self.app.bell()
            return
        self.app.pop_screen()

    def action_leave(self) -> None:
        """Back to the engines; the session stays open on disk."""
        self.program.to_home()
        self.program.let_go()


def still_to_tick(state: State) -> list[str]:
    """The rows that stand between this session and the crank."""
    left = [f"{_CAUTION}:{c}" for c in _cautions(state) if c not in state.cautions]
    return left if sheet_read_twice(state).good else [_SHEET, *left]


def _cautions(state: State) -> tuple[str, ...]:
    return tuple(c for c in cautions(CautionAt.BEFORE, state.opened.sheet) if c != OUTRANK)


def _temperature(text: str) -> Fraction:
    return measure.temperature(text, bare=True)


def _hours(text: str) -> Fraction:
    return measure.hours(text, bare=True)


def _row(key: str, ready: Ready) -> tuple[str, str, str]:
    return key, _SHAPES[ready.good], ready.words
