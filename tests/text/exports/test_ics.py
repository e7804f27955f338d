"""The calendar, read back by the library that wrote it, and line by line as RFC 5545 has it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from benchtui.text.exports.ics import DueDay, calendar, is_ours
from benchtui.text.quantities.show import inert

STAMP = datetime(2026, 5, 1, 11, 0, tzinfo=timezone(timedelta(hours=2)))


def due(**changes: object) -> DueDay:
    fields: dict[str, object] = {
        "engine": "quay-pump",
        "name": "Quay pump",
        "day": date(2026, 8, 31),
        "says": "Due 2026-08-31 (6 months after the last check).",
    }
    return DueDay(**{**fields, **changes})  # type: ignore[arg-type]  # fields of the right types


def test_one_engine_is_one_all_day_event_on_the_computed_day() -> None:
    read = Calendar.from_ical(calendar([due()], STAMP))
    (event,) = read.walk("VEVENT")
    assert event.decoded("DTSTART") == date(2026, 8, 31)
    assert event.decoded("DTEND") == date(2026, 9, 1)
    assert event.decoded("DTSTAMP") == datetime(2026, 5, 1, 9, 0, tzinfo=UTC)
    assert str(event["SUMMARY"]) == "Valve clearances: Quay pump"
    assert "6 months after" in str(event["DESCRIPTION"])
    assert "manual and local rules outrank" in str(event["DESCRIPTION"])
    assert "RRULE" not in event
    assert read["VERSION"] == "2.0"
    assert read["PRODID"]


def test_the_oracle_finds_no_fault_and_two_engines_have_two_uids() -> None:
    read = Calendar.from_ical(calendar([due(), due(engine="slip-winch")], STAMP))
    events = read.walk("VEVENT")
    assert all(not e.errors for e in [read, *events])
    assert len({str(e["UID"]) for e in events}) == 2


def test_the_same_engine_keeps_its_uid() -> None:
    first, later = (
        Calendar.from_ical(calendar([due(day=day)], STAMP)).walk("VEVENT")[0]
        for day in (date(2026, 8, 31), date(2027, 2, 28))
    )
    assert first["UID"] == later["UID"]


def lines_of(content: bytes) -> list[str]:
    """The content lines, unfolded by hand: RFC 5545, section 3.1."""
    return content.replace(b"\r\n ", b"").decode().split("\r\n")[:-1]


def test_the_lines_are_those_of_the_standard() -> None:
    """RFC 5545, sections 3.6.1 and 3.6.6: an all-day event with a displayed alarm; by hand."""
    lines = lines_of(calendar([due()], STAMP))
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    assert "DTSTART;VALUE=DATE:20260831" in lines
    assert "DTEND;VALUE=DATE:20260901" in lines
    assert "DTSTAMP:20260501T090000Z" in lines
    assert "TRANSP:TRANSPARENT" in lines
    alarm = lines[lines.index("BEGIN:VALARM") : lines.index("END:VALARM")]
    assert "ACTION:DISPLAY" in alarm
    assert "TRIGGER:-P6DT15H" in alarm  # nine in the morning, seven days before midnight of the day


def test_what_is_past_or_near_stands_on_a_day_that_can_still_warn() -> None:
    for day, stands, trigger in (
        (date(2025, 1, 1), "20260501", "TRIGGER:PT9H"),
        (date(2026, 5, 4), "20260504", "TRIGGER:PT9H"),
    ):
        lines = lines_of(calendar([due(day=day)], STAMP))
        assert f"DTSTART;VALUE=DATE:{stands}" in lines
        assert trigger in lines


def test_it_knows_its_own_files() -> None:
    assert is_ours(calendar([due()], STAMP))
    assert not is_ours(b"BEGIN:VCALENDAR\r\nPRODID:-//somebody//EN\r\nEND:VCALENDAR\r\n")
    assert not is_ours(b"")


def test_lines_end_in_crlf_and_fold_at_75_octets() -> None:
    """RFC 5545, section 3.1."""
    content = calendar([due(name="Hafenb\u00e4r " * 20 + "\U0001f6a2" * 30)], STAMP)
    assert content.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    lines = content.split(b"\r\n")[:-1]
    assert max(len(line) for line in lines) <= 75
    assert any(line.startswith(b" ") for line in lines)


TEXTS = st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=120)


@given(TEXTS, TEXTS, st.dates(min_value=date(1, 1, 2)))
def test_any_name_and_sentence_comes_back_as_shown(name: str, says: str, day: date) -> None:
    content = calendar([due(name=name, says=says, day=day)], STAMP)
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    (event,) = Calendar.from_ical(content).walk("VEVENT")
    assert str(event["SUMMARY"]) == f"Valve clearances: {inert(name)}"
    assert str(event["DESCRIPTION"]).startswith(inert(says))
    assert event.decoded("DTSTART") == max(day, STAMP.date())


@pytest.mark.parametrize("name", [r"C:\new", r"a\\nb", r"a\,b", "a;b", "a,b:c", '"q"', "\\"])
def test_what_the_format_reserves_comes_back(name: str) -> None:
    """RFC 5545, section 3.3.11."""
    (event,) = Calendar.from_ical(calendar([due(name=name)], STAMP)).walk("VEVENT")
    assert str(event["SUMMARY"]) == f"Valve clearances: {name}"


@pytest.mark.parametrize("name", ["x\r\nBEGIN:VEVENT", "x\nATTACH:file", "x;ALTREP=y:z\r\n\r\n"])
def test_a_name_cannot_bring_its_own_lines(name: str) -> None:
    read = Calendar.from_ical(calendar([due(name=name)], STAMP))
    (event,) = read.walk("VEVENT")
    assert set(event) == {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "TRANSP"}
