"""What the bench asks in a line: a blade by its size, which reading to strike, whose these are."""

from __future__ import annotations

from functools import partial

from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.commands import (
    MoveReadings,
    ReadWholePlay,
    StrikeReading,
)
from benchtui.text.reading.script import answer_of
from benchtui.text.words.stamped import blade_both, inch_set, typed_marks
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.screens.bench_shown import ShownBench
from benchtui.tui.screens.circumstances import ask_circumstances

_METRIC_HINT = "0.15, or 0.20+0.05, or 4 thou"


class AskedBench(ShownBench):
    """The questions of the bench."""

    def action_borrowed(self) -> None:
        """Type the size of a blade, or a stack."""
        blades = self.state.opened.blades
        inch = inch_set(blades)

        def typed(text: str | None) -> None:
            if text:
                self.take_up(blades.feeler(*typed_marks(text, inch=inch)), text)
                self.refresh_view()

        hint = "0.010 (inches), or 0.008+0.002, or 0.25 mm" if inch else _METRIC_HINT
        check = partial(typed_marks, inch=inch)
        self.app.push_screen(Ask("Which blade, or stack?", hint=hint, check=check), typed)

    def action_whole_play(self) -> None:
        """A blade tried in the whole free play of a valve with two gaps."""

        def typed(text: str | None) -> None:
            if text:
                marks, answer, forced = answer_of(text)
                feeler = self.state.opened.blades.feeler(*marks)
                self.do(ReadWholePlay(self._valve, feeler, answer, forced))

        question = "The whole free play, opener's and closer's gap in one: which blade?"
        self.app.push_screen(
            Ask(question, hint="0.20 free, or 0.25 refuses", check=answer_of), typed
        )

    def action_strike(self) -> None:
        """Strike one of this valve's readings out."""
        taken = [(t.reading, False) for t in reversed(self.bench.look(self._valve).readings)]
        taken += [(t.reading, True) for t in reversed(whole_play(self.state, self._valve))]
        if not taken:
            self.say(f"{self._valve} has no reading to strike.", alarm=True)
            return
        inch = inch_set(self.state.opened.blades)
        answers = {
            str(
                n
            ): f"{'whole free play, ' * whole}{blade_both(r.feeler, inch=inch)} {r.answer.value}"
            for n, (r, whole) in enumerate(taken[:9], start=1)
        }

        def chosen(key: str | None) -> None:
            if key is not None:
                reading, whole = taken[int(key) - 1]
                self.do(StrikeReading(self._valve, reading.feeler, whole))

        self.app.push_screen(Choose(f"Strike which reading of {self._valve}?", answers), chosen)

    def action_move_readings(self) -> None:
        """These readings belong to another valve."""
        others = [n for n in self.state.valves if n != self._valve]

        def named(text: str | None) -> None:
            if text and self.do(MoveReadings(self._valve, _as_named(text, others))):
                self._go(_as_named(text, others))

        self.app.push_screen(
            Ask(f"The readings of {self._valve} belong to which valve?", hint=", ".join(others)),
            named,
        )

    def action_circumstances(self) -> None:
        """Temperature, odometer, hours, who, or the owner's band."""
        ask_circumstances(self)


def _as_named(text: str, names: list[str]) -> str:
    """The valve meant, whatever case it was typed in."""
    wanted = text.strip()
    return next((n for n in names if n.lower() == wanted.lower()), wanted)
