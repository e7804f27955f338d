"""Setting: how far to turn which way, drawn; then the lock; then measured again.

Long, because screw, blade and shim are set on the one screen.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.adjusting.pad import PAD_GAP, WIND_TO_ZERO, back_off_for
from benchtui.domain.adjusting.turns import Way, rotation_of
from benchtui.domain.blades import Feeler
from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import Command
from benchtui.domain.session.facts.events import (
    Locked,
    ScrewSetOn,
    ScrewTurned,
    ShimFitted,
    WayChosen,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import next_step, other_way, setting_step
from benchtui.domain.session.next_step.kinds import FitShim as FitShimStep
from benchtui.domain.session.next_step.kinds import LockIt, SetOnBlade, TryBlade, TurnBy, WindBack
from benchtui.domain.session.next_step.to_set import on_leaf, out_of_range
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.shims import shim_plan
from benchtui.domain.session.valve.turning import turning
from benchtui.domain.sheet import Adjuster
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import whole_degrees
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.reading.script import marks_of, shim_of, turn_of
from benchtui.text.words.foot import setting_foot
from benchtui.text.words.refusals import error_words
from benchtui.text.words.stamped import wanted_told
from benchtui.text.words.told import Told, told
from benchtui.text.words.valve_words import aside_of
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen, plain
from benchtui.tui.keys import SETTING, SHIMS, TORQUES, bindings_for
from benchtui.tui.present_setting import Setting, setting_of, was_words
from benchtui.tui.routes import place_of
from benchtui.tui.screens.bench_sure import show_why
from benchtui.tui.screens.circumstances import ask_circumstances
from benchtui.tui.widgets.bigtext import Big, BigPair, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.held import HeldPicture
from benchtui.tui.widgets.slot import SlotPicture

_SLOT, _HELD, _TALL = 29, 24, 3
"""Columns of the pictures, and rows of the word in tall letters."""

_FIGURES = tuple("0123456789.")


class SettingScreen(WorkScreen):
    """One valve's adjuster."""

    SCREEN = SETTING
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SETTING)

    def __init__(self, valve: str) -> None:
        super().__init__()
        self._valve = valve
        self._held: Feeler | None = None

    def body(self) -> ComposeResult:
        """The turn in tall figures, in words, and drawn; doubts below."""
        yield BigPair(id="turn")
        yield Static(id="was", markup=False)
        yield Static(id="ways", markup=False, classes="strong")
        with Horizontal(id="setting-middle"):
            with Vertical(id="setting-words"):
                yield BigText(id="beneath")
                yield Static(id="steps", markup=False)
            yield SlotPicture(id="slot")
            yield HeldPicture(id="held")
        yield Static(id="doubts", markup=False, classes="caution")
        yield FootPicture(id="foot")

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
        """Turns where there is a screw, shims where there are shims, leaves where one is held in."""
        held = isinstance(self.told().step, SetOnBlade)
        leaves = frozenset[str]() if held else frozenset({"thicker", "thinner"})
        return leaves | unoffered_for(self.state.opened.sheet.adjuster)

    def title_text(self) -> str:
        """Engine and valve."""
        view = self.view()
        wanted = "" if view.setting is None else f", to be {wanted_told(view.setting)}"
        return f"{self.state.opened.sheet.name}  {view.valve.name} {view.valve.kind.value}{wanted}"

    def caution_text(self) -> str:
        """Never crank with a valve screwed open."""
        return cautions(CautionAt.SET, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Show what to do next at this adjuster."""
        if self.program.live is None:
            return
        super().refresh_view()
        setting = self.setting()
        self.query_one("#turn", BigPair).show(setting.big)
        self.query_one("#was", Static).update(plain(was_words(self.state, self.view())))
        self.query_one("#ways", Static).update(plain(setting.ways))
        self.query_one("#foot", FootPicture).show(setting_foot(self.told().step))
        self.query_one("#beneath", BigText).show(Big(setting.beneath, Role.STRONG))
        slot, held = self.query_one("#slot", SlotPicture), self.query_one("#held", HeldPicture)
        slot.show(setting.slot)
        slot.display = setting.slot is not None
        held.show(setting.held)
        held.display = setting.held is not None
        doubts = self.query_one("#doubts", Static)
        doubts.update(plain_lines([f"! {doubt}" for doubt in setting.doubts]))
        doubts.display = bool(setting.doubts)
        self._fit(setting)
        self.once_painted(partial(self._fit, setting))

    def on_resize(self) -> None:
        """More may fit, or less."""
        if self.program.live is not None:
            self.once_painted(partial(self._fit, self.setting()))

    def _fit(self, setting: Setting) -> None:
        """The steps with their figures in the margin; the word in tall letters gives way to them."""
        picture = _SLOT if setting.slot is not None else _HELD if setting.held is not None else 0
        columns = max(1, self.size.width - picture - 2)
        height = self.query_one("#setting-middle").size.height
        words = _words(setting, columns)
        # Every step is to be read; what is told besides gives way to them, the least of it first.
        while height and words.plain.count("\n") >= height and (fewer := _fewer(setting)):
            setting = fewer
            words = _words(setting, columns)
        self.query_one("#steps", Static).update(words)
        room = height - words.plain.count("\n") - 1
        self.query_one("#beneath").display = bool(setting.beneath) and room >= _TALL

    def told(self) -> Told:
        """The step in hand; at a valve that may be left, how it is set all the same."""
        step = setting_step(self.state, self._valve)
        if isinstance(step, SetOnBlade) and self._held is not None:
            step = on_leaf(step, self._held)
        return told(step, self.state)

    def setting(self) -> Setting:
        """What is shown."""
        state, view = self.state, self.view()
        return setting_of(state, view, self.told(), aside_of(state, view), shim_plan(state))

    def _after(self) -> None:
        """The screen follows the step: what is done elsewhere is not waited for here."""
        if place_of(next_step(self.state, self._valve)) != SETTING:
            self.app.pop_screen()

    def action_other_way(self) -> None:
        """On a blade held in instead of by degrees, or the other way round; it is remembered."""
        by_blade = other_way(self.state, self._valve)
        if by_blade is None:
            none = turning(self.state, self.view()).why_none
            self.say(error_words(none) if none else "There is no other way of setting it here.")
        else:
            self._held = None
            if self.do(WayChosen(by_blade)) and isinstance(self.told().step, TryBlade):
                self.say("By degrees the gap must be known closer first: that blade, at the bench.")

    action_other_way_too = action_other_way

    def _shift_leaf(self, *, thicker: bool) -> None:
        step = self.told().step
        if isinstance(step, SetOnBlade):
            blades = self.state.opened.blades
            self._held = blades.beside(step.feeler.nominal, thicker=thicker)
            self.refresh_view()
            if self._held is not None and out_of_range(self.view(), self._held):
                self.say(
                    "That blade is outside the range: right only where locking moves the gap back.",
                    alarm=True,
                )
        else:
            self.say("No blade is held in here: a figure enters what was done instead.")

    def action_thicker(self) -> None:
        """The next thicker leaf to set on."""
        self._shift_leaf(thicker=True)

    def action_thinner(self) -> None:
        """The next thinner leaf to set on."""
        self._shift_leaf(thicker=False)

    def _set(self) -> bool:
        """Record that it was set as shown, the nut still slack."""
        step = self.told().step
        if isinstance(step, SetOnBlade):
            return self.do(ScrewSetOn(self._valve, step.feeler))
        if isinstance(step, WindBack):
            return self.do(WoundBack(self._valve, Fraction(whole_degrees(step.degrees))))
        if isinstance(step, TurnBy):
            turn = step.turn
            return self.do(
                ScrewTurned(self._valve, turn.way, Fraction(whole_degrees(turn.degrees)))
            )
        return False

    def action_turned(self) -> None:
        """Set on the blade or turned as shown; on the lock step: locked, to its figure by a wrench."""
        step = self.told().step
        if isinstance(step, LockIt):
            self._lock(torqued=True)
        elif not isinstance(step, SetOnBlade | TurnBy | WindBack):
            self.say("There is nothing to set now: a figure enters what was done all the same.")
        elif self._set():
            self._held = None
            self._after()

    def action_finish(self) -> None:
        """Set as shown and locked, or only locked, or the shim is in: the bench measures it again."""
        step = self.told().step
        if isinstance(step, SetOnBlade | TurnBy | WindBack):
            if self._set():
                self._lock()
        elif isinstance(step, FitShimStep) and step.size is not None:
            if self.do(ShimFitted(step.valve, step.size)):
                self._after()
        elif self.view().slack_nut:
            self._lock()
        elif self.state.opened.sheet.adjuster.set_by.shims:
            self.action_figure()
        else:
            # A second Enter must not throw away a good reading.
            self.say("Nothing was turned here, so no nut is slack: nothing to lock.", alarm=True)

    def action_figure(self, first: str = "") -> None:
        """Type what was done instead: a shim, a turn, or the blade that it was set on."""
        if self.state.opened.sheet.adjuster.set_by.shims:
            ask_shim(self, self._valve, first)
            return
        blades, by_blade = self.state.opened.blades, isinstance(self.told().step, SetOnBlade)
        way = self._way()

        def read(text: str) -> Command:
            """``out 22``, ``on 0.10``, or a bare figure of the way that is shown."""
            words = text.strip()
            if (
                words[:1] in _FIGURES
                and not by_blade
                and (not way or words.startswith(("0.", ".")))
            ):
                wanted = f"out {words}, in {words}, or on {words} for a blade"
                raise measure.FaultyQuantity(measure.quoted(words), wanted)
            if words.startswith("on ") or (by_blade and words[:1] in _FIGURES):
                return ScrewSetOn(self._valve, blades.feeler(*marks_of(words.removeprefix("on "))))
            return ScrewTurned(
                self._valve, *turn_of(f"{way} {words}" if words[:1] in _FIGURES else words)
            )

        def typed(text: str | None) -> None:
            if text and self.do(read(text)):
                self._after()

        out = rotation_of(Way.OUT, self.state.opened.sheet.adjuster)
        bare = "0.10, the blade; " if by_blade else f"22, degrees {way}; " if way else ""
        asked = Ask(
            f"What was done instead? As in {bare}out 22, in 0.25 turn, on 0.10. Out is {out.value}.",
            first=first,
            check=read,
        )
        self.app.push_screen(asked, typed)

    def _way(self) -> str:
        step = self.told().step
        turned = step if isinstance(step, TurnBy) else getattr(step, "otherwise", None)
        return turned.turn.way.value if isinstance(turned, TurnBy) else ""

    def _lock(self, *, torqued: bool = False) -> None:
        if self.do(Locked(self._valve, torqued)):
            self.app.pop_screen()

    def action_why(self) -> None:
        """Say why, in full."""
        show_why(self, self._valve)

    def action_circumstances(self) -> None:
        """Temperature, odometer, hours, who, or the owner's band."""
        ask_circumstances(self)

    def action_pad_test(self) -> None:
        """Wound to zero and backed off by a known angle: the blades tell what they miss."""
        try:
            degrees = back_off_for(self.state.opened.sheet.adjuster, PAD_GAP)
        except Refusal as refusal:
            self.say(error_words(refusal), alarm=True)
            return

        def typed(text: str | None) -> None:
            if text and self.do(WoundBack(self._valve, measure.angle(text))):
                self._after()

        self.app.push_screen(
            Ask(
                f"{WIND_TO_ZERO} By how many degrees? So many make about {PAD_GAP}:",
                value=whole_degrees(degrees),
                check=measure.angle,
            ),
            typed,
        )

    def action_open_shims(self) -> None:
        """Every shim of this engine."""
        open_shims(self)

    def action_open_torques(self) -> None:
        """The torques in every unit."""
        self.program.open(TORQUES)


def unoffered_for(adjuster: Adjuster) -> frozenset[str]:
    """The commands of setting that mean nothing for this kind of adjuster."""
    if adjuster.set_by.shims:
        return frozenset({"turned", "pad_test", "other_way", "other_way_too"})
    return frozenset({"open_shims"})


def ask_shim(screen: WorkScreen, valve: str, first: str = "") -> None:
    """Ask for the shim at a valve; before its size is known, it is the one that was gauged with."""
    state = screen.program.session_state
    if not state.opened.sheet.adjuster.set_by.shims:
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
            screen.do(ShimFitted(valve, size, measured, found or unknown))

    hint = "2.80, or 2.80 measured 2.79"
    screen.app.push_screen(Ask(question, hint=hint, first=first, check=shim_of), typed)


def open_shims(screen: WorkScreen) -> None:
    """Show the shims, or say that there are none."""
    if screen.program.session_state.opened.sheet.adjuster.set_by.shims:
        screen.program.open(SHIMS)
    else:
        screen.say("This engine is not set by shims.", alarm=True)


def plain_lines(lines: list[str]) -> Content:
    """Several lines of plain text."""
    return Content("\n").join(plain(line) for line in lines)


def _fewer(setting: Setting) -> Setting | None:
    """The same without the last line that is no numbered step; None where there is none left."""
    lines = setting.lines
    besides = [at for at, line in enumerate(lines) if not line[:1].isdigit() or line[1:3] != "  "]
    if not besides:
        return None
    return replace(setting, lines=lines[: besides[-1]] + lines[besides[-1] + 1 :])


def _words(setting: Setting, columns: int) -> Content:
    headline = Content.assemble((plain(setting.headline).plain, "bold"))
    rows = [
        row
        for line in setting.lines
        for row in wrap(line, columns, subsequent_indent=" " * 3 * line[:1].isdigit()) or [""]
    ]
    return Content("\n").join([headline, *(plain(row) for row in rows)])
