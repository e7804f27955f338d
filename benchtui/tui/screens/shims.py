"""Shims: what is in each valve, what may go in, what to swap and what to order."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable, Static

from benchtui.domain.adjusting.shims import Shim
from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.session.facts.events import CamsStep, CamsStepDone, SpareTold
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import CamsBack, CamsOut
from benchtui.domain.session.valve.shims import ShimPlan, shim_plan
from benchtui.text.reading.script import spare_of
from benchtui.text.words.foot import shims_foot
from benchtui.text.words.shim_words import order_words, shim_rows
from benchtui.text.words.told import told
from benchtui.tui.ask import Ask
from benchtui.tui.keys import SHIMS, bindings_for
from benchtui.tui.screens.setting import ask_shim, plain_lines
from benchtui.tui.tables import TableScreen, cell
from benchtui.tui.widgets.foot import FootPicture


class ShimsScreen(TableScreen):
    """Every valve's shim on one page."""

    SCREEN = SHIMS
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SHIMS)

    def __init__(self) -> None:
        super().__init__()
        self._wanted = ""

    def body(self) -> ComposeResult:
        """The table, then the order and what binds."""
        table: DataTable[object] = DataTable(cursor_type="row", id="shims")
        for key, heading, width in (
            ("valve", "Valve", 9),
            ("gap", "Gap, mm", 12),
            ("in", "In (measured)", 13),
            ("sure", "Sure to fit", 14),
            ("do", "To do", 20),
        ):
            table.add_column(heading, key=key, width=width)
        yield table
        yield Static(id="order", markup=False, classes="strong")
        yield Static(id="doubts", markup=False, classes="caution")
        yield FootPicture(id="foot")

    def title_text(self) -> str:
        """The engine."""
        return self.program.session_state.opened.sheet.name

    def caution_text(self) -> str:
        """Never crank with a valve screwed open."""
        return cautions(CautionAt.SET, self.program.session_state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        state = self.program.session_state
        plan = shim_plan(state)
        table = self.table()
        row = table.cursor_row
        table.clear()
        if plan is not None:
            for cells in shim_rows(state, plan):
                table.add_row(*(cell(c) for c in cells), key=cells[0], height=None)
        table.move_cursor(row=row)
        now = told(next_step(state), state)
        if now.step.valve and now.step.valve != self._wanted:
            self._wanted = now.step.valve
            self.select(self._wanted)  # what is typed belongs there, until one moves on oneself
        self.query_one("#order", Static).update(f"{now.sentence} {_order(state, plan)}")
        self.query_one("#foot", FootPicture).show(shims_foot(now.step))
        doubts = self.query_one("#doubts", Static)
        note = "" if plan is None else plan.note
        doubts.update(plain_lines([f"! {note}"]))
        doubts.display = bool(note)

    def action_next_cams(self) -> None:
        """The step around the cams that comes next: out, or one of those that put them back."""
        step = next_step(self.program.session_state)
        if isinstance(step, CamsOut):
            self.do(CamsStepDone(CamsStep.OUT))
        elif isinstance(step, CamsBack) and step.left:
            self.do(CamsStepDone(step.left[0]))
        else:
            self.say(told(step, self.program.session_state).sentence)

    def action_figure(self, first: str = "") -> None:
        """Type the size of the shim at this valve."""
        valve = self.selected()
        if valve is not None:
            ask_shim(self, valve, first)

    def action_spare(self) -> None:
        """Type a shim that lies in the drawer."""

        def typed(text: str | None) -> None:
            if text:
                self.do(SpareTold(*spare_of(text)))

        self.app.push_screen(
            Ask(
                "Which shim lies in the drawer?", hint="2.80, or 2.80 measured 2.79", check=spare_of
            ),
            typed,
        )


def _order(state: State, plan: ShimPlan | None) -> str:
    if plan is None:
        return ""
    drawer = ", ".join(str(Shim(s.size, s.measured)) for s in state.spares) or "nothing"
    return f"To order: {order_words(plan)}. In the drawer: {drawer}."
