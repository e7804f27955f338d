"""A calendar of due dates, written by hand to RFC 5545.

All-day events on computed days and no recurrence rule: "every month on the 31st" would skip the
months that have none, and the next date depends on the next check anyway.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256

from benchtui.text.quantities.show import inert

LINE_OCTETS = 75
"""The longest line, without its line break (RFC 5545, section 3.1)."""

_ADVICE = "The manufacturer's manual and local rules outrank this date."


@dataclass(frozen=True, slots=True)
class DueDay:
    """A check that is due: ``engine`` is the sheet's key, ``says`` the sentence about it."""

    engine: str
    name: str
    day: date
    says: str


def calendar(days: Iterable[DueDay], stamp: datetime) -> str:
    """The calendar, with CRLF line ends; ``stamp`` is when it was made, with its time zone.

    The same engine has the same UID each time, so that a later file moves its event.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//benchtui//valve clearance checks//EN"]
    for due in days:
        lines += _event(due, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in _folded(line))


def _event(due: DueDay, stamp: datetime) -> Iterator[str]:
    mark = sha256(f"{due.engine}\n{due.name}".encode()).hexdigest()[:16]
    yield "BEGIN:VEVENT"
    yield f"UID:due-{mark}@benchtui"
    yield f"DTSTAMP:{stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield f"DTSTART;VALUE=DATE:{_day(due.day)}"
    if due.day < date.max:
        yield f"DTEND;VALUE=DATE:{_day(due.day + timedelta(days=1))}"
    yield f"SUMMARY:{_text(f'Valve clearances: {due.name}')}"
    yield f"DESCRIPTION:{_text(f'{due.says} {_ADVICE}')}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _day(day: date) -> str:
    # strftime pads no year before 1000 on some platforms.
    return day.isoformat().replace("-", "")


def _text(value: str) -> str:
    """A TEXT value (section 3.3.11); control characters are shown, never sent."""
    shown = inert(value)
    for char in ("\\", ";", ","):
        shown = shown.replace(char, f"\\{char}")
    return shown


def _folded(line: str) -> Iterator[str]:
    """The line in pieces of at most 75 octets, no character cut; each but the first is indented."""
    piece, size = "", 0
    for char in line:
        octets = len(char.encode())
        if size + octets > LINE_OCTETS:
            yield piece
            piece, size = " ", 1
        piece, size = piece + char, size + octets
    yield piece
