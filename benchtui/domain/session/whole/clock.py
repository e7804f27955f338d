"""What a session's times say of the computer's clock; the order of its steps never goes by them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from benchtui.domain.session.facts.events import Event

STEADY = timedelta(minutes=1)
"""A clock that is put right by the network may go back by less (design value)."""

AHEAD = timedelta(days=1)
"""So far before now, a session was dated by a clock that stood ahead (design value)."""


@dataclass(frozen=True, slots=True)
class SetBack:
    """Event ``number`` was written ``by`` earlier than the one before it, as the clock told it."""

    number: int
    by: timedelta


def set_back(events: Sequence[Event]) -> tuple[SetBack, ...]:
    """Every place where the clock went back between two steps."""
    found = ((later.number, one.at - later.at) for one, later in pairwise(events))
    return tuple(SetBack(number, by) for number, by in found if by > STEADY)


def ahead_of(latest: datetime, now: datetime) -> bool:
    """Whether a session's latest time is still to come."""
    return latest - now > AHEAD
