from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from benchtui.domain.session.facts.events import (
    Closed,
    Corrected,
    Event,
    Noted,
    SetAside,
    StepUndone,
)
from benchtui.text.words.clock_words import clock_lines

AT = datetime(2026, 5, 4, 9, tzinfo=UTC)


def noted(*hours: float) -> list[Event]:
    return [Event(n, AT + timedelta(hours=h), Noted("x")) for n, h in enumerate(hours, start=1)]


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ((0, 1, 2), ()),
        ((0, 1, 0.99), ()),
        ((0, 2, 0), ("2 hours before step 3",)),
        ((0, 1.5, 1, 24, 23), ("30 minutes before step 3", "1 hour before step 5")),
        ((24 * 365, 0), ("365 days before step 2",)),
    ],
)
def test_a_clock_set_back_is_said_with_how_far_and_where(
    hours: tuple[float, ...], said: tuple[str, ...]
) -> None:
    lines = clock_lines(noted(*hours))
    assert len(lines) == len(said)
    for line, words in zip(lines, said, strict=True):
        assert words in line
        assert "in the order they were taken" in line


def test_another_zone_is_no_clock_set_back() -> None:
    west = [e.at.astimezone() for e in noted(0, 1)]
    assert clock_lines([Event(n, at, Noted("x")) for n, at in enumerate(west, start=1)]) == ()


def test_a_check_dated_years_ahead_is_said() -> None:
    events = noted(0, 1)
    assert clock_lines(events, AT) == ()
    (line,) = clock_lines(events, AT - timedelta(days=36 * 365))
    assert line.startswith("Dated 2026-05-04, which is still to come")


def test_what_is_put_right_later_under_another_day_is_no_jump_of_the_clock() -> None:
    closed = Event(3, AT + timedelta(hours=1), Closed(complete=True))
    in_2062 = [replace(e, at=e.at.replace(year=2062)) for e in (*noted(0, 1), closed)]
    right = Event(4, AT, Corrected("the year", day=date(2026, 5, 4)))
    assert clock_lines([*in_2062, right], AT) == ()
    (line,) = clock_lines([*in_2062, right, Event(5, AT, StepUndone(4))], AT)
    assert line.startswith("Dated 2062-05-04, which is still to come")
    assert clock_lines([*in_2062[:2], Event(3, AT, SetAside("another engine"))]) == ()
