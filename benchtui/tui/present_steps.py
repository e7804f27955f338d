"""A past session over again: the state after each event, and the event in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchtui.domain.session.facts.events import Event, ReadingStruck, StepUndone
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities.show import inert
from benchtui.text.words.event_words import event_lines, valve_of_fact
from benchtui.text.words.stamped import inch_set
from benchtui.tui.present import ruler, tried
from benchtui.tui.widgets.marks import STRUCK
from benchtui.tui.widgets.ruler import Ruler


class Steps:
    """The events of a session and the one that is shown.

    ``index`` counts from 1; one more than there are events shows the whole session.
    """

    def __init__(self, events: Sequence[Event]) -> None:
        self.events = tuple(events)
        self.words = event_lines(events)
        self._facts = {e.number: e.fact for e in events}
        self._dropped = frozenset(
            e.fact.number for e in events if isinstance(e.fact, StepUndone | ReadingStruck)
        )
        self.index = len(self.events) + 1
        self._show()

    def _show(self) -> None:
        self.state: State = fold(self.events[: self.index])
        self.record: SessionRecord = record_of(self.state)

    def go(self, index: int) -> None:
        """Show the state after the event of that index, cut off at both ends."""
        self.index = max(1, min(index, len(self.events) + 1))
        self._show()

    @property
    def stepping(self) -> bool:
        """Whether one step is shown, not the whole."""
        return self.index <= len(self.events)

    @property
    def valve(self) -> str | None:
        """The valve in hand: what the step is about, else the last one that was touched."""
        if self.stepping:
            about = valve_of_fact(self.events[self.index - 1].fact, self._facts)
            if about in self.state.valves:
                return about
        return self.state.last_valve

    @property
    def sheet(self) -> Sheet:
        """The sheet as it was frozen when the session began."""
        return self.state.opened.sheet

    def line(self, index: int) -> str:
        """``► 12  09:14  1E: 0.08 mm refuses``; a cross where it was struck or taken back later."""
        event = self.events[index - 1]
        here = "►" if index == self.index else " "
        cross = STRUCK if event.number in self._dropped else " "
        words = inert(self.words[index - 1])
        return f"{here}{index:>4}  {event.at:%H:%M} {cross}{words}"


def log_lines(steps: Steps, width: int, height: int) -> list[str]:
    """The step shown, in full, among its neighbours, cut off; a low screen shows fewer."""
    if not steps.stepping:
        return [
            f" {len(steps.events)} steps on record: Right begins at the first, Left at the last."
        ]
    around = 1 if height < _TALL else 4
    last = len(steps.events)
    first = max(1, min(steps.index - around, last - 2 * around))
    shown = range(first, min(last, first + 2 * around) + 1)
    lines = [steps.line(i) for i in shown]
    return [x if i == steps.index else x[:width] for i, x in zip(shown, lines, strict=True)]


_TALL = 34


def step_ruler(steps: Steps) -> Ruler | None:
    """The valve in hand on the ruler, struck readings among the rest."""
    name = steps.valve
    if name is None:
        return None
    view = look(steps.state, name)
    inch = inch_set(steps.state.opened.blades)
    drawn = ruler(view, None, inch=inch)
    struck = tuple(tried(t, inch=inch) for t in steps.state.valves[name].current.taken if t.struck)
    return replace(drawn, readings=drawn.readings + struck)


def ruler_unit(steps: Steps) -> str:
    """The unit of the ruler's figures."""
    return "in" if inch_set(steps.state.opened.blades) else "mm"
