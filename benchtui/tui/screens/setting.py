"""Setting: how far to turn which way, drawn; then the lock; then measured again."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.adjusting.pad import WIND_TO_ZERO, pad_hint
from benchtui.domain.adjusting.turns import Way, rotation_of
from benchtui.domain.cautions import Step, cautions
from benchtui.domain.errors import Refusal
from benchtui.domain.session.facts.commands import FitShim, LockNut, TurnScrew, WindBack
from benchtui.domain.session.facts.events import ScrewSetOn, WayChosen
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import next_step, setting_step
from benchtui.domain.session.next_step.kinds import LockIt, SetOnBlade, TurnBy
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.shims import shim_plan
from benchtui.domain.sheet import Adjuster, AdjusterKind
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import degrees
from benchtui.text.reading.script import marks_of, shim_of, turn_of
from benchtui.text.words.told import Told, told
from benchtui.text.words.valve_words import aside_of
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen, plain
from benchtui.tui.keys import SETTING, SHIMS, TORQUES, bindings_for
from benchtui.tui.present_setting import Setting, setting_of
from benchtui.tui.routes import place_of
from benchtui.tui.screens.circumstances import ask_circumstances
from benchtui.tui.widgets.bigtext import BigText
from benchtui.tui.widgets.slot import SlotPicture


class SettingScreen(WorkScreen):
    """One valve's adjuster."""

    SCREEN = SETTING
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SETTING)

    def __init__(self, valve: str) -> None:
        super().__init__()
        self._valve = valve

    def body(self) -> ComposeResult:
        """The turn in tall figures, in words, and drawn; doubts below."""
        yield BigText(id="turn")
        with Horizontal(id="setting-middle"):
            with Vertical(id="setting-words"):
                yield Static(id="steps", markup=False)
            yield SlotPicture(id="slot")
        yield Static(id="doubts", markup=False, classes="caution")

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def view(self) -> ValveView:
        """The valve in hand."""
        live = self.program.live
        if live is None:
            raise LookupError("no session is in hand")
        return live.bench.look(self._valve)

    def unoffered(self) -> frozenset[str]:
        """Turns where there is a screw, shims where there are shims."""
        return unoffered_for(self.state.opened.sheet.adjuster)

    def title_text(self) -> str:
        """Engine and valve."""
        return f"{self.state.opened.sheet.name}  valve {self._valve}"

    def caution_text(self) -> str:
        """Never crank with a valve screwed open."""
        return cautions(Step.SET, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Show what to do next at this adjuster."""
        if self.program.live is None:
            return
        super().refresh_view()
        setting = self.setting()
        self.query_one("#turn", BigText).show(setting.big)
        self.query_one("#steps", Static).update(_words(setting))
        slot = self.query_one("#slot", SlotPicture)
        slot.show(setting.slot)
        slot.display = setting.slot is not None
        doubts = self.query_one("#doubts", Static)
        doubts.update(plain_lines([f"! {doubt}" for doubt in setting.doubts]))
        doubts.display = bool(setting.doubts)

    def told(self) -> Told:
        """The step in hand; at a valve that may be left, how it is set all the same."""
        return told(setting_step(self.state, self._valve), self.state)

    def setting(self) -> Setting:
        """What is shown."""
        state, view = self.state, self.view()
        return setting_of(state, view, self.told(), aside_of(state, view), shim_plan(state))

    def _after(self) -> None:
        """The screen follows the step: what is done elsewhere is not waited for here."""
        if place_of(next_step(self.state, self._valve)) != SETTING:
            self.app.pop_screen()

    def action_set_on(self) -> None:
        """The screw was set on the blade held in; the nut is slack still."""
        step = self.told().step
        held = step if isinstance(step, SetOnBlade) else getattr(step, "otherwise", None)
        if not isinstance(held, SetOnBlade):
            self.say("No blade to hold in is asked for here: E takes what was done.", alarm=True)
            return
        if self.do(ScrewSetOn(self._valve, held.feeler)):
            self.do(WayChosen(by_blade=True))
            self._after()

    def action_turned(self) -> None:
        """Turned as shown; on the lock step: locked, to its figure by a wrench."""
        step = self.told().step
        if isinstance(step, LockIt):
            self._lock(torqued=True)
            return
        turned = step if isinstance(step, TurnBy) else getattr(step, "otherwise", None)
        if not isinstance(turned, TurnBy):
            self.say(
                "There is no turn to make: E enters one that was made all the same.", alarm=True
            )
            return
        turn = turned.turn
        if self.do(TurnScrew(self._valve, turn.way, Fraction(degrees(turn.degrees)))):
            self._after()

    def action_turned_otherwise(self) -> None:
        """Type the turn that was made instead, or the blade that it was set on."""
        out = rotation_of(Way.OUT, self.state.opened.sheet.adjuster)
        blades = self.state.opened.blades

        def typed(text: str | None) -> None:
            if not text:
                return
            if on_blade(text):
                marks = marks_of(text.strip().removeprefix("on "))
                done = self.do(ScrewSetOn(self._valve, blades.feeler(*marks)))
            else:
                way, angle = turn_of(text)
                done = self.do(TurnScrew(self._valve, way, angle))
            if done:
                self._after()

        def on_blade(text: str) -> bool:
            return text.strip().startswith("on ")

        def check(text: str) -> object:
            return marks_of(text.strip().removeprefix("on ")) if on_blade(text) else turn_of(text)

        self.app.push_screen(
            Ask(
                "What was done instead?",
                hint=f"out 22, in 0.25 turn, or on 0.10; out is {out.value}",
                check=check,
            ),
            typed,
        )

    def action_locked(self) -> None:
        """The locknut is done up: back to the bench for the reading that is now compulsory.

        Where the screw is to be set on a blade, Enter says both: set on it, and locked.
        """
        step = self.told().step
        if isinstance(step, SetOnBlade):
            if self.do(ScrewSetOn(self._valve, step.feeler)):
                self._lock()
        elif not self.view().slack_nut:
            # A second Enter must not throw away a good reading.
            self.say("Nothing was turned here, so no nut is slack: nothing to lock.", alarm=True)
        else:
            self._lock()

    def _lock(self, *, torqued: bool = False) -> None:
        if self.do(LockNut(self._valve, torqued)):
            self.app.pop_screen()

    def action_circumstances(self) -> None:
        """Temperature, odometer, hours, who, or the owner's band."""
        ask_circumstances(self)

    def action_pad_test(self) -> None:
        """Wound to zero and backed off by a known angle: the blades tell what they miss."""
        try:
            hint = pad_hint(self.state.opened.sheet.adjuster)
        except Refusal as refusal:
            self.say(str(refusal), alarm=True)
            return

        def typed(text: str | None) -> None:
            if text and self.do(WindBack(self._valve, measure.angle(text))):
                self._after()

        self.app.push_screen(
            Ask(f"{WIND_TO_ZERO} By how many degrees?", hint=hint, check=measure.angle), typed
        )

    def action_fitted(self) -> None:
        """Type the size of the shim that was fitted."""
        ask_shim(self, self._valve)

    def action_open_shims(self) -> None:
        """Every shim of this engine."""
        open_shims(self)

    def action_open_torques(self) -> None:
        """The torques in every unit."""
        self.program.open(TORQUES)


def unoffered_for(adjuster: Adjuster) -> frozenset[str]:
    """The commands of setting that mean nothing for this kind of adjuster."""
    if adjuster.kind is AdjusterKind.SHIM:
        return frozenset({"turned", "turned_otherwise", "locked", "pad_test", "set_on"})
    return frozenset({"fitted", "open_shims"})


def ask_shim(screen: WorkScreen, valve: str) -> None:
    """Ask for the shim at a valve; before its size is known, it is the one that was gauged with."""
    state = screen.program.session_state
    if state.opened.sheet.adjuster.kind is not AdjusterKind.SHIM:
        screen.say("This engine is not set by shims.", alarm=True)
        return
    unknown = state.valves[valve].shim is None
    question = (
        f"Which shim was in {valve} when it was gauged?"
        if unknown
        else f"Which shim is in {valve} now?"
    )

    def typed(text: str | None) -> None:
        if text:
            size, measured, found = shim_of(text)
            screen.do(FitShim(valve, size, measured, found or unknown))

    screen.app.push_screen(Ask(question, hint="2.80, or 2.80 measured 2.79", check=shim_of), typed)


def open_shims(screen: WorkScreen) -> None:
    """Show the shims, or say that there are none."""
    if screen.program.session_state.opened.sheet.adjuster.kind is AdjusterKind.SHIM:
        screen.program.open(SHIMS)
    else:
        screen.say("This engine is not set by shims.", alarm=True)


def plain_lines(lines: list[str]) -> Content:
    """Several lines of plain text."""
    return Content("\n").join(plain(line) for line in lines)


def _words(setting: Setting) -> Content:
    headline = Content.assemble((plain(setting.headline).plain, "bold"))
    return Content("\n").join([headline, *(plain(line) for line in setting.lines)])
