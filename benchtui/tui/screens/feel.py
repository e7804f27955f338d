"""Feel: a short practice on known gaps, which shows what one hand's drag tells."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.widgets import Static

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.errors import BenchError
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import Practice
from benchtui.text.quantities.show import bare, inert
from benchtui.text.reading.script import marks_of
from benchtui.text.words.feel_words import excess_words, practice_lines, wanted_words
from benchtui.text.words.foot import answers
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import FEEL, bindings_for
from benchtui.tui.present import blade_words, feel_ruler
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.ruler import RulerPicture

NO_BLADES = "There is no sound set of blades to practise with."


class FeelScreen(WorkScreen):
    """One person's practice: a gap from the micrometer, a blade, an answer; again and again."""

    SCREEN = FEEL
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(FEEL)

    def __init__(self, who: str = "") -> None:
        super().__init__()
        self._who = who
        self._set: BladeSet | None = None
        self._blade: Feeler | None = None
        self._practice = Practice()
        self._kept = Practice()

    def body(self) -> ComposeResult:
        """The blade and the gap in tall figures, what is asked for, the tries on a scale."""
        with Horizontal(id="feel-top"):
            yield BigText(id="feel-blade")
            yield BigText(id="feel-gap")
        yield Static(id="feel-wanted", markup=False)
        yield RulerPicture(id="ruler")
        yield Static(id="feel-told", markup=False)
        yield FootPicture(answers(), id="foot")

    def title_text(self) -> str:
        """Whose hand it is."""
        return f"{self._who or 'nobody yet'}: practice on a known gap"

    def caution_text(self) -> str:
        """Never force a blade."""
        return "Never force a blade: one that goes only by force refuses."

    def on_mount(self) -> None:
        """Take a set in hand and ask whose hand it is."""
        workshop = self.program.workshop
        self._set = workshop.reviews.set_in_hand()
        if self._set is not None:
            singles = self._set.singles()
            self._blade = singles[len(singles) // 2]
        super().on_mount()
        if not self._who:
            self._ask_who()

    def _ask_who(self) -> None:
        workshop = self.program.workshop

        def named(text: str | None) -> None:
            if text is None:
                self.app.pop_screen()
                return
            self._who = text.strip()
            self._take_up()

        self.app.push_screen(
            Ask(
                "Whose hand is it? The name, or the initials, that stands on the record",
                value=workshop.reviews.last_who(),
                check=workshop.hands.check_hand,
            ),
            named,
        )

    def _take_up(self) -> None:
        """Say what an earlier practice has shown."""
        try:
            earlier = self.program.workshop.hands.hand(self._who)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self.refresh_view()
        if earlier is not None:
            self.say("\n".join(practice_lines(Practice(earlier.tries))[:1]) + " (kept before)")

    def refresh_view(self) -> None:
        """Show the blade, the gap, what is asked for and what was felt."""
        super().refresh_view()
        practice, blade = self._practice, self._blade
        name = "---" if blade is None else blade_words(blade.marks)
        self.query_one("#feel-blade", BigText).show(Big(name, Role.NEXT, small=f"blade {name}"))
        gap = "---" if practice.gap is None else bare(practice.gap)
        self.query_one("#feel-gap", BigText).show(Big(gap, small=f"in a gap of {gap}"))
        asked = None if blade is None else practice.wanted(blade.nominal)
        words = NO_BLADES if blade is None else wanted_words(practice, name, asked)
        self.query_one("#feel-wanted", Static).update(inert(words))
        self.query_one("#ruler", RulerPicture).show(feel_ruler(practice))
        told = "\n".join(practice_lines(practice))
        self.query_one("#feel-told", Static).update(inert(told, lines=True))

    # Answers

    def _answer(self, answer: Answer) -> None:
        if self._blade is None or self._practice.gap is None:
            self.say("First the gap: type it, as the micrometer has it.", alarm=True)
            self.app.bell()
            return
        self._practice = self._practice.felt(self._blade.nominal, answer)
        self.say(excess_words(self._practice.tries[-1]))
        self.refresh_view()

    def action_refuses(self) -> None:
        """The blade does not go."""
        self._answer(Answer.REFUSES)

    def action_drag(self) -> None:
        """It goes and drags."""
        self._answer(Answer.DRAG)

    def action_free(self) -> None:
        """It goes freely."""
        self._answer(Answer.FREE)

    # Gap and blade

    def action_figure(self, first: str = "") -> None:
        """Type the gap."""

        def typed(text: str | None) -> None:
            if not text:
                return
            marks = marks_of(text)
            if len(marks) == 1:
                self._practice = self._practice.at(marks[0])
            elif self._set is not None:
                self._practice = self._practice.at_stack(self._set.feeler(*marks))
                self.say("A stack's joints may add to it: a micrometer would tell more.")
            self.refresh_view()

        self.app.push_screen(
            Ask(
                "The gap, as the micrometer has it, or the stack that sets it",
                hint="0.104 mm, or 0.20+0.05",
                first=first,
                check=marks_of,
            ),
            typed,
        )

    def action_as_told(self) -> None:
        """Take the gap that is asked for."""
        asked = None if self._blade is None else self._practice.wanted(self._blade.nominal)
        if asked is not None:
            self._practice = self._practice.at(asked)
            self.refresh_view()

    def action_thicker(self) -> None:
        """The next thicker leaf instead."""
        if self._set is not None and self._blade is not None:
            self._blade = self._set.beside(self._blade.nominal, thicker=True)
            self.refresh_view()

    def action_thinner(self) -> None:
        """The next thinner leaf instead."""
        if self._set is not None and self._blade is not None:
            self._blade = self._set.beside(self._blade.nominal, thicker=False)
            self.refresh_view()

    def action_borrowed(self) -> None:
        """Type the size of a blade."""

        def typed(text: str | None) -> None:
            if text and self._set is not None:
                self._blade = self._set.feeler(*marks_of(text))
                self.refresh_view()

        self.app.push_screen(Ask("Which blade?", hint="0.10, or 4 thou", check=marks_of), typed)

    # Keeping

    def action_undo(self) -> None:
        """Forget the last try."""
        if not self._practice.tries:
            self.say("There is no try to forget.")
            return
        last = self._practice.tries[-1]
        self._practice = self._practice.without_last()
        self.refresh_view()
        self.say(f"Forgotten: {excess_words(last)}.")

    def action_keep(self) -> None:
        """Keep what this practice has shown."""
        if self._practice.band is None:
            self.say("Too few tries to tell yet: see what is asked for.", alarm=True)
            return
        try:
            self.program.workshop.hands.keep_hand(self._who, self._practice.tries)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self._kept = self._practice
        self.say(
            f"The hand of {self._who} is kept. It decides nothing unless you choose 'by feel' for "
            "yourself, when a check begins or under M at the bench."
        )

    def action_leave(self) -> None:
        """Back; tries that were not kept are asked about."""
        if self._practice.tries == self._kept.tries:
            self.app.pop_screen()
            return

        def chosen(key: str | None) -> None:
            if key == "leave":
                self.app.pop_screen()

        self.app.push_screen(
            Choose("These tries are not kept.", {"leave": "leave them", "stay": "stay here"}),
            chosen,
        )
