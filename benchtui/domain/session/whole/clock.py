"""What a session's times say of the computer's clock; the order of its steps never goes by them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from benchtui.domain.session.facts.events import Closed, Corrected, Event, SetAside, StepUndone

STEADY = timedelta(minutes=1)
"""A clock that is put right by the network may go back by less (design value)."""

AHEAD = timedelta(days=1)
"""So far before now, a session was dated by a clock that stood ahead (design value)."""


@dataclass(frozen=True, slots=True)
class SetBack:
    """Event ``number`` was written ``by`` earlier than the one before it, as the clock told it."""

    number: int
    by: timedelta


def at_the_engine(events: Sequence[Event]) -> Sequence[Event]:
    """The steps without what was put right after the end, maybe years later and under another day."""
    for k, event in enumerate(events):
        if isinstance(event.fact, Closed):
            return events[: k + 1]
        if isinstance(event.fact, SetAside):
            return events[:k]
    return events


def latest(events: Sequence[Event]) -> datetime:
    """The latest time of any step, those at the engine on the day that they are put right to."""
    steps = at_the_engine(events)
    undone = {e.fact.number for e in events if isinstance(e.fact, StepUndone)}
    days = [
        e.fact.day
        for e in events[len(steps) :]
        if isinstance(e.fact, Corrected) and e.fact.day is not None and e.number not in undone
    ]
    by = days[-1] - events[0].at.date() if days else timedelta(0)
    return max([*(e.at + by for e in steps), *(e.at for e in events[len(steps) :])])


def set_back(events: Sequence[Event]) -> tuple[SetBack, ...]:
    """Every place where the clock went back between two steps at the engine."""
    steps = pairwise(at_the_engine(events))
    found = ((later.number, one.at - later.at) for one, later in steps)
    return tuple(SetBack(number, by) for number, by in found if by > STEADY)


def ahead_of(latest: datetime, now: datetime) -> bool:
    """Whether a session's latest time is still to come."""
    return latest - now > AHEAD
