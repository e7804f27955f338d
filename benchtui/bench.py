"""The bench: all that a screen, a replay or a simulation ever gets to work with."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Protocol, Self

from benchtui.domain.session.facts.commands import Command
from benchtui.domain.session.facts.events import Event, Fact, Opened, StepUndone
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.decide import check_opening, decide
from benchtui.domain.session.steps.fold import apply, fold
from benchtui.domain.session.valve.assessment import ValveView, look


class KeepsEvents(Protocol):
    """Where the bench puts its events; see ``benchtui.store.journal``."""

    def append(self, event: Event) -> None:
        """Keep the event for good, or raise ``NotKept`` and be ready to be asked again."""


class Bench:
    """One session at work.

    Every step is decided, put on disk, and only then applied: what the state shows is on disk.
    """

    def __init__(
        self, journal: KeepsEvents, clock: Callable[[], datetime], events: Iterable[Event]
    ) -> None:
        self._journal = journal
        self._clock = clock
        self._events = list(events)
        self._state = fold(self._events)

    @classmethod
    def open(cls, journal: KeepsEvents, clock: Callable[[], datetime], opened: Opened) -> Self:
        """Begin a session.

        Raises:
            Refusal: this engine cannot be measured.
            NotKept: the opening could not be written.
        """
        check_opening(opened)
        event = Event(1, clock(), opened)
        journal.append(event)
        return cls(journal, clock, [event])

    def with_events(self, events: Iterable[Event]) -> Self:
        """The same session after what another program has recorded in it."""
        return type(self)(self._journal, self._clock, events)

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self._state

    @property
    def events(self) -> tuple[Event, ...]:
        """Everything recorded, what was undone and struck included."""
        return tuple(self._events)

    def do(self, command: Command) -> State:
        """Take one step.

        Raises:
            Refusal: the step may not be taken; nothing has changed.
            NotKept: it could not be put on disk, so nothing has changed; the next call tries again.
        """
        fact = decide(self._state, command)
        return self._record(fact)

    def look(self, valve: str) -> ValveView:
        """One valve as it stands."""
        return look(self._state, valve)

    def _record(self, fact: Fact) -> State:
        event = Event(self._state.number + 1, self._clock(), fact)
        self._journal.append(event)
        self._events.append(event)
        undoes = isinstance(fact, StepUndone)
        self._state = fold(self._events) if undoes else apply(self._state, event)
        return self._state
