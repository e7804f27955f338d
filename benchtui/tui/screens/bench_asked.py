"""What the bench asks in a line: a blade by its size, which reading to strike, whose these are."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.commands import StrikeReading
from benchtui.domain.session.facts.events import ClearanceMeasured, ReadingsMoved, WholePlayRead
from benchtui.text.quantities.show import inert
from benchtui.text.reading.script import answer_of
from benchtui.text.words.stamped import blade_both, inch_set, typed_marks, typed_measure
from benchtui.tui.ask import Ask, Choose

if TYPE_CHECKING:
    from benchtui.tui.screens.bench import BenchScreen

_METRIC_HINT = "0.15, or 0.20+0.05, or 4 thou; measured 0.11"
_INCH_HINT = "0.010 (inches), or 0.008+0.002, or 0.25 mm"


def ask_blade(bench: BenchScreen, first: str = "") -> None:
    """Type the size of a blade, or a stack; ``first`` was typed already."""
    blades = bench.state.opened.blades
    inch = inch_set(blades)

    def read(text: str) -> object:
        measured = _after_measured(text)
        return typed_measure(measured, inch=inch) if measured else typed_marks(text, inch=inch)

    def typed(text: str | None) -> None:
        if text and _after_measured(text):
            _measured(bench, _after_measured(text), inch=inch)
        elif text:
            bench.take_up(blades.feeler(*typed_marks(text, inch=inch)), text)
            bench.refresh_view()

    def doubt(text: str) -> str:
        """A borrowed blade is taken, but a slip of the finger is mostly what it is."""
        if _after_measured(text):
            return ""
        odd = [m for m in typed_marks(text, inch=inch) if blades.leaf(m) is None]
        return f"{odd[0]} is not in {inert(blades.name)}: a borrowed blade?" if odd else ""

    hint = _INCH_HINT if inch else _METRIC_HINT
    asked = Ask("Which blade, or stack?", hint=hint, first=first, check=read, doubt=doubt)
    bench.app.push_screen(asked, typed)


def ask_measured(bench: BenchScreen) -> None:
    """Type the gap as a dial at the valve has it, or the strip that was measured."""
    inch = inch_set(bench.state.opened.blades)

    def typed(text: str | None) -> None:
        if text:
            _measured(bench, _after_measured(text) or text, inch=inch)

    question = f"How wide is the gap of {bench.valve}, measured by a dial at the valve, or a strip?"
    hint = "0.0045 (inches), or 0.0045 +-0.0005" if inch else "0.11, or 0.11 +-0.01 mm"
    check = partial(typed_measure, inch=inch)
    bench.app.push_screen(Ask(question, hint=hint, check=check), typed)


def _after_measured(text: str) -> str:
    word, _, figure = text.strip().partition(" ")
    return figure if word.lower() == "measured" else ""


def _measured(bench: BenchScreen, text: str, *, inch: bool) -> None:
    bench.take_measure(ClearanceMeasured(bench.valve, *typed_measure(text, inch=inch)))


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
    measure = bench.state.valves[valve].current.measure
    if not taken and measure is None:
        bench.say(f"{valve} has no reading to strike.", alarm=True)
        return
    inch = inch_set(bench.state.opened.blades)
    answers = {
        str(n): f"{'whole free play, ' * whole}{blade_both(r.feeler, inch=inch)} {r.answer.value}"
        for n, (r, whole) in enumerate(taken[:8], start=1)
    }
    if measure is not None:
        answers["measured"] = str(measure.measured)

    def chosen(key: str | None) -> None:
        if key == "measured":
            bench.do(StrikeReading(valve, measured=True))
        elif key is not None:
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
