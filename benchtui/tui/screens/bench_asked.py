"""What the bench asks in a line: a blade by its size, which reading to strike, whose these are."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.commands import StrikeReading
from benchtui.domain.session.facts.events import ReadingsMoved, WholePlayRead
from benchtui.text.reading.script import answer_of
from benchtui.text.words.stamped import blade_both, inch_set, typed_marks
from benchtui.tui.ask import Ask, Choose

if TYPE_CHECKING:
    from benchtui.tui.screens.bench import BenchScreen

_METRIC_HINT = "0.15, or 0.20+0.05, or 4 thou"


def ask_blade(bench: BenchScreen, first: str = "") -> None:
    """Type the size of a blade, or a stack; ``first`` was typed already."""
    blades = bench.state.opened.blades
    inch = inch_set(blades)

    def typed(text: str | None) -> None:
        if text:
            bench.take_up(blades.feeler(*typed_marks(text, inch=inch)), text)
            bench.refresh_view()

    hint = "0.010 (inches), or 0.008+0.002, or 0.25 mm" if inch else _METRIC_HINT
    check = partial(typed_marks, inch=inch)
    bench.app.push_screen(Ask("Which blade, or stack?", hint=hint, first=first, check=check), typed)


def ask_whole_play(bench: BenchScreen) -> None:
    """A blade tried in the whole free play of a valve with two gaps."""

    def typed(text: str | None) -> None:
        if text:
            marks, answer, forced = answer_of(text)
            feeler = bench.state.opened.blades.feeler(*marks)
            bench.do(WholePlayRead(bench.valve, feeler, answer, forced))

    question = "The whole free play, opener's and closer's gap in one: which blade?"
    bench.app.push_screen(Ask(question, hint="0.20 free, or 0.25 refuses", check=answer_of), typed)


def ask_strike(bench: BenchScreen) -> None:
    """Strike one of this valve's readings out."""
    valve = bench.valve
    taken = [(t.reading, False) for t in reversed(bench.bench.look(valve).readings)]
    taken += [(t.reading, True) for t in reversed(whole_play(bench.state, valve))]
    if not taken:
        bench.say(f"{valve} has no reading to strike.", alarm=True)
        return
    inch = inch_set(bench.state.opened.blades)
    answers = {
        str(n): f"{'whole free play, ' * whole}{blade_both(r.feeler, inch=inch)} {r.answer.value}"
        for n, (r, whole) in enumerate(taken[:9], start=1)
    }

    def chosen(key: str | None) -> None:
        if key is not None:
            reading, whole = taken[int(key) - 1]
            bench.do(StrikeReading(valve, reading.feeler, whole))

    bench.app.push_screen(Choose(f"Strike which reading of {valve}?", answers), chosen)


def ask_move(bench: BenchScreen) -> None:
    """These readings belong to another valve."""
    valve = bench.valve
    others = [n for n in bench.state.valves if n != valve]

    def named(text: str | None) -> None:
        if text and bench.do(ReadingsMoved(valve, _as_named(text, others))):
            bench.go(_as_named(text, others))

    question = f"The readings of {valve} belong to which valve?"
    bench.app.push_screen(Ask(question, hint=", ".join(others)), named)


def _as_named(text: str, names: list[str]) -> str:
    """The valve meant, whatever case it was typed in."""
    wanted = text.strip()
    return next((n for n in names if n.lower() == wanted.lower()), wanted)
