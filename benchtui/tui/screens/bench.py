"""The bench: which valve, which blade, what it said, and what that makes of the clearance.

Long, because it is one class: one short action a key.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.bench import Bench
from benchtui.domain.blades import Feeler
from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.measured import Apart
from benchtui.domain.session.evidence.clash import Clash, Settling
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.events import ClearanceMeasured, LookedOver, ReadingTaken
from benchtui.domain.session.facts.state import Place, State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.heard import heard
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import as_blind
from benchtui.domain.session.whole.next_valve import next_valve, onward
from benchtui.domain.sheet import GapRole
from benchtui.text.quantities.show import inert, temperature
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.crank_words import place_told
from benchtui.text.words.event_words import event_words
from benchtui.text.words.foot import Foot, answers, bench_foot
from benchtui.text.words.heard_words import heard_words
from benchtui.text.words.stamped import blade_both, inch_set
from benchtui.text.words.told import told, told_of
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen, plain, rewrite
from benchtui.tui.keys import BENCH, CLOSING, CRANK, SCREENS, SETTING, TORQUES, bindings_for
from benchtui.tui.present import big_verdict, readings_lines, ruler, valve_map
from benchtui.tui.present_bench import InHand, big_name, last_time, step_and_why, within
from benchtui.tui.routes import place_of
from benchtui.tui.screens import bench_asked, bench_sure
from benchtui.tui.screens.circumstances import ask_band, ask_circumstances
from benchtui.tui.screens.doubting import ask_after_the_look
from benchtui.tui.screens.leaving import ask_to_leave
from benchtui.tui.screens.setting import open_shims, unoffered_for
from benchtui.tui.widgets.bigtext import Big, BigPair, BigText, Pair
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.ruler import RulerPicture
from benchtui.tui.widgets.valve_map import ValveMapPicture

TOUCH_NO_SCREW = "Touch no screw. Turn by hand, forward only."
"""While nothing goes in and it is not known why."""

_WHY_ROWS = 3
"""As the styles have it for ``#why``."""


class BenchScreen(WorkScreen):
    """The heart of the program, to be read from 1.5 m."""

    SCREEN = BENCH
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(BENCH)

    def __init__(self) -> None:
        super().__init__()
        self.valve = ""
        self._chosen: Feeler | None = None
        self._typed = ""
        self._place: Place | None = None
        self._said = ("", "")
        self._known = 0
        self._spoke = False
        self._stale = False

    def body(self) -> ComposeResult:
        """Valve and blade in tall figures, the verdict, the ruler, the map."""
        with Horizontal(id="bench-top"):
            with Vertical(id="bench-big"):
                yield BigPair(id="valve-and-blade")
                yield Static(id="last-time", markup=False)
                yield BigText(id="verdict")
            with Vertical(id="bench-side"):
                yield ValveMapPicture(id="map")
                yield Static(id="readings", markup=False)
        yield Static(id="why", markup=False)
        yield RulerPicture(id="ruler")
        yield FootPicture(id="foot")

    @property
    def bench(self) -> Bench:
        """The session at work."""
        live = self.program.live
        if live is None:
            raise LookupError("no session is in hand")
        return live.bench

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.bench.state

    @property
    def blind(self) -> bool:
        """Whether the valve in hand is being measured again, blind."""
        repeat = self.state.repeat
        return repeat is not None and repeat.valve == self.valve

    @property
    def hand(self) -> InHand:
        """The step in words, and the blade taken instead of it."""
        return InHand(told_of(self.state, self.valve), self._chosen, self._typed)

    def shown(self, valve: str) -> ValveView:
        """A valve as it may be shown: in a blind repeat without what was read before."""
        return as_blind(self.state, self.bench.look(valve))

    def guide_lines(self) -> tuple[str, ...]:
        """What leads one through the tour at this valve and blade."""
        live = self.program.live
        if live is None or self.valve not in self.state.valves:
            return ()
        return live.guide(self.SCREEN, self.valve, self._chosen)

    def title_text(self) -> str:
        """Engine, where the crank stands, the metal."""
        state = self.state
        parts = []
        if state.place is not None:
            own = state.place.confirmed.cylinder
            words = place_told(state.place.confirmed).split()
            parts.append(" ".join(w if w == own else w.lower() for w in words))
        else:
            parts.append("crank not confirmed")
        if state.particulars.metal_c is not None and not self.has_class("-narrow"):
            parts.append(f"metal {temperature(state.particulars.metal_c)}")
        told = "  ".join(parts)
        # The engine's name is shortened, never the state.
        taken = (
            len(SCREENS[BENCH]) + sum(len(m) + 3 for m in self._marks()) + len(self.far_text()) + 7
        )
        room = max(4, self.size.width - taken - len(told))
        name = state.opened.sheet.name
        return f"{name if len(name) <= room else name[: room - 1] + '~'}  {told}"

    def far_text(self) -> str:
        """So many of the valves are done."""
        done = sum(self.bench.look(name).done for name in self.state.valves)
        return f"{done} of {len(self.state.valves)} in range"

    def caution_text(self) -> str:
        """Never force a blade; where nothing goes in, that no screw is touched."""
        if self.valve in self.state.valves and isinstance(self.hand.told.step, k.LookPast):
            return TOUCH_NO_SCREW
        return cautions(CautionAt.GAUGE, self.state.opened.sheet)[0]

    # What is shown

    def refresh_view(self) -> None:
        """Show the valve in hand."""
        if self.program.live is None:
            return
        if self.valve not in self.state.valves:
            self.valve = self.first_wanting()
        asked = self.hand.told.step
        if isinstance(asked, k.FitShim | k.Tell) and asked.valve:
            self.valve = asked.valve  # with the cams out it may be another's: one valve is shown
        if self._stale:
            self.say("")
        super().refresh_view()
        view = self.shown(self.valve)
        step = self._show_words(view)
        # A name or a stack that stands in two rows gets the row of the last time as well.
        in_two = "-" in self.valve or "+" in step.text[step.text.find("+") + 1 :]
        self.set_class(in_two, "-two-rows")
        # With the cams out the shim may be another valve's, and a slack nut elsewhere comes first.
        meant = self.valve if self._chosen is not None else self.hand.told.step.valve
        self.query_one("#valve-and-blade", BigPair).show(Pair(big_name(meant or self.valve), step))
        self.query_one("#verdict", BigText).show(big_verdict(self.state, view))
        rewrite(self.query_one("#last-time", Static), plain(last_time(self.state, view.valve)))
        self.query_one("#foot", FootPicture).show(self._foot())
        # A blade to doubt has its own mark already.
        upcoming = None if view.verdict.heals and self._chosen is None else self.in_hand()
        self.query_one("#ruler", RulerPicture).show(
            ruler(view, upcoming, feel_of(self.state), inch=inch_set(self.state.opened.blades))
        )
        read = readings_lines(self.state, view)
        rewrite(self.query_one("#readings", Static), plain(read, lines=True))
        views = {name: self.shown(name) for name in self.state.valves}
        self.query_one("#map", ValveMapPicture).show(
            valve_map(self.state, views, self.valve, flipped=self.program.flipped)
        )

    def _foot(self) -> Foot:
        """What the keys do now; a blade of one's own choice is answered like any other."""
        live = self.program.live
        if live is not None and live.read_only:
            return Foot.one("escape", "READ ONLY: the answers are", "given in the other program")
        if self._chosen is not None:
            return answers()
        return bench_foot(self.hand.told.step, inch=self.hand.told.inch)

    def first_wanting(self) -> str:
        """The valve that the whole engine's next step is about, else the first."""
        step = next_step(self.state)
        return step.valve or next_valve(self.state) or next(iter(self.state.valves))

    def say(self, text: str, *, alarm: bool = False) -> None:
        """Put a sentence among the bench's own words; a line of its own would move everything.

        It stands until the next step, in reverse; what is no alarm stands in the row above the keys.
        """
        self._stale = False
        before, self._said = self._said, (text, "bold reverse") if alarm else ("", "")
        self._spoke = self._spoke or bool(text)
        if self.is_mounted:
            noted = self.query_one("#message", Static)
            rewrite(noted, plain("" if alarm else text))
            if self._said != before:
                self._words_again()

    def forget_said(self) -> None:
        """It goes with what the key brings: cleared at once, each key would paint twice."""
        self._stale = True

    def on_resize(self) -> None:
        """More words may fit, or fewer."""
        self.once_painted(self._words_again)

    def _words_again(self) -> None:
        if self.program.live is not None and self.valve in self.state.valves:
            self._show_words(self.shown(self.valve))

    def _show_words(self, view: ValveView) -> Big:
        """One line on the step, one on the verdict; what to do in tall letters."""
        big, first, then = step_and_why(self.state, view, self.hand)
        text, style = self._said
        why = self.query_one("#why", Static)
        width = why.size.width or self.size.width
        used = sum(len(wrap(line, width)) for line in (first, text) if line)
        then = within(then, width, _WHY_ROWS - used)
        words = Content.assemble((inert(first), "bold"), "\n", plain(then))
        if text:
            words = Content.assemble((inert(text), style), "\n") + words
        # Always as tall: a key must not lay the whole screen out again.
        rewrite(why, words)
        return big

    def in_hand(self) -> Feeler | None:
        """The blade in hand."""
        return self.hand.feeler

    def take_up(self, feeler: Feeler | None, typed: str = "") -> None:
        """Another blade instead of the one asked for; None: that one again."""
        self._chosen, self._typed = feeler, typed

    def on_screen_resume(self) -> None:
        """What was done meanwhile is noted, if nothing else is said of it.

        Where the crank was confirmed at another stop meanwhile, a valve of that stop comes up.
        """
        place = None if self.program.live is None else self.state.place
        if place is not None and place != self._place and self.valve not in place.confirmed.valves:
            self.valve = self.first_wanting()
            self.take_up(None)
        self._place = place
        super().on_screen_resume()
        if self.program.live is not None:
            self._note_what_was_done()

    def on_screen_suspend(self) -> None:
        """What was said before another screen was up is said no more."""
        self._spoke = False
        if self.program.live is not None:
            self.say("")

    def _note_what_was_done(self) -> None:
        """What was done on another screen stands in the row above the keys."""
        events = self.bench.events
        if 0 < self._known < len(events) and not self._spoke:
            known = {e.number: e.fact for e in events}
            told = event_words(events[-1].fact, known)
            # The row holds one line: what was seen stands in the record, the place must be whole.
            whole = len(told) + len("Noted: .") <= self.size.width - 2
            self.say(f"Noted: {told if whole else told.partition(': ')[0]}.")
        self._known = len(events)

    def go(self, valve: str) -> None:
        """To another valve."""
        self.valve = valve
        self.take_up(None)
        self.say("")
        self.refresh_view()

    # Answers

    def take_answer(self, answer: Answer) -> None:
        """What the blade in hand said; where it does not count, that is said at once."""
        feeler = self.in_hand()
        if feeler is None:
            self.say("No blade is in hand: ↑ and ↓ choose one, a figure types it.", alarm=True)
            self.app.bell()
            return
        self.take_up(None)
        valve = self.valve
        if self.do(ReadingTaken(valve, feeler, answer)):
            blade = blade_both(feeler, inch=inch_set(self.state.opened.blades))
            words = self._noted(f"{valve} {blade} {answer.value}")
            judged, differs = bench_sure.judged(self, feeler, answer)
            if words or judged:
                self.say(words or judged, alarm=bool(words) or differs)

    def take_measure(self, told: ClearanceMeasured) -> None:
        """What a dial said; where it does not count, that is said at once."""
        self.take_up(None)
        if self.do(told):
            words = self._noted(event_words(told, {}))
            if words:
                self.say(words, alarm=True)

    def _noted(self, what: str) -> str:
        """Say that it is noted; gives back why it does not count, else empty."""
        self._known = len(self.bench.events)
        self.say(f"Noted: {what}.")
        return heard_words(self.state, self.valve, heard(self.state, self.valve))

    def action_refuses(self) -> None:
        """The blade does not go."""
        self.take_answer(Answer.REFUSES)

    def action_drag(self) -> None:
        """It goes and drags."""
        self.take_answer(Answer.DRAG)

    def action_free(self) -> None:
        """It goes freely."""
        self.take_answer(Answer.FREE)

    # Which valve

    def action_next_valve(self) -> None:
        """On to the next valve that wants something, by way of the crank where that must turn."""
        step = next_step(self.state, self.valve)
        valve = step.to if isinstance(step, k.NextValve) else onward(self.state, self.valve)
        if valve is None:
            self._follow(next_step(self.state))
            return
        self.go(valve)
        step = next_step(self.state, valve)
        if place_of(step) in (CRANK, CLOSING):
            self._follow(step)

    def _follow(self, step: k.NextStep) -> None:
        """To the screen on which this step is done."""
        place = place_of(step)
        if place != BENCH:
            self.program.open(place, step.valve or self.valve)

    def _step(self, by: int) -> None:
        names = list(self.state.valves)
        self.go(names[(names.index(self.valve) + by) % len(names)])

    def action_valve_before(self) -> None:
        """The valve before."""
        self._step(-1)

    def action_valve_after(self) -> None:
        """The valve after."""
        self._step(1)

    def on_valve_map_picture_chosen(self, message: ValveMapPicture.Chosen) -> None:
        """A click on the map."""
        self.go(message.valve)

    # Which blade

    def _shift_blade(self, *, thicker: bool) -> None:
        blades, now = self.state.opened.blades, self.in_hand()
        singles = blades.singles()
        middle = singles[len(singles) // 2]
        self.take_up(middle if now is None else blades.beside(now.nominal, thicker=thicker))
        self.refresh_view()

    def action_thicker(self) -> None:
        """The next thicker leaf instead."""
        self._shift_blade(thicker=True)

    def action_thinner(self) -> None:
        """The next thinner leaf instead."""
        self._shift_blade(thicker=False)

    # The step in hand

    def action_foot(self) -> None:  # noqa: C901  # one case a step
        """Do what is to be done now, on its own screen where it has one."""
        step = next_step(self.state, self.valve)
        match step:
            case k.StopAndLook():
                self._ask_whether_sound(step)
            case k.TryBlade() | k.SpotCheck() | k.Settle(clash=Clash(how=Settling.TRY_AGAIN)):
                bench_sure.let_hand_try(self)
            case k.Settle():
                self.action_strike()
            case k.LookPast(cylinder=cylinder):
                ask_after_the_look(self, cylinder)
            case k.MeasureAgain(apart=Apart(pad_in_doubt=False)):
                self.action_measured()
            case k.Borrow():
                self.action_figure()
            case k.Tell(what=k.ToTell.BAND):
                ask_band(self)
            case k.Tell(what=k.ToTell.METAL) | k.Wait():
                ask_circumstances(self)
            case k.EndRepeat():
                bench_sure.begin_or_end_blind(self)
            case k.NextValve(limit=None):
                self.action_next_valve()
            case _ if place_of(step) == BENCH:
                self.action_set_anyway()
            case _:
                self._follow(step)

    def action_set_anyway(self) -> None:
        """The setting screen of this valve, whatever the step says."""
        self.program.open(SETTING, self.valve)

    def _ask_whether_sound(self, step: k.StopAndLook) -> None:
        def answered(key: str | None) -> None:
            if key == "sound":
                self.do(LookedOver(self.valve))

        words = told(step, self.state)
        answers = {"sound": "looked at: all of it is sound, go on", "not": "not looked at yet"}
        self.app.push_screen(Choose(words.sentence, answers, words.small, enter="not"), answered)

    def action_looked(self) -> None:
        """The parts were looked at and are sound."""
        if isinstance(next_step(self.state, self.valve), k.StopAndLook):
            self.do(LookedOver(self.valve))
        else:
            self.say("Nothing here asks for a look at the parts.")

    def action_close_up(self) -> None:
        """Enough for today."""
        self.program.open(CLOSING)

    def action_open_torques(self) -> None:
        """The torques in every unit."""
        self.program.open(TORQUES)

    def action_open_shims(self) -> None:
        """Every shim of this engine."""
        open_shims(self)

    def unoffered(self) -> frozenset[str]:
        """What means nothing at this engine, or now."""
        here = unoffered_for(self.state.opened.sheet.adjuster)
        looking = isinstance(next_step(self.state, self.valve), k.StopAndLook)
        looks = frozenset[str]() if looking else frozenset({"looked"})
        practice = self.state.opened.practice
        pairs = any(v.role is GapRole.CLOSER for v in self.state.opened.sheet.layout.valves)
        here |= frozenset[str]() if pairs else frozenset({"whole_play"})
        return here | looks | (frozenset[str]() if practice else frozenset({"try_it"}))

    def action_flip_map(self) -> None:
        """Look at the head from the other side."""
        self.program.flipped = not self.program.flipped
        self.refresh_view()

    def action_leave(self) -> None:
        """Back to the engines; the session stays open on disk. A slack nut is said first."""
        ask_to_leave(self)

    # What is asked, and how sure it is

    def action_figure(self, first: str = "") -> None:
        """Type the size of a blade, or a stack; the key pressed is its first figure."""
        bench_asked.ask_blade(self, first)

    def action_measured(self) -> None:
        """The gap as a dial at the valve has it."""
        bench_asked.ask_measured(self)

    def action_whole_play(self) -> None:
        """A blade tried in the whole free play of a valve with two gaps."""
        bench_asked.ask_whole_play(self)

    def action_strike(self) -> None:
        """Strike one of this valve's readings out."""
        bench_asked.ask_strike(self)

    def action_move_readings(self) -> None:
        """These readings belong to another valve."""
        bench_asked.ask_move(self)

    def action_circumstances(self) -> None:
        """Temperature, odometer, hours, who, or the owner's band."""
        ask_circumstances(self)

    def action_why(self) -> None:
        """Say why this step comes next."""
        bench_sure.show_why(self, self.valve)

    def action_rule(self) -> None:
        """Choose how much the blades must show."""
        bench_sure.ask_rule(self)

    def action_blind(self) -> None:
        """Begin a blind repeat of this valve, or end it."""
        bench_sure.begin_or_end_blind(self)

    def action_try_it(self) -> None:
        """Let the practice hand try the blade."""
        bench_sure.let_hand_try(self)
