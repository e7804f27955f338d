"""Wear: each valve over distance or hours, with the forecast and what it may mean."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.history.valve_trend import Finding, Findings
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities.show import inert
from benchtui.text.words.history_words import finding_lines, place_words
from benchtui.text.words.refusals import error_words
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import WEAR, bindings_for
from benchtui.tui.present_history import sibling_bars, trend_picture
from benchtui.tui.widgets.drift_bars import DriftBarsPicture
from benchtui.tui.widgets.trend import TrendPicture

NOTHING = (
    "Nothing to lay over distance yet: no complete check on record has read the odometer or the "
    "hour meter. Enter one of them when you start the next check."
)


class WearScreen(WorkScreen):
    """One valve at a time, or all of its kind together."""

    SCREEN = WEAR
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(WEAR)

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet
        self._found: Findings | None = None
        self._at = 0
        self._together = False

    def body(self) -> ComposeResult:
        """The plot or the bars, and the sentences below."""
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
        except BenchError as error:
            self.app.call_from_thread(self.say, error_words(error), alarm=True)
            return
        self.app.call_from_thread(self._take, found)

    def _take(self, found: Findings) -> None:
        if not self.is_mounted:
            return
        self._found = found
        self._at = min(self._at, max(0, len(found.valves) - 1))
        self.refresh_view()

    @property
    def _finding(self) -> Finding | None:
        found = self._found
        return found.valves[self._at] if found is not None and found.valves else None

    def title_text(self) -> str:
        """Engine, valve, and how far the counter has come."""
        found, finding = self._found, self._finding
        if found is None:
            return f"{self._sheet.name}: reading..."
        if finding is None or found.meter is None:
            return self._sheet.name
        valve = finding.course.valve
        shown = f"{finding.kind.value} valves" if self._together else f"valve {valve}"
        now = place_words(found.meter, found.points[-1].read)
        return f"{self._sheet.name}, {shown} ({self._at + 1} of {len(found.valves)}), at {now}"

    def refresh_view(self) -> None:
        """Show the valve, or its kind."""
        super().refresh_view()
        plot = self.query_one("#plot", TrendPicture)
        kind = self.query_one("#kind", DriftBarsPicture)
        said = self.query_one("#said", Static)
        found, finding = self._found, self._finding
        plot.display = finding is not None and not self._together
        kind.display = finding is not None and self._together
        if found is None:
            said.update("")
        elif finding is None or found.meter is None:
            said.update(NOTHING)
        elif self._together:
            kind.show(sibling_bars(found, finding))
            said.update("\n".join(_apart_lines(found, finding)))
        else:
            plot.show(trend_picture(found, finding))
            lines = [*finding_lines(finding, found.meter), *_apart_lines(found, finding)]
            said.update("\n".join(inert(line) for line in lines))

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


def _apart_lines(found: Findings, finding: Finding) -> list[str]:
    """Which valves of this kind are proved to drift otherwise than the rest."""
    names = [f.course.valve for f in found.siblings(finding) if f.course.valve in found.apart]
    if not names:
        return []
    drifts = "drifts" if len(names) == 1 else "drift"
    return [
        inert(f"{' and '.join(names)} {drifts} otherwise than the others of its kind: look why.")
    ]
