"""An engine in a form: page by page, checked as typed, read twice at the end, written as a clean sheet."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.sheet import Band, ValveKind
from benchtui.text.forms.engine_fields import BY_ID, DEFAULTS, FIELDS, PAGES
from benchtui.text.forms.engine_form import Examined, copied, examine, file_name
from benchtui.text.forms.sheet_out import answers_of
from benchtui.text.quantities.show import inert, seen
from benchtui.text.words.refusals import error_words
from benchtui.tui.form import FormScreen
from benchtui.tui.keys import FORM, bindings_for
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.form_lines import FormLine
from benchtui.tui.widgets.gap_bars import GapBars, GapBarsPicture, GapRow
from benchtui.tui.widgets.ruler import Figure

COPY = "copy"
COPY_HELP = (
    "Begin with another engine's answers. Of an example only its kind is taken, never a figure; of one "
    "of yours everything but the name."
)
TWICE = "Read it twice"
TWICE_HELP = (
    "Open the book again and read this figure a second time; Space where it is the same. Enter keeps "
    "the sheet; what is not ticked stays marked as read once."
)
FIGURES_READ = (
    *("inlet", "exhaust", "metal_below", "metal_above", "stood", "ratio", "thread"),
    *(
        "inlet_opens",
        "inlet_closes",
        "exhaust_opens",
        "exhaust_closes",
        "locknut",
        "cover",
        "every",
    ),
)
"""What is read a second time: every figure that a screw is turned by, and the torques."""

_SAME, _ONCE = "same", "once"
_TICK = ((_ONCE, "[ ] read once"), (_SAME, "[√] the same"))


class EngineFormScreen(FormScreen):
    """Adds an engine, or changes one's own sheet. ``key`` is the engine to change, None for a new one."""

    SCREEN = FORM
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(FORM)

    def __init__(self, key: str | None = None, copy_of: str = "") -> None:
        super().__init__()
        self._key = key
        self._copy_of = copy_of
        self._page = 0
        self._warned = False
        self._base: str | None = None
        self._answers: dict[str, str] = dict(DEFAULTS)
        self._ticked: set[str] = set()
        self._copied = ""
        self._done: Examined | None = None

    def body(self) -> ComposeResult:
        """Every line of every page; only those of the page in hand show."""
        workshop = self.program.workshop
        self._fill()
        choices = [("", "nothing: an empty form")]
        choices += [(f"own:{key}", f"yours: {name}") for key, name in workshop.titles()]
        choices += [
            (f"example:{e.key}", f"example: {e.sheet.name}")
            for e in workshop.engines.examples()
            if e.sheet is not None
        ]
        lines = [FormLine(COPY, "Copy from", self._copied, "", tuple(choices))]
        lines += [
            FormLine(f.id, f.label, self._answers.get(f.id, ""), "", f.choices, must=f.must)
            for f in FIELDS
        ]
        lines += [
            FormLine(f"again-{id_}", BY_ID[id_].label, _ONCE, "", _TICK) for id_ in FIGURES_READ
        ]
        yield from self.form(lines)
        yield Static("── what you have told so far ".ljust(200, "─"), id="told-rule", markup=False)
        yield GapBarsPicture(id="told-bars")
        yield Static(id="form-other", markup=False, classes="out")

    def _fill(self) -> None:
        """What is known before the first key: the sheet to change, a copy, or what was typed before."""
        workshop = self.program.workshop
        if self._key is not None:
            self._base = workshop.engines.text_of_sheet(self._key)
            self._answers |= answers_of(self._base)
            return
        self._answers |= self.program.drafts.get(FORM, {})
        if self._copy_of:
            self._copied = self._copy_of
            self._answers |= self._copy(self._copy_of)

    def _copy(self, choice: str) -> dict[str, str]:
        whose, _, key = choice.partition(":")
        workshop = self.program.workshop
        own = whose == "own"
        text = workshop.engines.text_of_sheet(key) if own else workshop.engines.text_of_example(key)
        return copied(text, own=own)

    def title_text(self) -> str:
        """Which page, and how many of the lines that must be there are."""
        page = self._page_name()
        what = "Add an engine" if self._key is None else inert(self._key)
        musts = ""
        if self._done is not None:
            there, of = self._done.musts
            musts = f"   {there} of {of} musts are there"
        return f"{what}: {page}, page {self._page + 1} of {len(PAGES) + 1}{musts}"

    def caution_text(self) -> str:
        """A figure copied wrongly is set wrongly."""
        return "Copy the figures from the manual's page itself; read them twice."

    def on_mount(self) -> None:
        """Begin at the first line."""
        super().on_mount()
        self.examined()
        self._turn_to(0)

    def _page_name(self) -> str:
        return PAGES[self._page] if self._page < len(PAGES) else TWICE

    def explanation(self, name: str) -> str:
        """What a line is for, with an example."""
        if name == COPY:
            return COPY_HELP
        return TWICE_HELP if name.startswith("again-") else BY_ID[name].help

    def examined(self) -> None:
        """What the answers come to, beside each line and below."""
        copy = self.line(COPY).value
        if copy != self._copied:
            self._copied = copy
            self._take(self._copy(copy) if copy else {})
        self._answers = {f.id: self.line(f.id).value for f in FIELDS}
        own = {key for key, _ in self.program.workshop.titles()}
        self._done = examine(
            self._answers, own if self._key is None else (), self._base, checked=self._read_twice()
        )
        asked = {f.id for f in self._done.fields}
        for field in FIELDS:
            line = self.line(field.id)
            line.display = field.page == self._page_name() and field.id in asked
            remark = self._done.remarks.get(field.id)
            if remark is None:
                line.remark("")
            else:
                line.remark(remark.words, good=remark.good)
        self.line(COPY).display = self._page == 0 and self._key is None
        for id_ in FIGURES_READ:
            line = self.line(f"again-{id_}")
            said = self._answers[id_].strip()
            line.display = self._page == len(PAGES) and id_ in asked and bool(said)
            line.remark(said)
        if self._key is None:
            self.program.drafts[FORM] = dict(self._answers)
        self._show_told()
        self.refresh_view()

    def _take(self, answers: dict[str, str]) -> None:
        for field in FIELDS:
            if field.id in answers and field.id != "name":
                widget = self.line(field.id).line
                if field.choices:
                    widget.take(answers[field.id])  # type: ignore[union-attr]  # a choice
                else:
                    widget.value = answers[field.id]  # type: ignore[misc]  # a typed line

    def _read_twice(self) -> bool:
        told = [id_ for id_ in FIGURES_READ if self._answers.get(id_, "").strip()]
        return bool(told) and all(self.line(f"again-{id_}").value == _SAME for id_ in told)

    def _show_told(self) -> None:
        done = self._done
        bars = self.query_one("#told-bars", GapBarsPicture)
        rows: list[GapRow] = []
        if done is not None:
            for id_, kind in (("inlet", ValveKind.INLET), ("exhaust", ValveKind.EXHAUST)):
                band = done.bands.get(kind)
                if band is not None:
                    said = inert(done.remarks[id_].words) if id_ in done.remarks else ""
                    rows.append(GapRow(kind.value, None, _figures(band), said, Role.PLAIN))
        bars.show(GapBars(tuple(rows)))
        other = () if done is None or done.musts[0] < done.musts[1] else done.other
        self.query_one("#form-other", Static).update(inert("\n".join(other), lines=True))

    def action_go_on(self) -> None:
        """The next line; from the last the next page; on the last page keep the sheet."""
        lines = self.lines()
        current = self.current()
        if self._page == len(PAGES):
            self._keep_if_read()
        elif current is not None and self._not_chosen(current):
            self.say("← or → chooses one: the sheet cannot be kept without.", alarm=True)
        elif current is not None and current is not lines[-1]:
            self._step(1)
        else:
            self._turn_to(self._page + 1)

    def _not_chosen(self, line: FormLine) -> bool:
        field = BY_ID.get(line.asked)
        return field is not None and field.must and bool(field.choices) and not line.value

    def _keep_if_read(self) -> None:
        """A figure that was read once is asked about once."""
        whole = self._done is not None and self._done.sheet is not None
        if not whole or self._read_twice() or self._warned:
            self._keep()
            return
        self._warned = True
        self.say(
            "Space where it reads the same in the book. Enter again keeps it read once.", alarm=True
        )

    def action_next_page(self) -> None:
        """The next page."""
        self._turn_to(min(len(PAGES), self._page + 1))

    def action_page_before(self) -> None:
        """The page before."""
        self._turn_to(max(0, self._page - 1))

    def _turn_to(self, page: int, name: str = "") -> None:
        self._page = page
        self.examined()
        lines = self.lines()
        if name:
            self.go_to(name)
        elif lines:
            first = next((ln for ln in lines if ln.asked != COPY), lines[0])
            self.go_to(first.asked)
        self.explain()
        self.say("")

    def action_tick(self) -> None:
        """Read a second time, and the same."""
        current = self.current()
        if current is not None and current.asked.startswith("again-"):
            current.line.take(_SAME)  # type: ignore[union-attr]  # these are choices
            self.examined()
            self._step(1)

    def _keep(self) -> None:
        done = self._done
        if done is None:
            return
        bad = next((i for i, r in done.remarks.items() if not r.good), None)
        if bad is None and done.musts[0] < done.musts[1]:
            must = (f.id for f in done.fields if f.must)
            bad = next(i for i in must if not self._answers.get(i, "").strip())
        if bad is not None:
            self._turn_to(PAGES.index(BY_ID[bad].page), bad)
            self.say("This line is wanted before the sheet can be kept.", alarm=True)
            return
        if done.sheet is None:
            self.say("\n".join(done.other), alarm=True)
            return
        workshop = self.program.workshop
        key = self._key or file_name(self._answers["name"])
        try:
            workshop.engines.keep_sheet(key, done.text, new=self._key is None)
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        self.program.drafts.pop(FORM, None)
        self._kept(key, done.sheet.name)

    def _kept(self, key: str, name: str) -> None:
        from benchtui.tui.screens.home import HomeScreen

        twice = self._read_twice()
        self.app.pop_screen()
        screen = self.app.screen
        told = f"Kept: {name}. " + (
            "Read twice."
            if twice
            else "Read once only: E, then Space, once you have read it again."
        )
        if isinstance(screen, HomeScreen):
            screen.choose(key, f"{told} Enter: its first check; T: the tour.")
        elif hasattr(screen, "say"):
            screen.say(told)


def _figures(band: Band) -> tuple[Figure, Figure]:
    return Figure(band.low, seen(band.low)), Figure(band.high, seen(band.high))
