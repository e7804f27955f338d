"""The crank: where to turn it, and the two pieces of evidence that it is there."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.cautions import Step, cautions
from benchtui.domain.crank.dial import dial
from benchtui.domain.crank.plan import Plan, Stop, plan
from benchtui.domain.crank.words import look_words, stop_words, to_compression
from benchtui.domain.session.commands import ConfirmPosition, DoubtPosition
from benchtui.domain.session.events import Evidence
from benchtui.domain.session.look import look
from benchtui.domain.session.state import State
from benchtui.text.say import degrees
from benchtui.text.show import inert
from benchtui.tui.frame import WorkScreen, plain
from benchtui.tui.keys import CRANK, bindings_for
from benchtui.tui.present import crank_dial, valve_map
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.crank_dial import CrankDialPicture
from benchtui.tui.widgets.valve_map import ValveMapPicture

_ORDER = (Evidence.MARK, Evidence.SLACK, Evidence.INLET, Evidence.STILL)


class CrankScreen(WorkScreen):
    """Puts the next cylinder on its stroke and makes sure that it is not one turn out."""

    SCREEN = CRANK
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(CRANK)

    def __init__(self, doubted: str = "") -> None:
        super().__init__()
        self._seen: set[Evidence] = set()
        self._ahead = 0
        self._doubted = doubted

    def body(self) -> ComposeResult:
        """The place in tall letters, the evidence, the way there; beside them dial and head."""
        with Horizontal():
            with Vertical(id="crank-words"):
                yield BigText(id="stop")
                yield Static(id="evidence", markup=False)
                with VerticalScroll(can_focus=False):
                    yield Static(id="doubt", markup=False, classes="caution")
                    yield Static(id="where", markup=False)
            with Vertical(id="crank-pictures"):
                yield CrankDialPicture(id="dial")
                yield ValveMapPicture(id="map")

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def title_text(self) -> str:
        """The engine."""
        return self.state.opened.sheet.name

    def caution_text(self) -> str:
        """By hand, forward only."""
        return cautions(Step.CRANK, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Where to turn it and what has been seen."""
        super().refresh_view()
        stop = self._stop()
        sheet = self.state.opened.sheet
        place = "TDC" if stop.angle == 0 else f"+{degrees(stop.angle)}"
        self.query_one("#stop", BigText).show(Big(f"CYL {inert(stop.cylinder)} {place}"))
        words = [
            stop_words(stop),
            f"Measure here: {', '.join(stop.valves)}, by {stop.authority.value}.",
        ]
        if not self._doubted and stop.angle == 0:
            words.append(to_compression(sheet, stop.cylinder))
        self.query_one("#where", Static).update(plain("\n".join(words), lines=True))
        self.query_one("#evidence", Static).update(self._evidence())
        self.query_one("#doubt", Static).update(plain(self._doubt_words(), lines=True))
        self.query_one("#dial", CrankDialPicture).show(
            crank_dial(dial(sheet, stop.crank_angle), sheet)
        )
        views = {name: look(self.state, name) for name in self.state.valves}
        shown = valve_map(self.state, views, stop.valves[0], flipped=self.program.flipped)
        self.query_one("#map", ValveMapPicture).show(shown)

    def _plan(self) -> Plan:
        return plan(self.state.opened.sheet, fewest=self.state.opened.fewest)

    def _stop(self) -> Stop:
        """The stop asked for: the first that still has work, or the one chosen after it."""
        stops = self._plan().stops
        wanting = [
            i for i, s in enumerate(stops) if not all(look(self.state, v).done for v in s.valves)
        ]
        start = wanting[0] if wanting else 0
        return stops[(start + self._ahead) % len(stops)]

    def _evidence(self) -> Content:
        line = Content("Seen (two are wanted):\n")
        for number, evidence in enumerate(_ORDER, start=1):
            seen = evidence in self._seen
            box = "[X]" if seen else "[ ]"
            style = "bold" if seen else ""
            line += Content.assemble(
                (f" {number} ", "reverse"), (f" {box} {evidence.meaning}\n", style)
            )
        line += Content.styled("Enter: measure here." if len(self._seen) > 1 else " ", "bold")
        return line

    def _doubt_words(self) -> str:
        if not self._doubted:
            return ""
        sheet = self.state.opened.sheet
        return f"{look_words(sheet, self._doubted)}\n{to_compression(sheet, self._doubted)}"

    def _toggle(self, evidence: Evidence) -> None:
        self._seen ^= {evidence}
        self.refresh_view()

    def action_mark_seen(self) -> None:
        """The mark lines up."""
        self._toggle(Evidence.MARK)

    def action_both_slack(self) -> None:
        """Both rockers are slack."""
        self._toggle(Evidence.SLACK)

    def action_inlet_seen(self) -> None:
        """The inlet opened and closed before the mark."""
        self._toggle(Evidence.INLET)

    def action_still_seen(self) -> None:
        """Both valves stay still while the crank is rocked."""
        self._toggle(Evidence.STILL)

    def action_doubt(self) -> None:
        """Something does not fit: what was read here no longer counts."""
        stop = self._stop()
        if self.state.place is not None:
            self.do(DoubtPosition(self.state.place.confirmed.cylinder))
        self._seen.clear()
        self._doubted = stop.cylinder
        self.refresh_view()
        self.say("No screw is touched until the position is sure.", alarm=True)

    def action_turned_on(self) -> None:
        """On to the next stop of the plan."""
        self._ahead += 1
        self._seen.clear()
        self._doubted = ""
        self.refresh_view()

    def action_confirm(self) -> None:
        """Confirm the position and measure."""
        stop = self._stop()
        seen = tuple(e for e in _ORDER if e in self._seen)
        if self.do(ConfirmPosition(stop.cylinder, seen, stop.angle)):
            self.app.pop_screen()

    def action_flip_map(self) -> None:
        """Look at the head from the other side."""
        self.program.flipped = not self.program.flipped
        self.refresh_view()
