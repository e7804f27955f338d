"""One past session: what was found and left, and the session over again, step by step."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.sheet import Sheet
from benchtui.text.pages.handover import handover_text
from benchtui.text.quantities.show import inert
from benchtui.text.words.amendment_words import amended_lines
from benchtui.text.words.clock_words import clock_lines
from benchtui.text.words.due_words import due_sentence
from benchtui.text.words.refusals import error_words
from benchtui.tui.card import write_card
from benchtui.tui.frame import RolledScreen
from benchtui.tui.keys import SESSION, bindings_for
from benchtui.tui.present_history import circumstances, row_of_valve, session_bars
from benchtui.tui.present_steps import Steps, log_lines, ruler_unit, step_ruler
from benchtui.tui.screens.amending import Amending
from benchtui.tui.screens.handover import HandoverScreen
from benchtui.tui.widgets.gap_bars import GapBarsPicture
from benchtui.tui.widgets.marks import STRUCK
from benchtui.tui.widgets.ruler import RulerPicture
from benchtui.workshop import PastSession

_TALL = 34
_LOW, _HIGH = 6, 8
"""Rows of the ruler, its line above included."""


class SessionScreen(RolledScreen):
    """A session as its file tells it; left and right go through it event by event."""

    SCREEN = SESSION
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SESSION)

    def __init__(self, session_id: str) -> None:
        super().__init__()
        self._session = session_id
        self._past: PastSession | None = None
        self._steps: Steps | None = None
        self._due = ""

    def body(self) -> ComposeResult:
        """Valves and what is to be said of them; below, the step shown."""
        with VerticalScroll(id="page", can_focus=False):
            yield Static(id="circumstances", markup=False, classes="strong")
            yield GapBarsPicture(id="valves")
            yield Static(id="said", markup=False)
        yield RulerPicture(id="gauged")
        yield Static(id="log", markup=False)

    def on_mount(self) -> None:
        """Read the file."""
        self._read()
        super().on_mount()

    def _read(self) -> None:
        workshop = self.program.workshop
        try:
            self._past = workshop.past_sessions.past(self._session)
            self._steps = Steps(self._past.events)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
        if self._past is not None:
            self.load_due(self._past)

    def action_amend(self) -> None:
        """Put something right that was filed wrongly."""

        def done(session: str) -> None:
            self._session = session
            self._read()
            self.refresh_view()
            self.say("Written. Enter again lists what can be put right, and takes it back too.")

        if self._past is not None:
            Amending(self, self._session, done).ask()

    @work(thread=True, exclusive=True)
    def load_due(self, past: PastSession) -> None:
        """What was due then hangs on every session before: it is worked out beside the screen."""
        try:
            due = self.program.workshop.reviews.due_then(past)
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take_due, "" if due is None else due_sentence(due))

    def _take_due(self, words: str) -> None:
        self._due = words
        if self.here:
            self.query_one("#said", Static).update(self._said())

    def title_text(self) -> str:
        """The engine, or the file."""
        if self._past is None:
            return self._session
        name, steps = self._past.record.engine_name, self._steps
        if steps is None or not steps.stepping:
            return f"{name}, the whole session"
        return f"{name}, as it stood after step {steps.index} of {len(steps.events)}"

    def caution_text(self) -> str:
        """What is wrong with the file."""
        damage = None if self._past is None else self._past.damage
        aside = "" if self._past is None else self._past.record.set_aside
        if damage is None and aside:
            return f"{STRUCK} SET ASIDE, it counts for nothing: {aside}"
        if damage is None:
            return ""
        return (
            f"DAMAGED at line {damage.line}: {damage.reason}. What could be read is shown; "
            "it does not count as a check."
        )

    def action_hand_over(self) -> None:
        """The page for whoever goes on, as the session stood at its end."""
        if self._past is not None:
            text = handover_text(fold(self._past.events))
            self.app.push_screen(HandoverScreen(self._session, text))

    def refresh_view(self) -> None:
        """Show the state after the step shown."""
        super().refresh_view()
        steps = self._steps
        ruler = self.query_one("#gauged", RulerPicture)
        if steps is None:
            ruler.display = False
            return
        record = steps.record
        self.query_one("#circumstances", Static).update(
            inert(circumstances(record, ended=not steps.stepping))
        )
        bars = self.query_one("#valves", GapBarsPicture)
        bars.show(session_bars(record, steps.valve if steps.stepping else None))
        self.query_one("#said", Static).update(self._said())
        self.query_one("#log", Static).update(
            "\n".join(log_lines(steps, self.size.width, self.size.height))
        )
        drawn = step_ruler(steps) if steps.stepping else None
        ruler.display = drawn is not None
        # The blades' words stand on the ruler where there is room for them.
        ruler.styles.height = _HIGH if self.size.height >= _TALL else _LOW
        ruler.border_title = f"{inert(steps.valve or '')}, {ruler_unit(steps)}"
        ruler.show(drawn)
        if steps.stepping and steps.valve is not None:
            row = row_of_valve(record, steps.valve)
            self.query_one("#page").scroll_to(y=row, animate=False)

    def _said(self) -> str:
        steps = self._steps
        if steps is None:
            return ""
        record = steps.record
        said = [f"Missing: {'; '.join(record.missing)}"] if record.missing else []
        said += [f"{STRUCK} Put right: {line}" for line in amended_lines(steps.state)]
        said += [f"Note: {n}" for n in record.notes]
        if not steps.stepping:
            said += clock_lines(steps.events, self.program.workshop.clock())
            said += [f"Next check, as known then: {self._due}"] if self._due else []
        return "\n".join(inert(line) for line in said)

    def _go(self, index: int) -> None:
        if self._steps is not None:
            self._steps.go(index)
            self.say("")
            self.refresh_view()

    def action_step_before(self) -> None:
        """One step back; from the whole session the last step."""
        if self._steps is not None:
            self._go(self._steps.index - 1)

    def action_step_after(self) -> None:
        """One step on; past the last one the whole session, and from that the first step."""
        if self._steps is not None:
            self._go(self._steps.index + 1 if self._steps.stepping else 1)

    def action_step_first(self) -> None:
        """Back to the opening."""
        self._go(1)

    def action_step_last(self) -> None:
        """On to the end: the whole session."""
        if self._steps is not None:
            self._go(len(self._steps.events) + 1)

    def action_card(self) -> None:
        """Write the one-page card."""
        write_card(self, self._session)

    def action_open_wear(self) -> None:
        """Show how the valves of this engine have moved."""
        from benchtui.tui.screens.wear import WearScreen

        sheet = self._sheet()
        if sheet is not None:
            self.app.push_screen(WearScreen(sheet))

    def _sheet(self) -> Sheet | None:
        """The engine's sheet as it is now, else as it was in this session."""
        if self._past is None:
            return None
        try:
            return self.program.workshop.engines.sheet(self._past.record.engine)
        except BenchError:
            return self._steps.sheet if self._steps is not None else None
