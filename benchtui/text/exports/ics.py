"""A calendar of due dates (RFC 5545), written by the icalendar library.

All-day events on computed days and no recurrence rule: "every month on the 31st" would skip the
months that have none, and the next date depends on the next check anyway.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from benchtui.text.quantities.show import inert

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//benchtui//valve clearance checks//EN"
"""By which a calendar file is known for one of ours."""

BEFORE, AT = timedelta(days=7), timedelta(hours=9)
"""The alarm sounds at nine in the morning a week before; on the day itself where that is past."""

_ADVICE = "The manufacturer's manual and local rules outrank this date."


@dataclass(frozen=True, slots=True)
class DueDay:
    """A check that is due: ``engine`` is the sheet's key, ``says`` the sentence about it."""

    engine: str
    name: str
    day: date
    says: str


def calendar(days: Iterable[DueDay], stamp: datetime) -> bytes:
    """The calendar; ``stamp`` is when it was made, with its time zone.

    The same engine has the same UID each time, so that a later file moves its event. What is past
    stands on the day of the stamp: an event in the past warns nobody.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("version", "2.0")
    made.add("prodid", PRODUCT)
    for due in days:
        made.add_component(_event(due, stamp))
    whole: bytes = made.to_ical()
    return whole


def is_ours(content: bytes) -> bool:
    """Whether a file is such a calendar, and may be replaced by a later one."""
    head = content[:500]
    return head.startswith(b"BEGIN:VCALENDAR") and f"PRODID:{PRODUCT}\r\n".encode() in head


def _event(due: DueDay, stamp: datetime) -> Event:
    from icalendar import Alarm, Event

    day = max(due.day, stamp.date())
    shown = inert(due.name)
    event, alarm = Event(), Alarm()
    mark = sha256(f"{due.engine}\n{due.name}".encode()).hexdigest()[:16]
    event.add("uid", f"due-{mark}@benchtui")
    event.add("dtstamp", stamp.astimezone(UTC))
    event.add("dtstart", day)
    if day < date.max:
        event.add("dtend", day + timedelta(days=1))
    event.add("summary", f"Valve clearances: {shown}")
    event.add("description", f"{inert(due.says)} {_ADVICE}")
    event.add("transp", "TRANSPARENT")
    alarm.add("action", "DISPLAY")
    alarm.add("description", f"Valve clearances: {shown}")
    alarm.add("trigger", AT - BEFORE if day - stamp.date() > BEFORE else AT)
    event.add_component(alarm)
    return event
