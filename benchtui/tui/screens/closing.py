"""Closing up in the order of the work; what will be filed is drawn; Enter files it.

Long, because each line of the list has its own way of being done.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable, Static

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.history.usage import Meter
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.facts.commands import CheckSpot, CloseSession
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    CautionAcknowledged,
    ItemCounted,
    Particulars,
    ParticularsEntered,
    TorqueDone,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import LockIt
from benchtui.domain.session.whole.completeness import (
    missing,
    spot_asked,
    unticked,
    untold,
    work_left,
)
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.session.whole.spot_check import Spot, riskiest
from benchtui.text.pages.before_page import read_distance, read_hours
from benchtui.text.pages.closing_page import (
    AFTER,
    COUNT,
    ITEM,
    METER,
    SPOT,
    TORQUE,
    WORK,
    ClosingLine,
    Counters,
    closing_lines,
    complete_words,
    line_of_step,
)
from benchtui.text.quantities.show import inert
from benchtui.text.reading.counts import read_counts
from benchtui.text.words.doubt_words import doubt_words, last_words
from benchtui.text.words.foot import closing_foot
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.stamped import blade_both, inch_set, printed
from benchtui.text.words.told import told_of
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.keys import CLOSING, CRANK, TORQUES, bindings_for
from benchtui.tui.present_home import last_check
from benchtui.tui.screens.counting import counted_in
from benchtui.tui.screens.setting import open_shims, unoffered_for
from benchtui.tui.tables import TableScreen, cell
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.last_check import LastCheckPicture

_ANSWERS = {"s": Answer.REFUSES, "d": Answer.DRAG, "f": Answer.FREE}
_MOST_NAMED = 14
"""Lines of what is missing, so that the answers stay on a low screen."""

_MARKS = {True: "√", False: "□", None: ""}
_RULE = "── so it will be filed "


class ClosingScreen(TableScreen):
    """Everything that has to be right before the cover goes on and the session is filed."""

    SCREEN = CLOSING
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(CLOSING)

    def __init__(self) -> None:
        super().__init__()
        self._counters: Counters = ()
        self._trying = False

    def body(self) -> ComposeResult:
        """The lines of the work, what will be filed, and what Space and Enter do."""
        table: DataTable[object] = DataTable(cursor_type="row", id="closing", show_header=False)
        table.add_column("", key="done", width=1)
        table.add_column("What", key="what", width=42)
        table.add_column("How", key="how", width=31)
        yield table
        yield Static(id="closing-rule", markup=False)
        yield LastCheckPicture(id="closing-gaps")
        yield FootPicture(id="foot")
        yield Static(id="closing-files", markup=False, classes="strong")

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def unoffered(self) -> frozenset[str]:
        """Shims only where they set the engine."""
        return unoffered_for(self.state.opened.sheet.adjuster)

    def title_text(self) -> str:
        """How many lines are left; of a slack nut that, before all else."""
        now = told_of(self.state)
        if isinstance(now.step, LockIt):
            return now.sentence
        left = sum(line.done is False for line in self._lines())
        told = f"{left} line{'' if left == 1 else 's'} to do" if left else "all done"
        return f"{self.state.opened.sheet.name}  {told}"

    def caution_text(self) -> str:
        """Count out; small threads."""
        return cautions(CautionAt.CLOSE, self.state.opened.sheet)[0]

    def on_mount(self) -> None:
        """Begin at what is to be done now."""
        self._counters = tuple(self._known_counters())
        super().on_mount()
        self._to_next()

    def on_screen_resume(self) -> None:
        """Back from the crank, the valve to be tried once more is asked for at once."""
        super().on_screen_resume()
        trying, self._trying = self._trying, False
        if trying and self.program.live is not None:
            spot, place = riskiest(self.state), self.state.place
            if spot is not None and place is not None and spot.valve in place.confirmed.valves:
                self._ask_spot(spot)

    def _known_counters(self) -> list[tuple[Meter, str]]:
        sheet, told = self.state.opened.sheet, self.state.particulars
        if self.state.opened.practice:
            return []
        read = {Meter.HOURS: told.hours, Meter.KM: told.odometer_km}
        found = []
        for meter in (Meter.HOURS, Meter.KM):
            reviews, session = self.program.workshop.reviews, self.state.opened.session
            last = reviews.last_reading(sheet, meter, without=session)
            if last is not None or read[meter] is not None:
                found.append((meter, last_words(last, meter)))
        return found

    def _lines(self) -> tuple[ClosingLine, ...]:
        return closing_lines(self.state, self._counters)

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        table = self.table()
        row = table.cursor_row
        table.clear()
        for at, line in enumerate(self._lines()):
            key = line.key or f"heading:{at}"
            table.add_row(
                *map(cell, (_MARKS[line.done], line.what, line.how)), key=key, height=None
            )
        table.move_cursor(row=row)
        record = record_of(self.state)
        self.query_one("#closing-rule", Static).update(_RULE.ljust(self.size.width, "─"))
        self.query_one("#closing-gaps", LastCheckPicture).show(last_check(record))
        lacking = missing(self.state)
        foot = closing_foot(told_of(self.state).step, in_part=bool(lacking))
        self.query_one("#foot", FootPicture).show(foot)
        files = (
            f"□ files in part, no check: {'; '.join(lacking)}"
            if lacking
            else complete_words(self.state)
        )
        self.query_one("#closing-files", Static).update(inert(files))

    def _to_next(self) -> None:
        """Put the cursor on the line of what is to be done now; past the last one it stays."""
        key = line_of_step(told_of(self.state).step)
        if key:
            self.select(key)
        if (self.selected() or "").startswith("heading"):
            self.action_row_after()

    def action_row_before(self) -> None:
        """One row up, over the headings."""
        super().action_row_before()
        if (self.selected() or "").startswith("heading") and self.table().cursor_row > 0:
            super().action_row_before()

    def action_row_after(self) -> None:
        """One row down, over the headings."""
        super().action_row_after()
        if (self.selected() or "").startswith("heading"):
            super().action_row_after()

    def action_tick(self) -> None:
        """This line is done: on to the next; or it is to be done now."""
        kind, _, name = (self.selected() or "").partition(":")
        done = False
        if kind == TORQUE:
            done = self.do(TorqueDone(name))
        elif kind == WORK:
            done = self.do(CautionAcknowledged(name))
        elif kind == COUNT:
            self._count_in()
        elif kind == ITEM and name in self.state.short:
            done = self.do(ItemCounted(name, self.state.short[name], inwards=False))
        elif kind == METER:
            self._ask_counter(Meter(name))
        elif kind == AFTER:
            done = self.do(AfterStepDone(AfterStep(name)))
        elif kind == SPOT:
            self._spot_check()
        elif kind == "valve":
            self.say("That is done at the bench: Esc goes there.")
        if done:
            self._go_on()

    def _go_on(self) -> None:
        """To the next line that is to do below this one; else to what comes first."""
        table = self.table()
        left = {line.key for line in self._lines() if line.done is False}
        below = [row.key.value for row in table.ordered_rows[table.cursor_row + 1 :]]
        following = next((key for key in below if key in left), None)
        if following is not None:
            self.select(following)
        else:
            self._to_next()

    def _ask_counter(self, meter: Meter) -> None:
        reads = read_hours if meter is Meter.HOURS else read_distance
        sheet = self.state.opened.sheet

        def told(text: str) -> Particulars:
            value = reads(text)
            return (
                Particulars(hours=value) if meter is Meter.HOURS else Particulars(odometer_km=value)
            )

        def doubt(text: str) -> str:
            return " ".join(
                map(doubt_words, self.program.workshop.reviews.doubts(sheet, told(text)))
            )

        def typed(text: str | None) -> None:
            if text and self.do(ParticularsEntered(told(text))):
                self._go_on()

        counter = "hour meter" if meter is Meter.HOURS else "odometer"
        question = f"What does the {counter} show now?"
        hint = "310" if meter is Meter.HOURS else "12400"
        self.app.push_screen(Ask(question, hint=hint, check=told, doubt=doubt), typed)

    def _spot_check(self) -> None:
        """The riskiest valve once more, by way of the crank where that must turn."""
        state = self.state
        spot = riskiest(state)
        if spot is None:
            return
        if AfterStep.TURNED_OVER not in state.after:
            self.say(refusal_words(Refusal(Why.NOT_TURNED_OVER)), alarm=True)
        elif state.place is None or spot.valve not in state.place.confirmed.valves:
            self._trying = True
            self.program.open(CRANK, spot.valve)
        else:
            self._ask_spot(spot)

    def _ask_spot(self, spot: Spot) -> None:
        def answered(key: str | None) -> None:
            if key is None or not self.do(CheckSpot(spot.valve, spot.feeler, _ANSWERS[key])):
                return
            if self.state.valves[spot.valve].spot:
                self._go_on()
                self.say(f"{spot.valve} is as it was left.")
            else:
                self.say(
                    f"{spot.valve} is not as it was left: back to the bench, measure it afresh.",
                    alarm=True,
                )

        answers = {key: answer.value for key, answer in _ANSWERS.items()}
        inch = inch_set(self.state.opened.blades)
        blade, why = blade_both(spot.feeler, inch=inch), printed(spot.why, inch=inch)
        question = f"Valve {spot.valve}, blade {blade}: what does it do?"
        self.app.push_screen(Choose(question, answers, why, keys=("sj", "dk", "fl")), answered)

    def on_data_table_row_selected(self) -> None:
        """Enter files the session; the table would take the key otherwise."""
        self.action_file()

    def _count_in(self) -> None:
        def typed(text: str | None) -> None:
            for count, item in () if text is None else read_counts(text):
                self.do(ItemCounted(item, count, inwards=True))

        self.app.push_screen(counted_in(), typed)

    def action_count_up(self) -> None:
        """One more came out."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == ITEM:
            self.do(ItemCounted(name, 1, inwards=False))

    def action_count_down(self) -> None:
        """One more went in after all."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == ITEM:
            self.do(ItemCounted(name, 1, inwards=True))

    def action_open_shims(self) -> None:
        """Every shim of this engine."""
        open_shims(self)

    def action_open_torques(self) -> None:
        """The torques in every unit."""
        self.program.open(TORQUES)

    def action_file(self) -> None:
        """File the session, complete or in part."""
        lacking = missing(self.state)
        left = unticked(self.state)
        steps = self._undone()
        if not lacking and not left and not steps:
            self._file()
            return
        what = [*lacking, *(f"not yet torqued: {t}" for t in left), *steps]
        question = (
            "File it as partial? It does not count as a check."
            if lacking
            else "File it all the same?"
        )
        if len(what) > _MOST_NAMED:
            what = [*what[: _MOST_NAMED - 1], f"and {len(what) - _MOST_NAMED + 1} more"]
        self.app.push_screen(
            Choose(question, {"file": "file it", "back": "back to the bench"}, "\n".join(what)),
            self._chosen,
        )

    def _undone(self) -> list[str]:
        """The steps after the setting that were not told; they do not keep a check from counting."""
        state = self.state
        left = [f"not ticked: {line}" for line in work_left(state)]
        left += [f"not told: {s.meaning}" for s in untold(state)]
        return ["no spot-check", *left] if spot_asked(state) else left

    def _chosen(self, key: str | None) -> None:
        if key == "file":
            self._file()
        elif key == "back":
            self.app.pop_screen()

    def _file(self) -> None:
        if self.do(CloseSession()):
            self.program.filed()
