"""What the bench shows: the valve, the blade to try, the verdict, the ruler, the map."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.blades import Feeler
from benchtui.domain.cautions import Step, cautions
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.advise import Advice, advise
from benchtui.domain.session.gates import no_slack
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.ruling import feel_of
from benchtui.text.say import aside_of, turn_words, verdict_words, view_message
from benchtui.text.show import degrees, inert
from benchtui.tui.frame import plain
from benchtui.tui.keys import BENCH
from benchtui.tui.present import big_verdict, blade_words, ruler, valve_map
from benchtui.tui.present_bench import ASKED, big_step, lacking
from benchtui.tui.screens.bench_sure import SureSteps
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.ruler import RulerPicture
from benchtui.tui.widgets.valve_map import ValveMapPicture


class ShownBench(SureSteps):
    """The heart of the program, to be read from 1.5 m; its keys are in ``bench``."""

    SCREEN = BENCH

    def __init__(self) -> None:
        super().__init__()
        self._valve = ""
        self._chosen: Feeler | None = None
        self._advice: Advice = None
        self._said = ("", "")

    def body(self) -> ComposeResult:
        """Valve and blade in tall figures, the verdict, the ruler, the map."""
        with Horizontal(id="bench-top"):
            with Vertical(id="bench-big"):
                with Horizontal(id="valve-and-blade"):
                    yield BigText(id="valve")
                    yield BigText(id="blade")
                yield BigText(id="verdict")
            yield ValveMapPicture(id="map")
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
        feeler = self._feeler(view)
        name = inert(self._valve).upper()
        self.query_one("#valve", BigText).show(Big(name, small=name))
        self.query_one("#blade", BigText).show(big_step(self.state, view, feeler))
        self.query_one("#verdict", BigText).show(big_verdict(view))
        self._show_words(view, feeler)
        shown = self._advice if isinstance(self._advice, NextBlade) else None
        self.query_one("#ruler", RulerPicture).show(ruler(view, shown, feel_of(self.state)))
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

    def _feeler(self, view: ValveView) -> Feeler | None:
        """The blade in hand: the one chosen, else the one advised."""
        if self._chosen is not None:
            return self._chosen
        if isinstance(self._advice, NextBlade):
            return self._advice.feeler
        return None if view.verdict.kind is not VerdictKind.CONTRADICTION else self._doubted(view)

    @staticmethod
    def _doubted(view: ValveView) -> Feeler | None:
        heals = view.verdict.heals
        return heals[0][0].feeler if heals else None

    def say(self, text: str, *, alarm: bool = False) -> None:
        """Put a sentence among the bench's own words; a line of its own would move everything.

        It stands until the next step, in reverse where it is an alarm.
        """
        self._said = (text, "bold reverse" if alarm else "bold")
        if self.is_mounted and self._valve in self.state.valves:
            view = self.shown(self._valve)
            self._show_words(view, self._feeler(view))

    def _show_words(self, view: ValveView, feeler: Feeler | None) -> None:
        text, style = self._said
        words = self._why(view, feeler)
        if text:
            words = Content.assemble((inert(text), style), "\n") + words
        # Always as tall: a key must not lay the whole screen out again.
        self.query_one("#why", Static).update(words, layout=False)

    def _why(self, view: ValveView, feeler: Feeler | None) -> Content:
        """One line on the blade or the turn, one on the verdict."""
        if self.blind:
            return Content.assemble(
                (inert(self.blind_first()), "bold"), "\n", plain(view.verdict.because)
            )
        aside = aside_of(self.state, view, setting=False)
        words = f"{verdict_words(view.verdict)}: {view_message(view, self._advice, aside)}"
        first = self._first(view, feeler, shims=aside.shim is not None or bool(aside.no_shim))
        return Content.assemble((inert(first), "bold"), "\n", plain(words))

    def _first(self, view: ValveView, feeler: Feeler | None, *, shims: bool) -> str:
        """The one thing to do now."""
        wanted = lacking(self.state, view)
        if wanted:
            return ASKED[wanted]
        if view.turn is not None:
            return f"Enter: {turn_words(view.turn)}"
        place = self.state.place
        if place is None or self._valve not in place.confirmed.valves:
            return f"P: the crank position is not confirmed for {self._valve}."
        if self._chosen is not None:
            return f"your own choice: {blade_words(self._chosen.marks)}"
        if isinstance(self._advice, NextBlade):
            return f"Try {self._advice.why}"
        if shims:
            return "Enter: the shim to fit."
        if view.done:
            left = [n for n in self.state.valves if not self.shown(n).done]
            return "Settled. Space: next valve." if left else "All settled. Space: closing up."
        if no_slack(self.state, self._valve):
            return "No screw yet. P, then X: say what 45 degrees on has shown."
        if feeler is None:
            return "B: type a borrowed blade. Up and Down: choose one of the set."
        return "Try this one again, or strike it with -."

    def in_hand(self) -> Feeler | None:
        """The blade in hand."""
        return self._feeler(self.shown(self._valve))

    def on_screen_resume(self) -> None:
        """What was said before another screen was up is said no more."""
        self._said = ("", "")
        super().on_screen_resume()

    def _go(self, valve: str) -> None:
        self._valve, self._chosen = valve, None
        self.say("")
        self.refresh_view()
