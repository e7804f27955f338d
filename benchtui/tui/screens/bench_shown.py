"""What the bench shows: the valve, the blade to try, the verdict, the ruler, the map."""

from __future__ import annotations

from textwrap import wrap

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.blades import Feeler
from benchtui.domain.cautions import Step, cautions
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.state import Place
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.next_blade import Advice, advise
from benchtui.text.quantities.show import degrees, inert
from benchtui.text.words.stamped import inch_set
from benchtui.tui.frame import plain
from benchtui.tui.keys import BENCH
from benchtui.tui.present import big_verdict, readings_lines, ruler, valve_map
from benchtui.tui.present_bench import (
    InHand,
    big_name,
    blind_do,
    do_and_why,
    feeler_in_hand,
    within,
)
from benchtui.tui.screens.bench_sure import SureSteps
from benchtui.tui.widgets.bigtext import Big, BigPair, BigText, Pair
from benchtui.tui.widgets.ruler import RulerPicture
from benchtui.tui.widgets.valve_map import ValveMapPicture

_WHY_ROWS = 4
"""As the styles have it for ``#why``."""


class ShownBench(SureSteps):
    """The heart of the program, to be read from 1.5 m; its keys are in ``bench``."""

    SCREEN = BENCH
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012  # the library's
    VERTICAL_BREAKPOINTS = [(0, "-low"), (38, "-high")]  # noqa: RUF012  # the library's

    def __init__(self) -> None:
        super().__init__()
        self._valve = ""
        self._chosen: Feeler | None = None
        self._typed = ""
        self._place: Place | None = None
        self._advice: Advice = None
        self._said = ("", "")

    def body(self) -> ComposeResult:
        """Valve and blade in tall figures, the verdict, the ruler, the map."""
        with Horizontal(id="bench-top"):
            with Vertical(id="bench-big"):
                yield BigPair(id="valve-and-blade")
                yield BigText(id="verdict")
            with Vertical(id="bench-side"):
                yield ValveMapPicture(id="map")
                yield Static(id="readings", markup=False)
        yield Static(id="why", markup=False)
        yield RulerPicture(id="ruler")
        with Horizontal(id="answers"):
            if self.program.live is not None and self.program.live.read_only:
                yield Static("READ ONLY: the answers are given in the other program", markup=False)
                return
            yield Static(" S  REFUSES ", id="answer-refuses", markup=False)
            yield Static(" D  DRAG ", id="answer-drag", markup=False)
            yield Static(" F  FREE ", id="answer-free", markup=False)

    def title_text(self) -> str:
        """Engine, where the crank stands, the metal."""
        state = self.state
        parts = ["7 tries it"] if state.opened.practice else []
        parts.append(state.opened.sheet.name)
        if state.place is not None:
            place = state.place.confirmed
            after = f" +{degrees(place.angle)}" if place.angle else ""
            parts.append(f"cylinder {place.cylinder} TDC{after} confirmed")
        else:
            parts.append("crank position not confirmed")
        if state.particulars.metal_c is not None:
            parts.append(f"metal {float(round(state.particulars.metal_c, 1)):g} C")
        return "  ".join(parts)

    def caution_text(self) -> str:
        """Never force a blade."""
        return cautions(Step.GAUGE, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Show the valve in hand."""
        if self.program.live is None:
            return
        super().refresh_view()
        if self._valve not in self.state.valves:
            self._valve = self.first_wanting()
        view = self.shown(self._valve)
        self._advice = advise(self.state, view)
        step = self._show_words(view)
        self.query_one("#valve-and-blade", BigPair).show(Pair(big_name(self._valve), step))
        self.query_one("#verdict", BigText).show(big_verdict(view))
        # A blade to doubt has its own mark already.
        upcoming = None if view.verdict.heals and self._chosen is None else self.in_hand()
        self.query_one("#ruler", RulerPicture).show(
            ruler(view, upcoming, feel_of(self.state), inch=inch_set(self.state.opened.blades))
        )
        told = readings_lines(self.state, view)
        self.query_one("#readings", Static).update(inert(told, lines=True), layout=False)
        views = {name: self.shown(name) for name in self.state.valves}
        self.query_one("#map", ValveMapPicture).show(
            valve_map(self.state, views, self._valve, flipped=self.program.flipped)
        )

    def first_wanting(self, after: str = "") -> str:
        """The next valve that wants something: those of this crank position first."""
        names = list(self.state.valves)
        start = names.index(after) + 1 if after in names else 0
        turned = names[start:] + names[:start]
        wanting = [n for n in turned if not self.bench.look(n).done]
        place = self.state.place
        here = [n for n in wanting if place is not None and n in place.confirmed.valves]
        return next(iter([*here, *wanting, *turned]))

    def _hand(self) -> InHand:
        return InHand(self._advice, self._chosen, self._typed)

    def say(self, text: str, *, alarm: bool = False) -> None:
        """Put a sentence among the bench's own words; a line of its own would move everything.

        It stands until the next step, in reverse where it is an alarm.
        """
        self._said = (text, "bold reverse" if alarm else "bold")
        if self.is_mounted:
            self._words_again()

    def on_resize(self) -> None:
        """More words may fit, or fewer."""
        self.call_after_refresh(self._words_again)

    def _words_again(self) -> None:
        if self.program.live is not None and self._valve in self.state.valves:
            self._show_words(self.shown(self._valve))

    def _show_words(self, view: ValveView) -> Big:
        """One line on the blade or the turn, one on the verdict; what they come to in tall letters."""
        if self.blind:
            big, first = blind_do(self.state)
            then = view.verdict.because
        else:
            big, first, then = do_and_why(self.state, view, self._hand())
        if not first:
            left = [n for n in self.state.valves if not self.shown(n).done]
            first = "Settled. Space: next valve." if left else "All settled. Space: closing up."
        text, style = self._said
        why = self.query_one("#why", Static)
        width = why.size.width or self.size.width
        used = sum(len(wrap(line, width)) for line in (first, text) if line)
        then = within(then, width, _WHY_ROWS - used)
        words = Content.assemble((inert(first), "bold"), "\n", plain(then))
        if text:
            words = Content.assemble((inert(text), style), "\n") + words
        # Always as tall: a key must not lay the whole screen out again.
        why.update(words, layout=False)
        return big

    def in_hand(self) -> Feeler | None:
        """The blade in hand."""
        return feeler_in_hand(self.shown(self._valve), self._hand())

    def take_up(self, feeler: Feeler | None, typed: str = "") -> None:
        """Another blade instead of the one advised; None: that one again."""
        self._chosen, self._typed = feeler, typed

    def on_screen_resume(self) -> None:
        """What was said before another screen was up is said no more.

        Where the crank was confirmed at another stop meanwhile, a valve of that stop comes up.
        """
        self._said = ("", "")
        place = None if self.program.live is None else self.state.place
        if place is not None and place != self._place and self._valve not in place.confirmed.valves:
            self._valve = self.first_wanting()
            self.take_up(None)
        self._place = place
        super().on_screen_resume()

    def _go(self, valve: str) -> None:
        self._valve = valve
        self.take_up(None)
        self.say("")
        self.refresh_view()
