"""Sentences on a computer's clock that was wrong while a session was written."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from benchtui.domain.session.facts.events import Event
from benchtui.domain.session.whole.clock import SetBack, ahead_of, latest, set_back

_DAY = timedelta(days=1)
_HOUR = timedelta(hours=1)
_MINUTE = timedelta(minutes=1)


def clock_lines(events: Sequence[Event], now: datetime | None = None) -> tuple[str, ...]:
    """What is odd about the times of a session, a sentence each; ``now`` to see what is dated ahead."""
    lines = [set_back_words(one) for one in set_back(events)]
    if now is not None and events:
        lines.append(ahead_words(latest(events), now))
    return tuple(line for line in lines if line)


def ahead_words(latest: datetime | None, now: datetime) -> str:
    """That a session's latest time is still to come; empty where it is not."""
    if latest is None or not ahead_of(latest, now):
        return ""
    return (
        f"Dated {latest:%Y-%m-%d}, which is still to come: the computer's clock stood ahead then, or "
        "is behind now."
    )


def set_back_words(one: SetBack) -> str:
    """That the clock went back, and that the order stands all the same."""
    return (
        f"The computer's clock was set back by {_span(one.by)} before step {one.number}; the steps "
        "stand in the order they were taken."
    )


def _span(by: timedelta) -> str:
    for unit, name in ((_DAY, "day"), (_HOUR, "hour"), (_MINUTE, "minute")):
        if by >= unit:
            count = by // unit
            return f"{count} {name}{'s'[: count != 1]}"
    return f"{by.seconds} seconds"
