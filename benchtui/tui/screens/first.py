"""Where to begin: one's own engine first, the tour, blades, the examples, another machine's folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.text.quantities.show import inert
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Ask
from benchtui.tui.frame import OUTRANK, WorkScreen
from benchtui.tui.keys import FIRST, bindings_for
from benchtui.tui.screens.reasons import ReadScreen
from benchtui.tui.widgets.choices import Choice, Choices, ChoicesPicture

if TYPE_CHECKING:
    from benchtui.tui.screens.home import HomeScreen

WHAT_IT_DOES = "benchtui finds what each valve's gap is, says how to set it, keeps the record."
KEPT = "Everything stays on this machine, in plain files, in {folder}."

CHOICES = (
    Choice(
        "Add your engine",
        (
            "Its name, the figures and their page, the adjuster. Three minutes;",
            "what you do not know yet can wait. No file is edited.",
        ),
    ),
    Choice(
        "Take the tour",
        (
            "Ten steps on a pump that is not real, from cold metal to the card.",
            "A drawn hand tries the blades for you. Nothing of it is kept.",
        ),
    ),
    Choice(
        "Enter your blades",
        (
            "Say which leaves lie in your box, or choose one of the usual sets.",
            "It tells at once which limits your box can decide.",
        ),
    ),
    Choice(
        "Look at the examples",
        (
            "Invented engines, one of each kind, each marked EXAMPLE.",
            "Never due, never mixed with yours; any of them can be copied.",
        ),
    ),
    Choice("Take in the folder of another machine"),
)
_ADDING = (0, 2, 1, 3, 4)
"""With engines there already: an engine, blades, the tour."""


class FirstScreen(WorkScreen):
    """Five choices by number; the same page comes under the key that adds something."""

    SCREEN = FIRST
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(FIRST)

    def __init__(self, *, adding: bool = False) -> None:
        super().__init__()
        self._adding = adding
        self._order = _ADDING if adding else tuple(range(len(CHOICES)))
        self._at = 0

    def body(self) -> ComposeResult:
        """What the program is for, the choices, where things are kept."""
        yield Static(WHAT_IT_DOES, markup=False, classes="strong")
        yield ChoicesPicture(id="choices")
        kept = KEPT.format(folder=self.program.workshop.data.root)
        yield Static(inert(kept), id="kept", markup=False)

    def title_text(self) -> str:
        """What there is so far."""
        return "what is to be added?" if self._adding else "none of yours yet"

    def caution_text(self) -> str:
        """Who outranks us."""
        return OUTRANK

    def refresh_view(self) -> None:
        """Show where the cursor is."""
        super().refresh_view()
        shown = tuple(CHOICES[at] for at in self._order)
        self.query_one(ChoicesPicture).show(Choices(shown, self._at))

    def action_row_before(self) -> None:
        """One choice up."""
        self._go(-1)

    def action_row_after(self) -> None:
        """One choice down."""
        self._go(1)

    def _go(self, by: int) -> None:
        self._at = max(0, min(len(CHOICES) - 1, self._at + by))
        self.refresh_view()

    def on_choices_picture_taken(self, taken: ChoicesPicture.Taken) -> None:
        """A click on a choice."""
        self._at = taken.at
        self.refresh_view()
        self.action_choose()

    def action_pick(self, number: str) -> None:
        """Do what stands at a number."""
        self._at = int(number) - 1 if number else self._at
        self.refresh_view()
        self.action_choose()

    def action_choose(self) -> None:
        """Do what the cursor is at."""
        (self._engine, self._tour, self._blades, self._examples, self._take_in)[
            self._order[self._at]
        ]()

    def _back_home(self) -> HomeScreen:
        self.program.to_home()
        return self.program.home

    def _engine(self) -> None:
        from benchtui.tui.screens.engine_form import EngineFormScreen

        self._back_home()
        self.app.push_screen(EngineFormScreen())

    def _tour(self) -> None:
        from benchtui.tui.screens.practice import tour

        tour(self)

    def _blades(self) -> None:
        from benchtui.tui.screens.blades_form import BladesFormScreen

        self.app.push_screen(BladesFormScreen())

    def _examples(self) -> None:
        self._back_home().show_examples()

    def _take_in(self) -> None:
        def check(text: str) -> None:
            self.program.workshop.past_sessions.check_bundle(Path(text.strip()).expanduser())

        def typed(text: str | None) -> None:
            if not text:
                return
            try:
                told = self.program.workshop.past_sessions.take_in(Path(text.strip()).expanduser())
            except BenchError as error:
                self.say(error_words(error), alarm=True)
                return
            self.app.push_screen(ReadScreen("Taken in", list(told)), lambda _: self._done())

        question = "The file that `benchtui export --all FILE` wrote on the other machine"
        self.app.push_screen(Ask(question, hint="harbour.zip", check=check), typed)

    def _done(self) -> None:
        self._back_home()
