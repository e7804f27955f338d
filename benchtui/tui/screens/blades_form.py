"""A set of blades in a form: its leaves, and at once what they can decide on one's own engines."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.sheet import Sheet
from benchtui.text.forms.blades_form import (
    HELP,
    LABELS,
    MUSTS,
    USUAL_ERROR,
    ExaminedSet,
    answers_of,
    decides,
    examine,
    leaf_rows,
)
from benchtui.text.forms.engine_form import file_name
from benchtui.text.quantities.show import inert
from benchtui.text.words.blade_words import set_words
from benchtui.text.words.refusals import error_words
from benchtui.tui.form import FormScreen
from benchtui.tui.keys import BLADES_FORM, bindings_for
from benchtui.tui.widgets.form_lines import FormLine, TypedLine

COPY = "copy"
COPY_HELP = "Begin with the leaves of a usual set, or of one of yours, and take out what you lack."


class BladesFormScreen(FormScreen):
    """Adds a set, or changes one's own. ``key`` is the set to change, None for a new one."""

    SCREEN = BLADES_FORM
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(BLADES_FORM)

    def __init__(self, key: str | None = None) -> None:
        super().__init__()
        self._key = key
        self._base: str | None = None
        self._copied = ""
        self._done: ExaminedSet | None = None
        self._sheets: tuple[Sheet, ...] = ()

    def body(self) -> ComposeResult:
        """The lines, the leaves in both systems, what they decide."""
        workshop = self.program.workshop
        answers = {"error": USUAL_ERROR}
        if self._key is not None:
            self._base = workshop.shelf.text_of(self._key)
            answers |= answers_of(self._base)
        else:
            answers |= self.program.drafts.get(BLADES_FORM, {})
        self._sheets = tuple(e.sheet for e in workshop.engines.owned() if e.sheet is not None)
        choices = [("", "nothing: an empty form")]
        choices += [
            (key, f"{'yours' if own else 'usual'}: {blades.name}")
            for key, blades, own in workshop.reviews.sound_blades()
        ]
        lines = [FormLine(COPY, "Copy from", "", "", tuple(choices))]
        lines += [
            FormLine(id_, label, answers.get(id_, ""), must=id_ in MUSTS) for id_, label in LABELS
        ]
        yield from self.form(lines)
        yield Static("── the leaves ".ljust(200, "─"), id="told-rule", markup=False)
        yield Static(id="leaf-rows", markup=False)
        yield Static("── what they can decide on your engines ".ljust(200, "─"), classes="rule")
        yield Static(id="decides", markup=False)

    def title_text(self) -> str:
        """Whose set, and how many leaves."""
        what = "Add blades" if self._key is None else inert(self._key)
        blades = None if self._done is None else self._done.blades
        return what if blades is None else f"{what}: {len(blades.leaves)} leaves"

    def caution_text(self) -> str:
        """A bad leaf measures badly."""
        return "Wipe each leaf; leave out one that is bent, worn or burred."

    def on_mount(self) -> None:
        """Begin at the name."""
        super().on_mount()
        self.line(COPY).display = self._key is None
        self.examined()
        self.go_to("name")

    def explanation(self, name: str) -> str:
        """What a line is for, with an example."""
        return COPY_HELP if name == COPY else HELP[name]

    def examined(self) -> None:
        """What the answers come to, beside each line and below."""
        workshop = self.program.workshop
        copy = self.line(COPY).value
        if copy != self._copied:
            self._copied = copy
            if copy:
                self._take(answers_of(workshop.shelf.text_of(copy)))
        answers = {id_: self.line(id_).value for id_, _ in LABELS}
        self._done = done = examine(answers, self._base)
        for id_, _ in LABELS:
            if id_ in done.wrong:
                self.line(id_).remark(done.wrong[id_], good=False)
            else:
                self.line(id_).remark(
                    self._understood(id_), good=bool(answers[id_].strip()) or None
                )
        rows = () if done.blades is None else leaf_rows(done.blades, self.size.width - 2)
        self.query_one("#leaf-rows", Static).update("\n".join(rows))
        told = () if done.blades is None else decides(done.blades, self._sheets)
        if done.blades is not None and not told:
            told = ("No engine of yours yet.",)
        self.query_one("#decides", Static).update(inert("\n".join(told), lines=True))
        if self._key is None:
            self.program.drafts[BLADES_FORM] = answers
        self.refresh_view()

    def _understood(self, id_: str) -> str:
        blades = None if self._done is None else self._done.blades
        if id_ == "leaves" and blades is not None:
            return set_words(blades).removeprefix(f"{blades.name}: ")
        if id_ == "name" and self._key is None:
            return f"filed as {file_name(self.line('name').value)}"
        return ""

    def _take(self, answers: dict[str, str]) -> None:
        for id_ in ("leaves", "error"):
            widget = self.line(id_).line
            if isinstance(widget, TypedLine):
                widget.value = answers.get(id_, "")

    def action_go_on(self) -> None:
        """The next line; from the last keep the set."""
        lines = self.lines()
        current = self.current()
        if current is not None and current is not lines[-1]:
            self._step(1)
            return
        done = self._done
        if done is None or done.blades is None:
            bad = next(iter(done.wrong), "") if done is not None else ""
            bad = bad or next(m for m in MUSTS if not self.line(m).value.strip())
            self.go_to(bad)
            self.say("This line is wanted before the set can be kept.", alarm=True)
            return
        key = self._key or file_name(done.blades.name)
        try:
            self.program.workshop.shelf.keep(key, done.text, new=self._key is None)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self.program.drafts.pop(BLADES_FORM, None)
        self.app.pop_screen()
        self._say_kept(key, done.blades.name)

    def _say_kept(self, key: str, name: str) -> None:
        from benchtui.tui.screens.blades import BladesScreen
        from benchtui.tui.screens.first import FirstScreen

        screen = self.app.screen
        if isinstance(screen, FirstScreen):
            self.app.pop_screen()
            screen = self.app.screen
        if isinstance(screen, BladesScreen):
            screen.action_read_again()
            screen.select(key)
        screen.say(f"Kept: {name}. It is offered at the next check.")  # type: ignore[attr-defined]  # ours
