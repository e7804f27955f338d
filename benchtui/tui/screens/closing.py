"""Closing up: turned over, spot-checked, torques, tally, first run; then filing the session."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import DataTable

from benchtui.domain.cautions import Step, cautions
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.facts.commands import CloseSession, SpotCheck
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    CautionAcknowledged,
    ItemCounted,
    TorqueDone,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import LockIt
from benchtui.domain.session.whole.completeness import missing, unticked, work_left
from benchtui.domain.session.whole.spot_check import Spot, riskiest
from benchtui.domain.work_steps import work_lines
from benchtui.text.reading.counts import read_counts
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.stamped import inch_set, printed
from benchtui.text.words.told import told_of
from benchtui.text.words.torque_words import torque_told
from benchtui.tui.ask import Choose
from benchtui.tui.keys import CLOSING, CRANK, TORQUES, bindings_for
from benchtui.tui.screens.counting import counted_in
from benchtui.tui.screens.setting import open_shims, unoffered_for
from benchtui.tui.tables import TableScreen, cell

_TORQUE, _ITEM, _AFTER, _SPOT, _WORK = "torque", "item", "after", "spot", "work"
_ANSWERS = {"s": Answer.REFUSES, "d": Answer.DRAG, "f": Answer.FREE}
_MOST_NAMED = 14
"""Lines of what is missing, so that the answers stay on a low screen."""

_AFTER_HOW = {
    AfterStep.TURNED_OVER: "by hand, forward only",
    AfterStep.FIRST_RUN: "cover on, tally out",
    AfterStep.NO_LEAKS: "covers, fuel, oil",
}


class ClosingScreen(TableScreen):
    """Everything that has to be right before the cover goes on and the session is filed."""

    SCREEN = CLOSING
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(CLOSING)

    def body(self) -> ComposeResult:
        """One list of all of it."""
        table: DataTable[object] = DataTable(cursor_type="row", id="closing")
        table.add_column("", key="done", width=7)
        table.add_column("What", key="what", width=41)
        table.add_column("How", key="how", width=23)
        yield table

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def unoffered(self) -> frozenset[str]:
        """Shims only where they set the engine."""
        return unoffered_for(self.state.opened.sheet.adjuster)

    def title_text(self) -> str:
        """How much is missing."""
        lacking = len(missing(self.state))
        now = told_of(self.state)
        if isinstance(now.step, LockIt):
            return now.sentence
        standing = "nothing missing" if not lacking else f"{lacking} missing: files as partial"
        return f"{self.state.opened.sheet.name}  {standing}"

    def caution_text(self) -> str:
        """Count out; small threads."""
        return cautions(Step.CLOSE, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Fill the list anew, the cursor where it was."""
        if self.program.live is None:
            return
        super().refresh_view()
        table = self.table()
        row = table.cursor_row
        table.clear()
        for key, *cells in self._rows():
            table.add_row(*(cell(c) for c in cells), key=key, height=None)
        table.move_cursor(row=row)

    def _rows(self) -> list[tuple[str, str, str, str]]:
        state = self.state
        rows = [("valve:", "ok", "every valve measured and in range", "")]
        lacking = missing(state)
        if lacking:
            rows = [(f"valve:{n}", "MISSING", what, "") for n, what in enumerate(lacking)]
        spots = [] if lacking else self._spot_rows()
        rows += [self._after_row(AfterStep.TURNED_OVER), *spots]
        left = unticked(state)
        for torque in state.opened.sheet.torques:
            ticked = "to do" if torque.what in left else "done"
            how = torque_told(torque)
            rows.append((f"{_TORQUE}:{torque.what}", ticked, torque.what, how))
        for line in work_lines(state.opened.sheet.work, before=False):
            rows.append(
                (f"{_WORK}:{line}", "done" if line in state.cautions else "to do", line, "")
            )
        for item, (went, came) in state.tally.items():
            out = "ok" if came >= went else "SHORT"
            rows.append((f"{_ITEM}:{item}", out, f"{item}: {went} in, {came} out", ""))
        rows.append(("count:", "+", "count something in: rags, tools, caps", "Space"))
        rows += [self._after_row(s) for s in (AfterStep.FIRST_RUN, AfterStep.NO_LEAKS)]
        return rows

    def _after_row(self, step: AfterStep) -> tuple[str, str, str, str]:
        done = "done" if step in self.state.after else "to do"
        return f"{_AFTER}:{step.value}", done, step.meaning, _AFTER_HOW[step]

    def _spot_rows(self) -> list[tuple[str, str, str, str]]:
        spot = riskiest(self.state)
        if spot is None:
            return []
        checked = [name for name, valve in self.state.valves.items() if valve.spot]
        if checked:
            fits = f"spot-check of {', '.join(checked)} fits what was left"
            return [(f"{_SPOT}:", "done", fits, "")]
        inch = inch_set(self.state.opened.blades)
        wanted, why = (printed(t, inch=inch) for t in (spot.wanted, spot.why))
        return [(f"{_SPOT}:", "to do", f"spot-check {spot.valve}: {wanted}", why)]

    def action_tick(self) -> None:
        """This line is done, or is to be done now."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == _TORQUE:
            self.do(TorqueDone(name))
        elif kind == _WORK:
            self.do(CautionAcknowledged(name))
        elif kind == "count":
            self._count_in()
        elif kind == _ITEM:
            self.action_count_up()
        elif kind == _AFTER:
            self.do(AfterStepDone(AfterStep(name)))
        elif kind == _SPOT:
            self._spot_check()

    def _spot_check(self) -> None:
        """The riskiest valve once more, by way of the crank where that must turn."""
        state = self.state
        spot = riskiest(state)
        if spot is None:
            return
        if AfterStep.TURNED_OVER not in state.after:
            self.say(refusal_words(Refusal(Why.NOT_TURNED_OVER)), alarm=True)
        elif state.place is None or spot.valve not in state.place.confirmed.valves:
            self.program.open(CRANK, spot.valve)
        else:
            self._ask_spot(spot)

    def _ask_spot(self, spot: Spot) -> None:
        def answered(key: str | None) -> None:
            if key is None or not self.do(SpotCheck(spot.valve, spot.feeler, _ANSWERS[key])):
                return
            if self.state.valves[spot.valve].spot:
                self.say(f"{spot.valve} is as it was left.")
            else:
                self.say(
                    f"{spot.valve} is not as it was left: back to the bench, measure it afresh.",
                    alarm=True,
                )

        answers = {key: answer.value for key, answer in _ANSWERS.items()}
        question = f"Valve {spot.valve}, blade {spot.feeler}: what does it do?"
        self.app.push_screen(Choose(question, answers, spot.why, keys=("sj", "dk", "fl")), answered)

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
        if kind == _ITEM:
            self.do(ItemCounted(name, 1, inwards=False))

    def action_count_down(self) -> None:
        """One more went in after all."""
        kind, _, name = (self.selected() or "").partition(":")
        if kind == _ITEM:
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
        left += [f"not told: {s.meaning}" for s in AfterStep if s not in state.after]
        checked = any(valve.spot for valve in state.valves.values())
        return left if checked else ["no spot-check", *left]

    def _chosen(self, key: str | None) -> None:
        if key == "file":
            self._file()
        elif key == "back":
            self.app.pop_screen()

    def _file(self) -> None:
        if self.do(CloseSession()):
            self.program.filed()
