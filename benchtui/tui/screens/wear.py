"""Wear: each valve over distance or hours, with the forecast and what it may mean."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.history.due import Due
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.valve_trend import Findings, ValveTrend
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities.show import inert
from benchtui.text.words.history_words import finding_lines, place_words, unread_words
from benchtui.text.words.refusals import error_words
from benchtui.tui.frame import WHERE_ONE_ONLY_READS, WorkScreen
from benchtui.tui.keys import WEAR, bindings_for
from benchtui.tui.present_history import course_words, sibling_bars, trend_picture
from benchtui.tui.widgets.drift_bars import DriftBarsPicture
from benchtui.tui.widgets.trend import TrendPicture

NOTHING = (
    "Nothing to lay over distance yet: no complete check on record has read the odometer or the "
    "hour meter. Enter one of them when you start the next check, or tell it to one that is filed: Past, "
    "Enter, Put right."
)

ONE_LOOK = "{}: it was measured at one reading of the counter; two make a course."

_MANY = 8
"""More valves than this have no room in a row or two: the one shown stands alone."""


class WearScreen(WorkScreen):
    """One valve at a time, or all of its kind together."""

    SCREEN = WEAR
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(WEAR)
    VERTICAL_BREAKPOINTS = WHERE_ONE_ONLY_READS

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet
        self._found: Findings | None = None
        self._due: Due | None = None
        self._at = 0
        self._together = False

    def body(self) -> ComposeResult:
        """Every valve in a word, the plot or the bars, and the sentences below."""
        yield Static(id="courses", markup=False)
        yield TrendPicture(id="plot")
        yield DriftBarsPicture(id="kind")
        yield Static(id="said", markup=False)

    def on_mount(self) -> None:
        """Show the frame, then read the records beside it."""
        super().on_mount()
        self.load()

    @work(thread=True, exclusive=True)
    def load(self) -> None:
        """Read every check of this engine."""
        try:
            found = self.program.workshop.reviews.findings(self._sheet)
            self._due = self.program.workshop.reviews.due(self._sheet)
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take, found)

    def _take(self, found: Findings) -> None:
        if not self.here:
            return
        self._found = found
        self._at = min(self._at, max(0, len(found.valves) - 1))
        self.refresh_view()

    @property
    def _finding(self) -> ValveTrend | None:
        found = self._found
        return found.valves[self._at] if found is not None and found.valves else None

    def title_text(self) -> str:
        """The engine, and how far the counter has come."""
        found = self._found
        if found is None:
            return f"{self._sheet.name}  reading..."
        if found.meter is None:
            return self._sheet.name
        return f"{self._sheet.name}  at {place_words(found.meter, found.points[-1].read)}"

    def refresh_view(self) -> None:
        """Show the valve, or its kind."""
        super().refresh_view()
        plot = self.query_one("#plot", TrendPicture)
        kind = self.query_one("#kind", DriftBarsPicture)
        said = self.query_one("#said", Static)
        found, finding = self._found, self._finding
        plot.display = kind.display = False
        if found is None:
            said.update("")
        elif finding is None or found.meter is None:
            said.update(NOTHING)
        else:
            self.query_one("#courses", Static).update(self._courses(found, finding))
            lines = _apart_lines(found, finding)
            if unread := unread_words(found.unread, found.meter):
                lines.append(unread)
            if self._together:
                kind.show(sibling_bars(found, finding))
                kind.display = True
            else:
                drawn = trend_picture(found, finding)
                plot.show(drawn)
                plot.display = drawn is not None
                sheet_at = self._sheet_at(found.meter)
                lines = [*finding_lines(finding, found.meter, sheet_at), *lines]
                if drawn is None:
                    lines = [ONE_LOOK.format(inert(finding.course.valve))]
            said.update("\n".join(inert(line) for line in lines))

    def _courses(self, found: Findings, finding: ValveTrend) -> Content:
        """Every valve's course, that of the one shown in reverse."""
        told = Content("  ").join(
            Content.styled(course_words(f), "reverse" if f is finding else "") for f in found.valves
        )
        return told if len(found.valves) <= _MANY else Content(course_words(finding))

    def _sheet_at(self, meter: Meter) -> Fraction | None:
        """The counter at which the sheet wants its next check."""
        if self._due is None:
            return None
        return self._due.at_hours if meter is Meter.HOURS else self._due.at_km

    def _go(self, by: int) -> None:
        found = self._found
        if found is not None and found.valves:
            self._at = (self._at + by) % len(found.valves)
            self.refresh_view()

    def action_valve_before(self) -> None:
        """The valve before."""
        self._go(-1)

    def action_valve_after(self) -> None:
        """The valve after."""
        self._go(1)

    def action_past(self) -> None:
        """Show the past sessions of this engine."""
        from benchtui.tui.screens.sessions import SessionsScreen

        self.app.push_screen(SessionsScreen(self._sheet.key))

    def action_siblings(self) -> None:
        """All of its kind together, or this valve alone again."""
        self._together = not self._together
        self.refresh_view()


def _apart_lines(found: Findings, finding: ValveTrend) -> list[str]:
    """Which valves of this kind are proved to drift otherwise than the rest."""
    names = [f.course.valve for f in found.siblings(finding) if f.course.valve in found.apart]
    if not names:
        return []
    drifts = "drifts" if len(names) == 1 else "drift"
    return [
        inert(f"{' and '.join(names)} {drifts} otherwise than the others of its kind: look why.")
    ]
