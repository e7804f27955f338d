"""Filed: what the check came to, what was found and left, when the next is due, where the card lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.history.due import Due
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import record_of
from benchtui.text.pages.filed_page import (
    DOUBT,
    done_lines,
    filed_tall,
    filed_title,
    next_line,
    next_tall,
)
from benchtui.text.quantities.show import inert
from benchtui.text.words.foot import filed_foot
from benchtui.text.words.refusals import error_words
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import FILED, bindings_for
from benchtui.tui.present_history import set_lines
from benchtui.tui.present_home import last_check
from benchtui.tui.screens.amending import Amending
from benchtui.tui.screens.reasons import ReadScreen
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.last_check import LastCheckPicture

if TYPE_CHECKING:
    from benchtui.practice.session import Rehearsal
    from benchtui.workshop import PastSession

_FOR_RECORD = frozenset({"card", "open_wear", "side_by_side", "note"})


class FiledScreen(WorkScreen):
    """A session just filed, or a practice just ended, of which nothing is kept."""

    SCREEN = FILED
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(FILED)

    def __init__(self, session: str, practised: Rehearsal | None = None) -> None:
        super().__init__()
        self._session, self._practised = session, practised
        self._past: PastSession | None = None
        self._state: State | None = None if practised is None else practised.bench.state
        self._due: Due | None = None
        self._card = self._next_engine = ""

    def body(self) -> ComposeResult:
        """The word, what was done; the valves; what was set; the next check and the card."""
        with Horizontal(id="filed-top"):
            yield BigText(id="filed-tall")
            yield Static(id="filed-done", markup=False)
        yield LastCheckPicture(id="filed-gaps")
        with VerticalScroll(can_focus=False, id="filed-set"):
            yield Static(id="filed-told", markup=False)
        yield BigText(id="filed-next")
        yield Static(id="filed-when", markup=False)
        yield Static(id="filed-card", markup=False)
        yield FootPicture(id="foot")

    def title_text(self) -> str:
        """Engine, day, who, counter."""
        if self._state is None:
            return ""
        return f"{self._state.opened.sheet.name}  {filed_title(record_of(self._state))}"

    def caution_text(self) -> str:
        """Whom to ask."""
        return DOUBT

    def unoffered(self) -> frozenset[str]:
        """Of a practice there is no card and no history."""
        return _FOR_RECORD if self._practised is not None else frozenset()

    def on_mount(self) -> None:
        """Show what is known; the rest is read and written beside the screen."""
        super().on_mount()
        if self._practised is None:
            self.keep()

    @work(thread=True, exclusive=True)
    def keep(self) -> None:
        """Take it into the register, write its card, see when the next check is due."""
        workshop = self.program.workshop
        workshop.past_sessions.store(self._session)
        try:
            self._past = workshop.past_sessions.past(self._session)
            self._state = fold(self._past.events)
            self._due = workshop.reviews.due_then(self._past)
            workshop.reviews.write_card(self._session, "html")
            path = workshop.reviews.write_card(self._session)
            self._card = f"{path.relative_to(workshop.data.root)}, and .html"
            first = next(iter(workshop.reviews.shown()), None)
            self._next_engine = "" if first is None or first.sheet is None else first.sheet.name
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
        self.app.call_from_thread(self._show_kept)

    def _show_kept(self) -> None:
        if self.here:
            self.refresh_view()

    def refresh_view(self) -> None:
        """Everything, as far as it is known."""
        super().refresh_view()
        state = self._state
        if state is None:
            return
        record = record_of(state)
        tall = filed_tall(record)
        role = Role.IN if record.complete and not record.practice else Role.CAUTION
        self.query_one("#filed-tall", BigText).show(Big(tall, role, rows=tuple(tall.split())))
        done = done_lines(state, record)
        most = max(3 if self.has_class("-narrow") else 5, self.size.height // 5)
        more = [f"and {len(done) - most + 1} more: R shows them"] if len(done) > most else []
        kept = done[: most - 1] if more else done
        marks = [(f"{'√' if good else '□'} {inert(text)}", good) for good, text in kept]
        self.query_one("#filed-done", Static).update(
            Content("\n").join(
                [*(Content.styled(text, "" if good else "bold") for text, good in marks),
                 *(Content(text) for text in more)]
            )
        )  # fmt: skip
        self.query_one("#filed-gaps", LastCheckPicture).show(last_check(record))
        self.query_one("#filed-told", Static).update(inert("\n".join(self._told()), lines=True))
        if self._practised is None:
            self.query_one("#filed-next", BigText).show(
                Big(next_tall(self._due, counts=record.complete))
            )
            when = next_line(self._due, counts=record.complete)
            self.query_one("#filed-when", Static).update(inert(when))
            card = f"Card  {self._card}" if self._card else "Card  being written..."
            self.query_one("#filed-card", Static).update(inert(card))
        foot = filed_foot(self._next_engine, practice=self._practised is not None)
        self.query_one("#foot", FootPicture).show(foot)

    def _told(self) -> tuple[str, ...]:
        """What was set; of a practice what was true."""
        if self._practised is not None:
            from benchtui.text.words.practice_words import outcome_paragraphs

            return tuple(outcome_paragraphs(self._practised.outcomes())[1:])
        return () if self._state is None else set_lines(record_of(self._state))

    def action_go_home(self) -> None:
        """The engines, the cursor on the most pressing one."""
        self.program.to_home()
        self.program.home.to_first()

    def action_leave(self) -> None:
        """The same: there is nothing to go back to."""
        self.action_go_home()

    def action_card(self) -> None:
        """The card on the screen."""
        if self._practised is not None:
            self.say("Practice leaves no card.")
            return
        try:
            text = self.program.workshop.reviews.card(self._session)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
        else:
            self.app.push_screen(ReadScreen("Card", [text]))

    def action_open_wear(self) -> None:
        """How the valves of this engine have moved."""
        from benchtui.tui.screens.wear import WearScreen

        if self._state is not None and self._practised is None:
            self.app.push_screen(WearScreen(self._state.opened.sheet))

    def action_side_by_side(self) -> None:
        """Beside the check before."""
        from benchtui.tui.screens.compare import CompareScreen

        if self._state is None or self._practised is not None:
            return
        engine, own = self._state.opened.sheet.key, self._session
        rows = [r for r in self.program.workshop.past_sessions.rows() if r.engine == engine]
        earlier = tuple(r.session for r in rows if r.session != own and r.counts)
        if earlier:
            self.app.push_screen(CompareScreen(earlier, own))
        else:
            self.say("This engine has no earlier check to put beside it.")

    def action_note(self) -> None:
        """One more word on the record of this check."""

        def done(session: str) -> None:
            self._session = session
            self.keep()
            self.say("Written.")

        if self._past is not None:
            Amending(self, self._session, done).note()
