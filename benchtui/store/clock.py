"""The time and the ids, handed into the bench so that everything under it stays repeatable."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

Clock = Callable[[], datetime]
"""Gives the present time, with a time zone."""


def wall_clock() -> datetime:
    """The present time in the local zone, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)


def clock_from(day: date) -> Clock:
    """A clock for a written-down session: that day from 9 o'clock, a second later at each call."""
    start = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    calls = iter(range(86_400))
    return lambda: start + timedelta(seconds=next(calls))


def new_session_id(engine: str, at: datetime) -> str:
    """An id that no other machine will make: time, engine, and 40 random bits."""
    return f"{at.astimezone(UTC):%Y%m%d-%H%M%S}-{engine}-{secrets.token_hex(5)}"
