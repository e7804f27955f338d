"""The bench: which valve, which blade, what it said, and what that makes of the clearance."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.session.facts.commands import TakeReading
from benchtui.tui.keys import BENCH, bindings_for
from benchtui.tui.screens.bench_asked import AskedBench
from benchtui.tui.widgets.valve_map import ValveMapPicture


class BenchScreen(AskedBench):
    """The keys of the bench."""

    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(BENCH)

    # Answers

    def take_answer(self, answer: Answer) -> None:
        """What the blade in hand said."""
        feeler = self.in_hand()
        if feeler is None:
            self.say("No blade is in hand: up and down choose one, B types its size.", alarm=True)
            self.app.bell()
            return
        self.take_up(None)
        self.do(TakeReading(self._valve, feeler, answer))

    def action_refuses(self) -> None:
        """The blade does not go."""
        self.take_answer(Answer.REFUSES)

    def action_drag(self) -> None:
        """It goes and drags."""
        self.take_answer(Answer.DRAG)

    def action_free(self) -> None:
        """It goes freely."""
        self.take_answer(Answer.FREE)

    def on_click(self, event: object) -> None:
        """A click on one of the three answers."""
        widget = getattr(event, "widget", None)
        name = "" if widget is None or widget.id is None else str(widget.id)
        if name.startswith("answer-"):
            self.take_answer(Answer(name.removeprefix("answer-")))

    # Which valve

    def action_next_valve(self) -> None:
        """On to the next valve that wants something, by way of the crank where that must turn."""
        from benchtui.tui.screens.closing import ClosingScreen
        from benchtui.tui.screens.crank import CrankScreen

        valve = self.first_wanting(self._valve)
        self._go(valve)
        place = self.state.place
        if self.bench.look(valve).done:
            self.app.push_screen(ClosingScreen())
        elif place is None or valve not in place.confirmed.valves:
            self.app.push_screen(CrankScreen())

    def _step(self, by: int) -> None:
        names = list(self.state.valves)
        self._go(names[(names.index(self._valve) + by) % len(names)])

    def action_valve_before(self) -> None:
        """The valve before."""
        self._step(-1)

    def action_valve_after(self) -> None:
        """The valve after."""
        self._step(1)

    def on_valve_map_picture_chosen(self, message: ValveMapPicture.Chosen) -> None:
        """A click on the map."""
        self._go(message.valve)

    # Which blade

    def _shift_blade(self, by: int) -> None:
        singles = list(self.state.opened.blades.singles())
        now = self.in_hand()
        sizes = [f.nominal for f in singles]
        if now is None:
            at = len(singles) // 2
        elif by > 0:
            at = next((i for i, s in enumerate(sizes) if s > now.nominal), len(sizes) - 1)
        else:
            at = next((i for i in reversed(range(len(sizes))) if sizes[i] < now.nominal), 0)
        self.take_up(singles[at])
        self.refresh_view()

    def action_thicker(self) -> None:
        """The next thicker leaf instead."""
        self._shift_blade(1)

    def action_thinner(self) -> None:
        """The next thinner leaf instead."""
        self._shift_blade(-1)

    # Elsewhere

    def action_set_valve(self) -> None:
        """Turn the adjuster of this valve."""
        from benchtui.tui.screens.setting import SettingScreen

        self.app.push_screen(SettingScreen(self._valve))

    def action_position(self) -> None:
        """Confirm or doubt the crank position."""
        from benchtui.tui.screens.crank import CrankScreen

        self.app.push_screen(CrankScreen())

    def action_close_up(self) -> None:
        """Enough for today."""
        from benchtui.tui.screens.closing import ClosingScreen

        self.app.push_screen(ClosingScreen())

    def action_flip_map(self) -> None:
        """Look at the head from the other side."""
        self.program.flipped = not self.program.flipped
        self.refresh_view()

    def action_leave(self) -> None:
        """Back to the engines; the session stays open on disk."""
        self.app.pop_screen()
        self.program.let_go()
