"""Leaving the bench for today: what is offered, in its order; the first is what is usually wanted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.completeness import anything_done, missing


class Leave(Enum):
    """A way of leaving, or of not leaving."""

    LOCK = "lock"
    OPEN = "open"
    CLOSE = "close"
    DROP = "drop"
    STAY = "stay"


@dataclass(frozen=True, slots=True)
class Leaving:
    """What is so when the bench is left, and the ``ways``, the one that is taken by itself first."""

    slack: tuple[str, ...]
    missing: tuple[str, ...]
    ways: tuple[Leave, ...]


def on_leaving(state: State) -> Leaving:
    """What is so when the bench is left for today.

    A slack nut comes first: it is locked, or left so with open eyes. Else the check is left open, to
    go on with; one in which nothing was measured may be dropped.
    """
    slack = slack_nuts(state)
    empty = not (state.opened.practice or anything_done(state))
    drop = (Leave.DROP,) if empty else ()
    ways = (Leave.OPEN, Leave.CLOSE, *drop, Leave.STAY)
    return Leaving(slack, missing(state), (Leave.LOCK, Leave.CLOSE, Leave.OPEN) if slack else ways)
