"""The engines, with what is due; the most pressing first.

Long, because it is the door to everything else: one short action a key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.message import Message
from textual.widgets import DataTable

from benchtui.domain.errors import BenchError
from benchtui.text.quantities.show import distance, hours, inert
from benchtui.text.words.trouble_words import troubles_line
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import OUTRANK, plain
from benchtui.tui.keys import HOME, bindings_for
from benchtui.tui.tables import TableScreen

if TYPE_CHECKING:  # the first picture does without them
    from benchtui.domain.history.due import Due
    from benchtui.workshop import Shown


READING = "Reading the stored sessions: {count} of {of}."
"""Said while the register is rebuilt, which takes a while where there are thousands."""


class HomeScreen(TableScreen):
    """Every engine on the shelf."""

    SCREEN = HOME
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(HOME)

    class ReadingTold(Message):
        """So many stored sessions were read of so many."""

        def __init__(self, count: int, of: int) -> None:
            super().__init__()
            self.count, self.of = count, of

    def __init__(self) -> None:
        super().__init__()
        self._shown: dict[str, Shown] = {}
        self._words = ""
        self._loaded = False
        self._counting = False
        self._troubles = ""

    def body(self) -> ComposeResult:
        """One table; the names stand at once, the rest follows."""
        table: DataTable[object] = DataTable(cursor_type="row", id="engines")
        table.add_column("Engine", key="name", width=24)
        table.add_column("Due", key="due", width=23)
        table.add_column("Last check", key="last", width=12)
        table.add_column("In hand", key="state", width=11)
        for key, name in self.program.workshop.titles():
            table.add_row(plain(name), "...", "", "", key=key)
        yield table

    def title_text(self) -> str:
        """The words filtered by, or what to do."""
        return f"holding: {self._words}" if self._words else "choose one, Enter starts a check"

    def caution_text(self) -> str:
        """Who outranks us."""
        return OUTRANK

    def on_mount(self) -> None:
        """Show the names, then find out what is due."""
        super().on_mount()
        self.table().focus()

    def on_screen_resume(self) -> None:
        """Find out again what is due: a session may have been filed."""
        super().on_screen_resume()
        self.set_timer(0.05, self.load)  # the picture of the names first, undisturbed

    @work(thread=True, exclusive=True)
    def load(self) -> None:
        """Read sheets and register beside the screen: the keys are never held up."""
        self.program.workshop.watch_reading(self._tell_reading)
        try:
            shown = self.program.workshop.shown()
            self._troubles = troubles_line(self.program.workshop.troubles())
        except BenchError as error:
            self.app.call_from_thread(self.say, str(error), alarm=True)
            return
        self.app.call_from_thread(self._fill, shown)

    def _tell_reading(self, count: int, of: int) -> None:
        """On whichever thread reads, which must not wait for the screen: the screen may wait for it."""
        self.post_message(self.ReadingTold(count, of))

    def on_home_screen_reading_told(self, told: ReadingTold) -> None:
        """Say how far the reading is; what is still under way once all is shown comes too late."""
        told.stop()
        if not self._loaded:
            self._counting = True
            self.say(READING.format(count=f"{told.count:,}", of=f"{told.of:,}").replace(",", " "))

    def _fill(self, shown: list[Shown]) -> None:
        self._shown = {s.key: s for s in shown}
        if not self.is_mounted:
            return
        table = self.table()
        chosen = self.selected()
        if not self._loaded and table.cursor_row == 0:  # nobody has moved it yet
            chosen = _newest_open(shown) or chosen
        if self._counting:
            self._counting = False
            self.say("")  # how far the reading was
        self._loaded = True
        table.clear()
        for engine in shown:
            row = _row(engine)
            if self._words.lower() in " ".join(row).lower():
                table.add_row(*(plain(cell) for cell in row), key=engine.key)
        if chosen is not None:
            self.select(chosen)
        if self._troubles:
            self.say(self._troubles, alarm=True)

    def action_start(self) -> None:
        """Start a check, or go on with the one that was not closed."""
        engine = self._shown.get(self.selected() or "")
        if engine is None:
            return
        if engine.unfinished is not None:  # it holds its own copy of the sheet
            self._go_on(engine)
        elif engine.sheet is None:
            self.say("This sheet has faults: S shows them.", alarm=True)
        else:
            self._start(engine)

    def on_data_table_row_selected(self) -> None:
        """Enter, or a click on the row under the cursor."""
        self.action_start()

    def _start(self, engine: Shown) -> None:
        from benchtui.tui.screens.start import StartScreen

        if engine.sheet is not None:
            self.app.push_screen(StartScreen(engine.sheet))

    def _go_on(self, engine: Shown) -> None:
        from benchtui.tui.screens.resume import HAS_MOVED, MOVED_QUESTION, go_on

        session = engine.unfinished

        def answered(key: str | None) -> None:
            if session is None or key is None:
                return
            if key == "n":
                self._start(engine)
            else:
                go_on(self, session, key)

        answers = dict(HAS_MOVED)
        if engine.sheet is not None:
            answers["n"] = "leave it open among the past sessions, and start a new check"
        question = f"A check of this engine was not closed. {MOVED_QUESTION}"
        self.app.push_screen(Choose(question, answers), answered)

    def action_open_sheet(self) -> None:
        """Show the sheet."""
        from benchtui.tui.screens.sheet import SheetScreen

        key = self.selected()
        if key is not None and not self._is_gone(key):
            self.app.push_screen(SheetScreen(key))

    def _is_gone(self, key: str) -> bool:
        """Whether the file of this engine's sheet is no longer there; it is said then."""
        engine = self._shown.get(key)
        if engine is None or not engine.gone:
            return False
        self.say("The sheet's file is gone. Enter goes on with the check that was left open.")
        return True

    def action_add(self) -> None:
        """Add an engine: its name, then its sheet in the editor."""

        def named(name: str | None) -> None:
            from benchtui.tui.screens.sheet import SheetScreen

            if name:
                try:
                    key = self.program.workshop.add_engine(name.strip())
                except BenchError as error:
                    self.say(str(error), alarm=True)
                    return
                self.app.push_screen(SheetScreen(key, edit=True))

        self.app.push_screen(
            Ask(
                "A name for the new engine's sheet",
                hint="net-hauler",
                check=lambda name: self.program.workshop.check_new_name(name.strip()),
            ),
            named,
        )

    def action_past(self) -> None:
        """Show the past sessions."""
        from benchtui.tui.screens.sessions import SessionsScreen

        self.app.push_screen(SessionsScreen())

    def action_open_wear(self) -> None:
        """Show how the valves of this engine have moved."""
        from benchtui.tui.screens.wear import WearScreen

        engine = self._shown.get(self.selected() or "")
        if engine is not None and engine.sheet is not None:
            self.app.push_screen(WearScreen(engine.sheet))

    def action_open_blades(self) -> None:
        """Show the sets of blades."""
        from benchtui.tui.screens.blades import BladesScreen

        self.app.push_screen(BladesScreen())

    def action_open_feel(self) -> None:
        """Learn on a known gap what one's own drag tells."""
        from benchtui.tui.screens.feel import FeelScreen

        self.app.push_screen(FeelScreen())

    def action_practise(self) -> None:
        """Check an engine like this one that is not real."""
        from benchtui.tui.screens.practice import practise

        key = self.selected()
        if key is None or self._is_gone(key):
            return
        try:
            sheet = self.program.workshop.sheet(key)
        except BenchError:
            self.say("This sheet has faults: S shows them.", alarm=True)
            return
        practise(self, sheet)

    def action_hide(self) -> None:
        """Leave a shipped engine out of the list."""
        key = self.selected()
        if key is None or self._is_gone(key):
            return
        if not self._loaded:  # whether a check of it is open is not known yet
            self.say("Still reading the stored sessions: once more in a moment.")
            return
        engine = self._shown.get(key)
        if engine is not None and engine.unfinished is not None:
            self.say("A check of this engine is still open, so it stays in the list.")
            return
        try:
            self.program.workshop.hide(key)
        except BenchError as error:
            self.say(str(error), alarm=True)
            return
        name = engine.sheet.name if engine is not None and engine.sheet is not None else key
        self._shown.pop(key, None)
        self._fill(list(self._shown.values()))
        self.say(f"{name} is hidden. Z brings it back.")

    def action_bring_back(self) -> None:
        """Choose one of the hidden engines."""
        hidden = self.program.workshop.hidden()
        if not hidden:
            self.say("No engine is hidden.")
            return
        keys = dict(zip("123456789", hidden, strict=False))

        def answered(answer: str | None) -> None:
            if answer is None:
                return
            try:
                self.program.workshop.bring_back(keys[answer][0])
            except BenchError as error:
                self.say(str(error), alarm=True)
                return
            self.load()

        answers = {number: name for number, (_, name) in keys.items()}
        self.app.push_screen(Choose("Bring which one back?", answers), answered)

    def action_filter(self) -> None:
        """Show only the engines that hold the words typed."""

        def typed(words: str | None) -> None:
            self._words = (words or "").strip()
            self.refresh_view()
            self._fill(list(self._shown.values()))

        self.app.push_screen(Ask("Show only engines that hold", value=self._words), typed)

    async def action_quit(self) -> None:
        """End the program."""
        await self.program.action_quit()


def _newest_open(shown: list[Shown]) -> str | None:
    """The engine whose check was begun last and not closed: that is where he wants to go on."""
    begun = [s for s in shown if s.unfinished is not None]
    return max(begun, key=lambda s: s.unfinished or "").key if begun else None


def _row(engine: Shown) -> tuple[str, str, str, str]:
    last = "never" if engine.last is None else engine.last.isoformat()
    state = "" if engine.unfinished is None else "not closed"
    if engine.gone:
        return inert(engine.gone), "sheet's file is gone", last, state
    if engine.sheet is None:
        return inert(engine.key), "sheet has faults", "", state
    if engine.hydraulic:
        return inert(engine.sheet.name), "nothing to set", "", "hydraulic"
    return inert(engine.sheet.name), due_words(engine.due), last, state


def due_words(due: Due | None) -> str:
    """When it is due, for a narrow column: shape, word, date or distance."""
    if due is None:
        return "no interval"
    when = "" if due.date is None else due.date.isoformat()
    if not when and due.at_km is not None:
        when = distance(due.at_km)
    if not when and due.at_hours is not None:
        when = hours(due.at_hours)
    if due.overdue:
        return f"!! OVERDUE {when}".strip()
    if due.overdue is None:
        return f"?  {when or 'not known'}"
    return f"{'!  soon' if due.soon else '  '} {when}".rstrip()
