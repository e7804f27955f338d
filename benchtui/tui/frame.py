"""What every screen shares: a title line, a caution line, the keys at the bottom.

Long, because saying, refusing, undoing and leaving are the same on every screen.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from benchtui.domain.errors import BenchError, NotKept
from benchtui.text.quantities.show import inert
from benchtui.tui.keys import (
    AT_THE_ENGINE,
    CRANK,
    KNOWN_KEYS,
    SCREENS,
    commands_for,
    footer_line,
    shown_key,
)
from benchtui.tui.parts import WithParts

if TYPE_CHECKING:
    from benchtui.domain.session.facts.commands import Command as BenchCommand
    from benchtui.domain.session.facts.events import Event
    from benchtui.tui.app import BenchApp

OUTRANK = "The manufacturer's manual and local rules outrank this program."


TOO_SMALL = (
    "This terminal is too small to show the cautions whole: 60 columns by 20 rows at least, 80 by 24 is "
    "best. What was done is kept. Make it larger, or its letters smaller."
)


def program_of(screen: Screen[Any]) -> BenchApp:
    """The app of a screen, as what it is."""
    return cast("BenchApp", screen.app)


def plain(text: str, *, lines: bool = False) -> Content:
    """Text that came from a file or a person: no markup, no control characters.

    ``lines`` lets its line ends stand.
    """
    return Content(inert(text, lines=lines))


def rewrite(place: Static, text: Content) -> None:
    """Put other text where as many rows are kept for it; what stands there already costs nothing."""
    if place.content != text:
        place.update(text, layout=False)


class KeyBar(Static):
    """The keys of a screen in one line, as many as fit; each can be clicked."""

    def __init__(self, screen_id: str) -> None:
        super().__init__(id="keys", markup=False)
        self._screen_id = screen_id

    def render(self) -> Content:
        """Draw what fits, the way back and help always."""
        without = self.screen.left_out() if isinstance(self.screen, WorkScreen) else frozenset()
        line = Content("")
        for shown in footer_line(self._screen_id, self.size.width, without):
            part = Content.assemble((f" {shown.keys} ", "reverse"), f" {shown.label} ")
            line += part.stylize(f"@click=screen.{shown.command.action()}")
        return line


WHERE_ONE_ONLY_READS = [(0, "-tiny"), (16, "-low"), (36, "-high")]
"""Heights of screens at which nothing is done: fewer rows will do, for no caution stands there."""


class WorkScreen(WithParts, Screen[None]):
    """A screen of the program; ``SCREEN`` is its id in the table of keys."""

    SCREEN: ClassVar[str]
    BINDINGS: ClassVar[list[BindingType]] = []
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (60, "-narrow"), (72, "-middling"), (110, "-wide")]  # noqa: RUF012  # the library's
    VERTICAL_BREAKPOINTS = [(0, "-tiny"), (20, "-low"), (36, "-high")]  # noqa: RUF012  # the library's
    _left_out: frozenset[str] = frozenset()

    @property
    def program(self) -> BenchApp:
        """The app, as what it is."""
        return program_of(self)

    def compose(self) -> ComposeResult:
        """Title, caution, what leads through the tour, body, message, keys."""
        self._know_its_size()
        yield Static(id="title", markup=False)
        yield Static(id="caution", markup=False, classes="caution")
        yield Static(TOO_SMALL, id="too-small", markup=False, classes="strong")
        yield Static(id="guide", markup=False, classes="strong")
        with Vertical(id="body"):
            yield from self.body()
        yield Static(id="message", markup=False)
        yield KeyBar(self.SCREEN)

    def _know_its_size(self) -> None:
        """Have the classes of the terminal's size before the parts come: else each is styled once more."""
        size = self.app.size
        for steps, has in (
            (self.HORIZONTAL_BREAKPOINTS, size.width),
            (self.VERTICAL_BREAKPOINTS, size.height),
        ):
            self.add_class(max(step for step in steps if step[0] <= has)[1], update=False)

    def body(self) -> ComposeResult:
        """What is between the caution and the message."""
        raise NotImplementedError

    def unoffered(self) -> frozenset[str]:
        """The commands that would come to nothing here: the footer leaves them out."""
        return frozenset()

    def left_out(self) -> frozenset[str]:
        """The same for the key line, which is drawn once more after a check was let go: then as it was."""
        if self.SCREEN not in AT_THE_ENGINE or self.program.live is not None:
            self._left_out = self.unoffered()
        return self._left_out

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Where nothing can be seen, or the check was let go meanwhile, no key writes anything."""
        del parameters
        if self.SCREEN in AT_THE_ENGINE and self.program.live is None:
            return action == "quit"
        return not self.has_class("-tiny") or action in ("quit", "leave")

    def title_text(self) -> str:
        """What stands behind the heading in the title line."""
        return ""

    def far_text(self) -> str:
        """How far the work has come, at the right of the title line; empty for nothing."""
        return ""

    def _marks(self) -> list[str]:
        """What must not be forgotten on any screen of the session in hand."""
        live = self.program.live
        demo = ["DEMO"] if self.program.demo else []
        if live is None:
            return demo
        return demo + ([live.mark] if live.mark else []) + (["READ ONLY"] if live.read_only else [])

    def caution_text(self) -> str:
        """The caution of this step; empty for none."""
        return ""

    def on_mount(self) -> None:
        """Show everything once."""
        self.refresh_view()

    def on_screen_resume(self) -> None:
        """Show what may have changed while another screen was up."""
        self.refresh_view()
        if self.program.untold:
            self.call_after_refresh(self.program.tell_now)

    def refresh_view(self) -> None:
        """Show the present state."""
        marks = [part for mark in self._marks() for part in (" ", (f" {mark} ", "bold reverse"))]
        title = Content.assemble(
            (f" {SCREENS[self.SCREEN]} ", "bold reverse"), *marks, " ", plain(self.title_text())
        )
        far = self.far_text()
        # How far one is stands at the right; the engine's name is cut for it, never the state.
        room = self.size.width - len(far) - 2
        if far and room > 0:
            title = Content.assemble(title.truncate(room, pad=True), "  ", far)
        rewrite(self.query_one("#title", Static), title)  # always one row
        caution = self.query_one("#caution", Static)
        text = self.caution_text()
        caution.display = bool(text)
        said = plain(f"! {text}")
        if caution.content != said:  # an update lays the whole screen out again
            caution.update(said)
        guide = self.query_one("#guide", Static)
        led = plain("\n".join(self.guide_lines()), lines=True)
        guide.display = bool(led)
        self.set_class(bool(led), "-led")
        if guide.content != led:
            guide.update(led)
        before = self._left_out
        if self.left_out() != before:
            self.query_one(KeyBar).refresh()

    def guide_lines(self) -> tuple[str, ...]:
        """What leads one through the tour here; nothing at a real engine."""
        live = self.program.live
        return () if live is None else live.guide(self.SCREEN)

    def say(self, text: str, *, alarm: bool = False) -> None:
        """Put a sentence above the keys."""
        message = self.query_one("#message", Static)
        message.display = bool(text)
        message.set_class(alarm, "out")
        said = plain(text, lines=True)
        if message.content != said:
            message.update(said)

    @property
    def here(self) -> bool:
        """Whether it still stands: what is read beside a screen may come when that has gone."""
        keys = self.query(KeyBar)  # taken away with all the rest, before the screen itself is
        return self.is_mounted and self.is_running and self.is_attached and bool(keys)

    def once_painted(self, fit: Callable[[], None]) -> None:
        """Fit something to the room that there is then, unless the screen is being taken away by then."""

        def still_here() -> None:
            if self.display and self.here:
                fit()

        self.call_after_refresh(still_here)

    def forget_said(self) -> None:
        """Clear what was said for the step before."""
        if self.query_one("#message", Static).display:
            self.say("")

    def on_key(self, event: events.Key) -> None:
        """What was said belongs to the step before; a key of another screen says that it is one."""
        self.forget_said()
        if event.key in KNOWN_KEYS and event.key not in self.active_bindings:
            self.say(
                f"{shown_key(event.key)} does nothing here. M lists all that this screen does."
            )

    def do(self, command: BenchCommand) -> bool:
        """Take a step at the bench; a refusal is shown and False returned."""
        live = self.program.live
        if live is None:
            return False
        try:
            live.bench.do(command)
        except NotKept as error:
            self._not_kept(error, lambda: live.bench.do(command))
            return False
        except BenchError as error:
            from benchtui.text.words.refusals import error_words
            from benchtui.text.words.steps import in_inches

            self.say(error_words(error, inch=in_inches(live.bench.state)), alarm=True)
            self.app.bell()
            return False
        self.say("")
        self.refresh_view()
        self._tell_of_clock(live.bench.events[-2:])
        return True

    def _tell_of_clock(self, events: Sequence[Event]) -> None:
        """A clock that was set back between two steps is said; their order stands."""
        from benchtui.text.words.clock_words import clock_lines

        for line in clock_lines(events):
            # Beside what the step itself is answered with, not in its place.
            self.app.notify(line, severity="warning", markup=False)

    def _not_kept(self, error: NotKept, again: Callable[[], object]) -> None:
        """The disk would not take it: say so, loudly, and try again at the next key."""
        from benchtui.tui.screens.not_kept import NotKeptScreen

        def answered(kept: bool | None) -> None:
            self.refresh_view()
            said = "Recorded now." if kept else "The last answer was not recorded."
            self.program.tell(said, alarm=not kept)

        self.app.bell()
        self.app.push_screen(NotKeptScreen(error, again), answered)

    # Commands that mean the same everywhere.

    def action_more(self) -> None:
        """Everything that this screen can do, to be searched."""
        from benchtui.tui.screens.more import MoreScreen

        async def chosen(action: str | None) -> None:
            if action is not None:
                await self.run_action(action)

        without = self.unoffered()
        offered = [c for c in commands_for(self.SCREEN) if c.id not in without]
        self.app.push_screen(MoreScreen(SCREENS[self.SCREEN], offered), chosen)

    def action_help(self) -> None:
        """Show the keys of this screen."""
        from benchtui.tui.screens.help import HelpScreen

        self.app.push_screen(HelpScreen(self.SCREEN))

    def action_leave(self) -> None:
        """Back to the screen before."""
        self.app.pop_screen()

    def action_toggle_theme(self) -> None:
        """Black on white, or dark."""
        self.program.toggle_theme()

    def action_lock_keys(self) -> None:
        """Lock the keys to wipe them."""
        self.program.lock_keys()

    def action_position(self) -> None:
        """Show, confirm or doubt the crank position; not while the cams are out."""
        from benchtui.domain.session.steps.crank import check_cams_in
        from benchtui.text.words.refusals import error_words

        try:
            check_cams_in(self.program.session_state)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            self.app.bell()
            return
        self.program.open(CRANK)

    def action_open_sheet(self) -> None:
        """The sheet of the engine at work."""
        from benchtui.tui.screens.sheet import SheetScreen

        self.app.push_screen(SheetScreen(self.program.session_state.opened.sheet.key))

    def action_hand_over(self) -> None:
        """The page for whoever goes on."""
        from benchtui.text.pages.handover import handover_text
        from benchtui.tui.screens.handover import HandoverScreen

        state = self.program.session_state
        self.app.push_screen(HandoverScreen(state.opened.session, handover_text(state)))

    async def action_quit(self) -> None:
        """End the program; while a check is open it asks first."""
        from benchtui.tui.screens.leaving import ask_to_end

        await ask_to_end(self)

    def action_undo(self) -> None:
        """Take the last step back."""
        from benchtui.domain.session.facts.commands import Undo
        from benchtui.text.words.event_words import event_words

        live = self.program.live
        if live is None or not live.bench.state.undoable:
            self.say("There is no step to take back.")
            return
        number = live.bench.state.undoable[-1]
        undone = next(e.fact for e in live.bench.events if e.number == number)
        known = {e.number: e.fact for e in live.bench.events}
        if self.do(Undo()):
            self.say(f"Taken back: {event_words(undone, known)}.")

    def action_note(self) -> None:
        """Write a note into the session."""
        from benchtui.domain.session.facts.events import Noted
        from benchtui.tui.ask import Ask

        def keep(text: str | None) -> None:
            if text:
                self.do(Noted(text))

        self.app.push_screen(Ask("A note for the record"), keep)


class RolledScreen(WorkScreen):
    """A page longer than the screen: rolled by rows and pages, no bar beside it; row 1 says how far."""

    PAGE: ClassVar[str] = "#page"
    VERTICAL_BREAKPOINTS = WHERE_ONE_ONLY_READS

    def far_text(self) -> str:
        """Which page of how many; nothing where all of it is seen."""
        page = self.query_one(self.PAGE)
        high, all_of_it = page.size.height, page.virtual_size.height
        if not high or all_of_it <= high:
            return ""
        return f"page {1 + math.ceil(page.scroll_y / high)} of {math.ceil(all_of_it / high)}"

    def on_mount(self) -> None:
        """How long it is, is known once it is laid out."""
        super().on_mount()
        self.watch(self.query_one(self.PAGE), "scroll_y", self._told_how_far, init=False)
        self.watch(self.query_one(self.PAGE), "virtual_size", self._told_how_far, init=False)

    def _told_how_far(self) -> None:
        if self.here:
            WorkScreen.refresh_view(self)

    def _all_seen(self) -> bool:
        if self.query_one(self.PAGE).max_scroll_y:
            return False
        self.say("All of it is on the screen.")
        return True

    def action_row_before(self) -> None:
        """One row up."""
        if not self._all_seen():
            self.query_one(self.PAGE).scroll_up(animate=False)

    def action_row_after(self) -> None:
        """One row down."""
        if not self._all_seen():
            self.query_one(self.PAGE).scroll_down(animate=False)

    def action_page_before(self) -> None:
        """One page up."""
        if not self._all_seen():
            self.query_one(self.PAGE).scroll_page_up(animate=False)

    def action_page_after(self) -> None:
        """One page down."""
        if not self._all_seen():
            self.query_one(self.PAGE).scroll_page_down(animate=False)
