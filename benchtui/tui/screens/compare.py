"""Two sessions of one engine side by side, on one scale."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from benchtui.domain.errors import BenchError
from benchtui.domain.history.compare import beside
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.text.quantities.show import inert
from benchtui.text.words.refusals import error_words
from benchtui.tui.frame import RolledScreen
from benchtui.tui.keys import COMPARE, bindings_for
from benchtui.tui.present_history import circumstances, pair_bars, unit_for
from benchtui.tui.widgets.gap_bars import GapBarsPicture


class CompareScreen(RolledScreen):
    """The later session on the right, an earlier one on the left; left and right change that one.

    ``earlier`` are the ids of all earlier sessions, the latest first.
    """

    SCREEN = COMPARE
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(COMPARE)

    def __init__(self, earlier: tuple[str, ...], later: str) -> None:
        super().__init__()
        self._earlier, self._later_id = earlier, later
        self._at = 0
        self._later: SessionRecord | None = None

    def body(self) -> ComposeResult:
        """Two halves that scroll together."""
        with VerticalScroll(id="page", can_focus=False), Horizontal(id="halves"):
            for side in ("earlier", "later"):
                with Vertical(classes="half"):
                    yield Static(id=f"{side}-told", markup=False, classes="strong told")
                    yield GapBarsPicture(id=side)

    def title_text(self) -> str:
        """The engine, and which of how many is on the left."""
        name = "" if self._later is None else self._later.engine_name
        return f"{name}   earlier one {self._at + 1} of {len(self._earlier)}"

    def refresh_view(self) -> None:
        """Read both files and lay them side by side."""
        workshop = self.program.workshop
        try:
            self._later = workshop.past_sessions.past(self._later_id).record
            before = workshop.past_sessions.past(self._earlier[self._at]).record
        except BenchError as error:
            self.say(error_words(error), alarm=True)
            return
        super().refresh_view()
        pictures = pair_bars(beside(before, self._later), unit_for(self._later))
        for side, record, bars in zip(
            ("earlier", "later"), (before, self._later), pictures, strict=True
        ):
            self.query_one(f"#{side}-told", Static).update(inert(circumstances(record, short=True)))
            self.query_one(f"#{side}", GapBarsPicture).show(bars)

    def _go(self, index: int) -> None:
        if 0 <= index < len(self._earlier):
            self._at = index
            self.refresh_view()
        else:
            self.say("There is no other one that way.")

    def action_pair_before(self) -> None:
        """An earlier session on the left."""
        self._go(self._at + 1)

    def action_pair_after(self) -> None:
        """A later session on the left."""
        self._go(self._at - 1)
