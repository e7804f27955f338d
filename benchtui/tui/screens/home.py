"""The engines of one's own, the most pressing first, with the last check of the one chosen.

Long, because it is the door to everything else: one short action a key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import DataTable, Static
from textual.worker import get_current_worker

from benchtui.domain.errors import BenchError
from benchtui.text.quantities.show import date as day_words
from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.refusals import error_words
from benchtui.text.words.trouble_words import troubles_line
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import OUTRANK, plain
from benchtui.tui.keys import HOME, bindings_for
from benchtui.tui.tables import TableScreen
from benchtui.tui.widgets.last_check import LastCheckPicture

if TYPE_CHECKING:  # the first picture does without them
    from benchtui.domain.history.glance import EngineGlance
    from benchtui.workshop import Engine, Shown


READING = "Reading the stored sessions: {count} of {of}. Q ends the program, nothing is harmed."
"""Said while the register is rebuilt, which takes a while where there are thousands."""

FAULTY = "This sheet has faults: E shows them."
EXAMPLES = "+examples"
"""The key of the line that opens the examples."""

EXAMPLE = "example:"
"""Before the key of a row that is one of them."""


class HomeScreen(TableScreen):
    """Every engine of one's own; the invented examples are one closed line."""

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
        self._examples: dict[str, Engine] = {}
        self._glances: dict[str, EngineGlance | None] = {}
        self._asked: set[str] = set()
        self._words = ""
        self._open = False
        self._loaded = False
        self._hidden: frozenset[int] = frozenset()
        self._counting = False
        self._choose = self._told = self._troubles = ""

    def body(self) -> ComposeResult:
        """The list; below it the engine under the cursor. The names stand at once, the rest follows."""
        table: DataTable[object] = DataTable(cursor_type="row", id="engines")
        self._add_columns(table)
        for key, name in self.program.workshop.titles():
            table.add_row(*self._cells(("", plain(name), "...", *[""] * 4)), key=key)
        yield table
        yield Static(id="chosen", markup=False)
        yield LastCheckPicture(id="last-check")
        yield Static(id="glance", markup=False)
        yield Static(id="next", markup=False, classes="strong")

    def _add_columns(self, table: DataTable[object]) -> None:
        """As many as there is room for: by when and who on a wide screen, name and due on a narrow one."""
        self._hidden = _hidden(self.app.size.width)
        for name, width in self._cells(_COLUMNS):
            table.add_column(name, width=width)

    def _cells(self, all_of_them: tuple[_Cell, ...]) -> list[_Cell]:
        return [cell for at, cell in enumerate(all_of_them) if at not in self._hidden]

    def on_resize(self) -> None:
        """More columns, or fewer."""
        if self._loaded and self._hidden != _hidden(self.app.size.width):
            table = self.table()
            self._choose = self.selected() or ""
            table.clear(columns=True)
            self._add_columns(table)
            self._list()

    def title_text(self) -> str:
        """How many, how many of them overdue, and where the cursor is in a long list."""
        if self._words:
            return f"holding: {self._words}   Esc shows all"
        if not self._loaded:
            return ""
        overdue = sum(s.due is not None and bool(s.due.overdue) for s in self._shown.values())
        told = f"{len(self._shown) or 'none'} of yours"
        told += f", {overdue} overdue" if overdue else ""
        if self.table().row_count > _MANY:
            told += f"   row {self.table().cursor_row + 1} of {self.table().row_count}"
        return told

    def far_text(self) -> str:
        """Today, for all that is due is counted from it."""
        return day_words(self.program.workshop.clock().date()) if self._loaded else ""

    def caution_text(self) -> str:
        """Who outranks us."""
        return OUTRANK

    def on_mount(self) -> None:
        """Show the names, then find out what is due; at the first start say where to begin."""
        super().on_mount()
        self.table().focus()
        if self.program.workshop.untouched() and self.program.filling is None:
            from benchtui.tui.screens.first import FirstScreen

            self.app.push_screen(FirstScreen())

    def on_screen_resume(self) -> None:
        """Find out again what is due: a session may have been filed."""
        super().on_screen_resume()
        self.set_timer(0.05, self.load)  # the picture of the names first, undisturbed

    def choose(self, key: str, told: str = "") -> None:
        """Put the cursor on this engine once the list is there, and say what came of it."""
        self._choose, self._told = key, told

    def to_first(self) -> None:
        """Put the cursor on the most pressing engine once the list is there."""
        self.table().move_cursor(row=0)

    @work(thread=True, exclusive=True)
    def load(self) -> None:
        """Read sheets and register beside the screen: the keys are never held up."""
        worker = get_current_worker()
        workshop = self.program.workshop
        workshop.past_sessions.watch_reading(self._tell_reading)
        try:
            self.program.fill(self._tell_filling)
            shown = workshop.reviews.shown()
            reviews = workshop.reviews
            self._troubles = troubles_line((*reviews.troubles(), *reviews.clock_doubts()))
            examples = workshop.engines.examples([s.key for s in shown])
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._fill, shown, examples)

    def _tell_reading(self, count: int, of: int) -> None:
        """On whichever thread reads, which must not wait for the screen: the screen may wait for it."""
        self.post_message(self.ReadingTold(count, of))

    def _tell_filling(self, count: int, of: int) -> None:
        self.app.call_from_thread(
            self.say, f"Writing the demo's history: {count} of {of} checks. Q ends the demo."
        )

    def on_home_screen_reading_told(self, told: ReadingTold) -> None:
        """Say how far the reading is; what is still under way once all is shown comes too late."""
        told.stop()
        if not self._loaded:
            self._counting = True
            count, of = (f"{n:_}".replace("_", " ") for n in (told.count, told.of))
            self.say(READING.format(count=count, of=of))

    def _fill(self, shown: list[Shown], examples: tuple[Engine, ...]) -> None:
        self._shown = {s.key: s for s in shown}
        self._examples = {e.key: e for e in examples}
        self._glances.clear()
        self._asked.clear()
        if not self.here:
            return
        if self._counting or not self._loaded:
            self._counting = False
            self.say("")  # how far the reading was
        self._loaded = True
        self._list()
        if self._told:
            self.say(self._told)
            self._told = ""
        if self._troubles:
            self.say(self._troubles, alarm=True)

    def _list(self) -> None:
        """The rows anew, the cursor where it was; at first on the most pressing engine."""
        from benchtui.tui.present_home import row_of

        table = self.table()
        chosen = self._choose or (self.selected() if table.cursor_row else None)
        self._choose = ""
        table.clear()
        today = self.program.workshop.clock().date()
        for engine in self._shown.values():
            row = row_of(engine, today)
            if self._words.lower() in " ".join(row).lower():
                table.add_row(*map(plain, self._cells(row)), key=engine.key)
        self._add_examples(table)
        if chosen is not None:
            self.select(chosen)
        if not table.row_count and self._words:
            self.say(f"No engine holds {self._words!r}. Esc shows all.")
        self.refresh_view()
        self._show_chosen()

    def _add_examples(self, table: DataTable[object]) -> None:
        found = [e for e in self._examples.values() if self._words.lower() in _name(e).lower()]
        if not found:
            return
        if not self._open and not self._words:
            told = f"+ {len(found)} examples"
            line = ("", told, "none of them yours", "", "→ opens", "", "")
            table.add_row(*self._cells(line), key=EXAMPLES)
            return
        for engine in found:
            what = "EXAMPLE, invented, never due"
            row = ("", plain(_name(engine)), what, *[""] * 4)
            table.add_row(*self._cells(row), key=EXAMPLE + engine.key)

    def on_data_table_row_highlighted(self) -> None:
        """The cursor stands on another engine."""
        if self._loaded:
            self._show_chosen()
            if self.table().row_count > _MANY:
                self.refresh_view()

    def _show_chosen(self) -> None:
        key = self.selected() or ""
        engine = self._shown.get(key)
        if engine is not None and key not in self._glances and key not in self._asked:
            self._asked.add(key)
            self.look(engine)
        if key in self._glances or engine is None:
            self._show_glance(self._glances.get(key))

    @work(thread=True, group="glance")
    def look(self, engine: Shown) -> None:
        """Ask the record beside the screen."""
        try:
            found = self.program.workshop.reviews.glance(engine)
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take, engine.key, found)

    def _take(self, key: str, found: EngineGlance | None) -> None:
        self._glances[key] = found
        if self.here and self.selected() == key:
            self._show_glance(found)

    def _show_glance(self, glance: EngineGlance | None) -> None:
        from benchtui.text.pages.engine_glance import glance_lines, last_words
        from benchtui.text.words.foot import ENTER, Foot
        from benchtui.tui.present_home import last_check
        from benchtui.tui.widgets.foot import FootPicture

        picture = self.query_one("#last-check", LastCheckPicture)
        last = None if glance is None else glance.last
        picture.display = last is not None
        picture.show(None if last is None else last_check(last))
        heading, lines = self._unknown(), Content("")
        if glance is not None:
            heading = f"── {inert(glance.sheet.name)}  {inert(last_words(last))} "
            lines = Content("\n").join(
                Content(row).stylize("bold", 0, _MARGIN)
                for word, text in glance_lines(glance)
                for row in wrap(
                    inert(text), self.size.width - 1, initial_indent=f"{word:<{_MARGIN}}",
                    subsequent_indent=" " * _MARGIN,
                )
            )  # fmt: skip
        if not self._shown and not lines.plain:
            lines = Content(_NONE_YET)
        self.query_one("#chosen").display = bool(heading)
        self.query_one("#chosen", Static).update(Content(heading.ljust(self.size.width, "─")))
        self.query_one("#glance", Static).update(lines)
        words = self._next_words()
        self.query_one("#next", Static).update(plain(words))
        foot = Foot.one(ENTER, words.removeprefix("Enter ").removeprefix("Enter: "))
        if self.query("#foot"):
            self.query_one("#foot", FootPicture).show(foot)
        else:
            self.query_one("#body").mount(FootPicture(foot, id="foot"))

    def _unknown(self) -> str:
        """What to say where there is no engine to look at."""
        key = self.selected() or ""
        if key.startswith(EXAMPLE):
            return f"── {inert(_name(self._examples[key.removeprefix(EXAMPLE)]))}  an invented example "
        return ""

    def _next_words(self) -> str:
        """What Enter does on this row."""
        key = self.selected() or ""
        if key == EXAMPLES:
            return "Enter opens the examples, one of each kind, to look at and to copy."
        if key.startswith(EXAMPLE):
            return "Enter: an engine of your own of this kind; its figures come from your manual."
        engine = self._shown.get(key)
        if engine is None:
            return "" if self._words else "No engine of yours yet. A adds one; T is the tour."
        name = engine.gone or (engine.key if engine.sheet is None else engine.sheet.name)
        if engine.unfinished is not None:
            return f"{_slack_first(engine)}Enter goes on with the check of {name}."
        if engine.gone:
            return f"The sheet of {name} is gone. Enter tells which engine it is now."
        if engine.hydraulic:
            return f"Nothing to set on {name}: hydraulic. E shows its sheet."
        if engine.sheet is None:
            return f"Enter shows what is wrong with the sheet of {name}."
        return f"Enter checks {name}."

    def action_start(self) -> None:
        """Start a check, or go on with the one that was not closed; of an example offer a copy."""
        key = self.selected() or ""
        engine = self._shown.get(key)
        if key == EXAMPLES:
            self.action_open_examples()
        elif key.startswith(EXAMPLE):
            self._copy(key.removeprefix(EXAMPLE))
        elif engine is None:
            self._not_yet()
        elif engine.unfinished is not None:  # it holds its own copy of the sheet
            self._go_on(engine)
        elif engine.gone:
            self._ask_which(engine)
        elif engine.sheet is None:
            self.action_open_sheet()
        elif engine.hydraulic:
            self.say("Hydraulic adjusters: there is no clearance to check. E shows the sheet.")
        else:
            self._start(engine)

    def _ask_which(self, gone: Shown) -> None:
        from benchtui.tui.screens.put_away import ask_which

        ask_which(self, gone, self.load)

    def action_retire(self) -> None:
        """Leave an engine out of the list, or bring a retired one back."""
        from benchtui.tui.screens.put_away import ask_to_retire

        ask_to_retire(self, self._shown.get(self.selected() or ""), self.load)

    def _not_yet(self) -> None:
        if not self._loaded:
            self.say("Still reading what is stored: once more in a moment.")

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
            if key == "new":
                self._start(engine)
            else:
                go_on(self, session, key)

        answers = dict(HAS_MOVED)
        if engine.sheet is not None:
            answers["new"] = "leave it open among the past sessions, and start a new check"
        question = f"A check of this engine was not closed. {MOVED_QUESTION}"
        self.app.push_screen(Choose(question, answers, _slack_first(engine)), answered)

    def _copy(self, example: str) -> None:
        """Offer an engine of one's own of this kind, and nothing else: an example is never checked."""
        from benchtui.tui.screens.engine_form import EngineFormScreen

        def answered(answer: str | None) -> None:
            if answer == "1":
                self.app.push_screen(EngineFormScreen(copy_of=f"example:{example}"))
            elif answer == "2":
                self._practise_on(example)
            elif answer == "3":
                self._open_sheet_of(example)

        name = _name(self._examples[example])
        self.app.push_screen(
            Choose(
                f"{name} is an invented example.",
                {
                    "1": "add an engine of your own of this kind; the figures come from your manual",
                    "2": "practise on it: nothing is kept",
                    "3": "look at its sheet",
                },
            ),
            answered,
        )

    def action_open_examples(self) -> None:
        """Open the line of the examples."""
        if self._examples and not self._open:
            self._open = True
            self._choose = EXAMPLE + next(iter(self._examples))
            self._list()
        elif not self._examples:
            self.say("Every example is among the engines here already.")

    def show_examples(self) -> None:
        """Open them as soon as the list is there."""
        self._open = True
        if self._loaded:
            self._list()

    def action_close_examples(self) -> None:
        """Make one line of them again."""
        if self._open:
            self._open = False
            self._list()

    def action_open_sheet(self) -> None:
        """Show the sheet."""
        key = (self.selected() or "").removeprefix(EXAMPLE)
        if key and key != EXAMPLES and not self._is_gone(key):
            self._open_sheet_of(key)

    def _open_sheet_of(self, key: str) -> None:
        from benchtui.tui.screens.sheet import SheetScreen

        self.app.push_screen(SheetScreen(key))

    def _is_gone(self, key: str) -> bool:
        """Whether the file of this engine's sheet is no longer there; it is said then."""
        engine = self._shown.get(key)
        if engine is None or not engine.gone:
            return False
        what = (
            "tells which engine it is now"
            if engine.unfinished is None
            else "goes on with its check"
        )
        self.say(f"The sheet's file is gone. Enter {what}.")
        return True

    def action_add(self) -> None:
        """What can be added: an engine, blades, another machine's folder."""
        from benchtui.tui.screens.first import FirstScreen

        self.app.push_screen(FirstScreen(adding=True))

    def action_past(self) -> None:
        """Show the past sessions."""
        from benchtui.tui.screens.sessions import SessionsScreen

        self.app.push_screen(SessionsScreen(self.selected() or ""))

    def action_open_wear(self) -> None:
        """Show how the valves of this engine have moved."""
        from benchtui.tui.screens.wear import WearScreen

        engine = self._shown.get(self.selected() or "")
        if engine is not None and engine.sheet is not None:
            self.app.push_screen(WearScreen(engine.sheet))
        else:
            self.say("Wear is told of an engine of yours that has been checked.")

    def action_open_blades(self) -> None:
        """Show the sets of blades."""
        from benchtui.tui.screens.blades import BladesScreen

        self.app.push_screen(BladesScreen())

    def action_practise(self) -> None:
        """The tour, practice on this engine or one like it, practice of drag."""
        from benchtui.tui.screens.feel import FeelScreen
        from benchtui.tui.screens.practice import tour

        key = (self.selected() or "").removeprefix(EXAMPLE)
        answers = {"1": "the tour: ten steps on a pump that is not real"}
        if key and key != EXAMPLES:
            answers["2"] = "practise on an engine like this one: nothing is kept"
        answers["3"] = "practise drag: learn on a known gap what your own hand calls a drag"

        def answered(answer: str | None) -> None:
            if answer == "1":
                tour(self)
            elif answer == "2":
                self._practise_on(key)
            elif answer == "3":
                self.app.push_screen(FeelScreen())

        self.app.push_screen(Choose("Nothing here touches a real engine.", answers), answered)

    def _practise_on(self, key: str) -> None:
        from benchtui.tui.screens.practice import practise

        if self._is_gone(key):
            return
        try:
            sheet = self.program.workshop.engines.sheet(key)
        except BenchError:
            self.say(FAULTY, alarm=True)
            return
        practise(self, sheet)

    def action_filter(self) -> None:
        """Show only the engines that hold the words typed."""

        def typed(words: str | None) -> None:
            if words is not None:
                self._words = words.strip()
                self._list()

        self.app.push_screen(Ask("Show only engines that hold", value=self._words), typed)

    def action_show_all(self) -> None:
        """All engines again."""
        if self._words:
            self._words = ""
            self.say("")
            self._list()


_MARGIN = 8
"""The words that say what a line is about."""

_COLUMNS = (
    ("", 2),
    ("Engine", 19),
    ("Due", 28),
    ("By", 26),
    ("Last check", 11),
    ("Who", 8),
    ("Open", 10),
)
_ROOMY, _WIDE = frozenset({3, 5}), 116
_USUAL, _NARROW = frozenset({4, 6}), 72
"""The columns for which there is room in so many columns of the terminal."""
_Cell = TypeVar("_Cell")


_NONE_YET = (
    "No engine of yours yet. A adds one in three minutes, from its manual or plate;\n"
    "T is the tour: ten steps on a pump that is not real. B: the sets of blades."
)


def _hidden(width: int) -> frozenset[int]:
    return (frozenset() if width >= _WIDE else _ROOMY) | (
        frozenset() if width >= _NARROW else _USUAL
    )


_MANY = 7
"""More rows than this and the title says where the cursor is."""


def _slack_first(engine: Shown) -> str:
    """What was left undone in the check that is open, and may wreck the engine; empty for nothing."""
    slack = () if engine.open is None else engine.open.slack
    if engine.open is not None and engine.open.cams_out:
        return "The CAMS ARE OUT: turn no crank. "
    return f"Lock the nut of {', '.join(slack)} first. " if slack else ""


def _name(engine: Engine) -> str:
    return engine.key if engine.sheet is None else engine.sheet.name
