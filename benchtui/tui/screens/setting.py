"""Setting: how far to turn which way, drawn; then the locknut; then measured again."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from benchtui.domain.adjusting.shims import UNDER_BUCKET
from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.cautions import Step, cautions
from benchtui.domain.errors import Refusal
from benchtui.domain.session.commands import FitShim, LockNut, TurnScrew
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.shimming import advise_shim
from benchtui.domain.session.state import State
from benchtui.domain.sheet import AdjusterKind, Rotation
from benchtui.text import measure
from benchtui.text.say import degrees, verdict_words
from benchtui.text.script import turn_of
from benchtui.text.show import clock_minutes, flats, inert
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen, plain
from benchtui.tui.keys import SETTING, bindings_for
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.slot import Slot, SlotPicture


class SettingScreen(WorkScreen):
    """One valve's adjuster."""

    SCREEN = SETTING
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(SETTING)

    def __init__(self, valve: str) -> None:
        super().__init__()
        self._valve = valve

    def body(self) -> ComposeResult:
        """The turn in tall figures, in words, and drawn."""
        yield BigText(id="turn")
        with Horizontal():
            with Vertical(id="setting-words"):
                yield Static(id="steps", markup=False)
            yield SlotPicture(id="slot")

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
        view = self.view()
        shims = self.state.opened.sheet.adjuster.kind is AdjusterKind.SHIM
        big, steps, slot = self._for_shim(view) if shims else self._for_screw(view)
        self.query_one("#turn", BigText).show(big)
        self.query_one("#steps", Static).update(steps)
        self.query_one("#slot", SlotPicture).show(slot)

    def _for_screw(self, view: ValveView) -> tuple[Big, Content, Slot | None]:
        valve = inert(self._valve).upper()
        if view.slack_nut and view.turn is None:
            done = self.state.valves[self._valve].current.turns
            told = ", then ".join(f"{t.way.value} {degrees(t.degrees)}" for t in done)
            steps = [
                f"Turned {told} degrees; the nut is slack.",
                "",
                "1  Hold the screw still and tighten the locknut to its figure.",
                "2  Enter: locked. Then measure again: locking moves the screw.",
                "",
                "Or L: back to the bench, to measure once before locking.",
            ]
            return Big(f"{valve}  LOCK IT", Role.CAUTION), plain_lines(steps), None
        turn = view.turn
        if turn is None:
            why = view.no_turn or f"{verdict_words(view.verdict)}: no turn is called for."
            return Big(f"{valve}  NO TURN", Role.UNDECIDED), plain_lines([why]), None
        gap = "closes" if turn.closes else "opens"
        span = f"{degrees(turn.degrees_low)} to {degrees(turn.degrees_high)}"
        steps = [
            f"Turn the screw {turn.way.value}, {turn.rotation.value}: the gap {gap}.",
            f"{degrees(turn.degrees)} degrees ({span}).",
            f"{clock_minutes(turn.degrees)}; {flats(turn.degrees)}.",
            f"Aim: {turn.aim}.",
            *(["Under 8 degrees: less than a hand turns reliably."] if turn.small else []),
            *(_shift_words(view)),
            "",
            "1  Slacken the locknut, holding the screw.",
            "2  Turn as shown. Space: turned. E: another turn was made.",
            "3  Hold the screw, tighten the nut. Enter: locked.",
        ]
        big = Big(f"{valve}  {turn.way.value.upper()} {degrees(turn.degrees)}", Role.STRONG)
        return (
            big,
            plain_lines(steps),
            Slot(_signed(turn), text=f"{turn.way.value}, {turn.rotation.value}"),
        )

    def _for_shim(self, view: ValveView) -> tuple[Big, Content, None]:
        valve = inert(self._valve).upper()
        fitted = self.state.valves[self._valve].shim
        lines = [f"Fitted now: {fitted or 'not known. G: enter the size'}."]
        if self.state.opened.sheet.adjuster.under_bucket:
            lines.append(UNDER_BUCKET)
        size = "---"
        try:
            advice = advise_shim(self.state, view)
        except Refusal as refusal:
            lines.append(str(refusal))
        else:
            if advice is None:
                lines.append(f"{verdict_words(view.verdict)}: no other shim is called for.")
            else:
                size = "---" if advice.size is None else str(advice.size).removesuffix(" mm")
                lines += [advice.sentence, "G: enter the size that was fitted; then measure again."]
        return Big(f"{valve}  {size}"), plain_lines(lines), None

    def action_turned(self) -> None:
        """The adjuster has been turned as shown."""
        turn = self.view().turn
        if turn is None:
            self.say(
                "There is no turn to make: E enters one that was made all the same.", alarm=True
            )
            return
        self.do(TurnScrew(self._valve, turn.way, Fraction(degrees(turn.degrees))))

    def action_turned_otherwise(self) -> None:
        """Type the turn that was made instead."""

        def typed(text: str | None) -> None:
            if text:
                way, angle = turn_of(text)
                self.do(TurnScrew(self._valve, way, angle))

        self.app.push_screen(
            Ask(
                "Which way and how far was it turned?",
                hint="out 22, or in 0.25 turn",
                check=turn_of,
            ),
            typed,
        )

    def action_locked(self) -> None:
        """The locknut is tight: back to the bench for the reading that is now compulsory."""
        if self.do(LockNut(self._valve)):
            self.app.pop_screen()

    def action_fitted(self) -> None:
        """Type the size of the shim that was fitted."""

        def typed(text: str | None) -> None:
            if text:
                self.do(FitShim(self._valve, measure.length(text, bare_mm=True)))

        self.app.push_screen(
            Ask(
                f"The size of the shim at {self._valve} now",
                hint="2.80",
                check=lambda text: measure.length(text, bare_mm=True),
            ),
            typed,
        )


def plain_lines(lines: list[str]) -> Content:
    """Several lines of plain text."""
    return Content("\n").join(plain(line) for line in lines)


def _signed(turn: Turn) -> Fraction:
    return turn.degrees if turn.rotation is Rotation.CLOCKWISE else -turn.degrees


def _shift_words(view: ValveView) -> list[str]:
    if view.shift is None:
        return []
    return [f"Aimed off by {-view.shift.middle}: that much locking is known to take."]
