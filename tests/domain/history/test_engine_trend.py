"""What the stored sessions say about the next check."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.history.engine_trend import courses, meter_of, outlook, real
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.wear import Trend
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import (
    Adjuster,
    AdjusterKind,
    Band,
    Clearances,
    Cylinder,
    GapRole,
    Interval,
    Layout,
    Sheet,
    Valve,
    ValveKind,
)

BAND = Band(Length.um(60), Length.um(100))
INLET = Valve("1I", "1", ValveKind.INLET)
SHEET = Sheet(
    "pump",
    "Quay pump",
    Layout((Cylinder("1", Fraction(0), (INLET,)),)),
    Clearances(((ValveKind.INLET, GapRole.OPENER, BAND),)),
    Adjuster(AdjusterKind.SCREW),
    interval=Interval(months=6, distance_km=Fraction(5000)),
)
Um = tuple[int, int]


def gauged(um: Um | None) -> Gauged | None:
    if um is None:
        return None
    bracket = Bracket(Length.um(um[0]), Length.um(um[1]))
    return Gauged(bracket, Verdict(VerdictKind.IN, ""))


def record(
    on: date,
    km: int | None,
    found: Um | None,
    left: Um | None = None,
    *,
    hours: int | None = None,
    complete: bool = True,
) -> SessionRecord:
    at = datetime(on.year, on.month, on.day, 9, tzinfo=UTC)
    valve = ValveRecord(
        name="1I",
        kind=ValveKind.INLET,
        setting=BAND,
        owners_band=False,
        found=gauged(found),
        left=gauged(left if left is not None else found),
        touched=left is not None,
        turned=Fraction(0),
        locked=True,
        read_after=True,
        struck=(),
    )
    return SessionRecord(
        session=f"{on}-{km}",
        engine="pump",
        engine_name="Quay pump",
        started=at,
        ended=at,
        who="",
        blades="fine",
        odometer_km=None if km is None else Fraction(km),
        hours=None if hours is None else Fraction(hours),
        metal_c=None,
        closed=True,
        complete=complete,
        practice=False,
        missing=(),
        valves=(valve,),
        shifts=(),
        notes=(),
    )


CLOSING = [
    record(date(2025, 1, 1), 10000, (90, 100)),
    record(date(2025, 7, 1), 11000, (80, 90)),
    record(date(2026, 1, 1), 12000, (70, 80)),
]


def test_wear_brings_the_date_forward_and_says_why() -> None:
    """The steepest line goes from 0.100 at 10 000 to 0.070 at 12 000 km: 0.060 at 12 667 km."""
    due = outlook(SHEET, CLOSING, date(2026, 2, 1))
    assert due is not None
    assert due.at_km == 12000 + Fraction(2000, 3)
    assert due.reason == "1I is closing up and may reach its lower limit"
    assert due.date is not None
    assert due.date < date(2026, 7, 1)  # what six months alone would say
    assert due.foretold


def test_a_steady_valve_leaves_the_sheet_its_say() -> None:
    steady = [replace(r, valves=CLOSING[0].valves) for r in CLOSING]
    due = outlook(SHEET, steady, date(2026, 2, 1))
    assert due is not None
    assert due.date == date(2026, 7, 1)
    assert due.at_km == 17000


def test_the_order_of_the_sessions_does_not_matter() -> None:
    assert outlook(SHEET, CLOSING[::-1], date(2026, 2, 1)) == outlook(
        SHEET, CLOSING, date(2026, 2, 1)
    )


def test_a_bracket_that_reaches_the_limit_is_a_note_and_no_date() -> None:
    reached = [*CLOSING[:2], record(date(2026, 1, 1), 12000, (60, 70))]
    due = outlook(SHEET, reached, date(2026, 2, 1))
    assert due is not None
    assert due.date == date(2026, 7, 1)
    assert due.at_km == 17000
    assert "1I is closing up and its bracket reaches the limit: gauge it finer." in due.notes


def test_practice_counts_for_nothing_and_partial_ones_for_the_odometer_only() -> None:
    practice = replace(record(date(2026, 3, 1), 99000, (90, 100)), practice=True)
    partial = record(date(2026, 3, 2), 12500, (60, 61), complete=False)
    due = outlook(SHEET, [*CLOSING, practice, partial], date(2026, 3, 3))
    without = outlook(SHEET, CLOSING, date(2026, 3, 3))
    assert due is not None
    assert without is not None
    assert real([practice, partial]) == [partial]
    assert due.at_km == without.at_km
    assert due.date != without.date  # 500 km in two months foretell another day than before


def test_a_setting_begins_a_new_run() -> None:
    reset = record(date(2026, 1, 1), 12000, (70, 80), left=(90, 100))
    (course,) = courses([*CLOSING[:2], reset], Meter.KM)
    assert [len(run.run.seen) for run in course.runs] == [3, 1]
    assert course.runs[0].trend is Trend.CLOSING
    assert course.last.carried  # one bracket shows no drift, so the old one is carried on
    assert course.last.trend is Trend.TOO_FEW


def test_a_replaced_odometer_joins_up() -> None:
    """3000 km on the new one after 10 000 on the old: x goes on from where it was."""
    checks = [
        record(date(2025, 1, 1), 10000, (90, 100)),
        record(date(2025, 7, 1), 0, (80, 90)),
        record(date(2026, 1, 1), 3000, (70, 80)),
    ]
    (course,) = courses(checks, Meter.KM)
    assert [s.x for s in course.last.run.seen] == [0, 0, 3000]


def test_an_engine_with_an_hour_meter_only_is_counted_in_hours() -> None:
    hourly = [
        record(date(2025, m, 1), None, found, hours=h)
        for m, h, found in ((1, 100, (90, 100)), (5, 200, (80, 90)), (9, 300, (70, 80)))
    ]
    assert meter_of(hourly) is Meter.HOURS
    sheet = replace(SHEET, interval=Interval(hours=Fraction(500)))
    due = outlook(sheet, hourly, date(2025, 10, 1))
    assert due is not None
    assert due.at_hours == 300 + Fraction(200, 3)


@pytest.mark.parametrize("records", [[], [record(date(2026, 1, 1), None, None)]])
def test_too_little_is_told_as_too_little(records: list[SessionRecord]) -> None:
    assert meter_of(records) is None
    due = outlook(SHEET, records, date(2026, 2, 1))
    assert due is not None
    assert due.notes
    assert outlook(replace(SHEET, interval=None), records, date(2026, 2, 1)) is None


def test_a_contradiction_is_no_bracket_to_draw_a_line_through() -> None:
    clash = record(date(2025, 10, 1), 11500, (90, 80))
    (course,) = courses([*CLOSING, clash], Meter.KM)
    assert len(course.last.run.seen) == 3
