"""What the stored sessions say about the next check."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest

from benchtui.domain.gauging.bracket import Answer, Bracket
from benchtui.domain.gauging.felt import Felt
from benchtui.domain.gauging.verdict import Verdict, VerdictKind, no_verdict
from benchtui.domain.history.course import courses, meter_of, real
from benchtui.domain.history.engine_trend import estimated_of, outlook, worn
from benchtui.domain.history.left_out import left_out, left_out_words
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.wear import ProvedTrend
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, Clearances, GapRole, Interval, ValveKind
from benchtui.text.words.due_words import due_sentence
from tests.engines import fired, printed, sheet

BAND = Band(Length.um(60), Length.um(100))
SHEET = replace(
    sheet("pump", fired({"1": 0}, "I"), printed(BAND)),
    name="Quay pump",
    interval=Interval(months=6, distance_km=Fraction(5000)),
)
Um = tuple[int, int]


def felt_by(um: Um | None) -> tuple[Felt, ...]:
    """The leaves that left this bracket, known exactly: the upper refuses, and the lower drags where it
    is so near that it cannot be free as well."""
    if um is None or um[0] > um[1]:
        return ()
    low, high = (Length.um(end) for end in um)
    goes = Answer.DRAG if um[1] - um[0] < 16 else Answer.FREE
    return Felt(low, low, low, goes), Felt(high, high, high, Answer.REFUSES)


def gauged(um: Um | None) -> Gauged | None:
    if um is None:
        return None
    ends = (Length.um(um[0]), Length.um(um[1]))
    bracket = Bracket(*ends, *ends)
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
        felt_found=felt_by(found),
        felt_left=felt_by(left if left is not None else found),
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


def test_wear_asks_for_a_look_where_the_limit_will_be_met() -> None:
    """The blades here have no error, so the gap was 90 to 100, 80 to 90, 70 to 80 um: it falls by 5 to
    15 um in 1 000 km, and from 70 to 80 um at 12 000 km meets 60 um 667 to 4 000 km on. The
    estimate lies within what is proved, but for the hand, which may read 4 um apart from day to day."""
    due = outlook(SHEET, CLOSING, date(2026, 2, 1))
    assert due is not None
    assert (due.date, due.at_km) == (date(2026, 7, 1), Fraction(17000)), "the interval's own"
    assert due.look is not None
    wear = due.look.wear
    assert wear.reason == "1I is closing up and may reach its lower limit"
    assert wear.estimated
    assert wear.last is not None
    assert 12000 <= wear.first < wear.last < 12000 + 5000
    assert due.look.first_on is not None
    assert due.look.last_on is not None
    assert date(2026, 1, 1) <= due.look.first_on < due.look.last_on


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
    assert due.look is not None
    assert due.look.wear.first == 12000, "from now on"


def test_practice_counts_for_nothing_and_partial_ones_for_wear_but_not_as_a_check() -> None:
    practice = replace(record(date(2026, 3, 1), 99000, (90, 100)), practice=True)
    partial = record(date(2026, 3, 2), 12500, (69, 70), complete=False)
    due = outlook(SHEET, [*CLOSING, practice, partial], date(2026, 3, 3))
    without = outlook(SHEET, CLOSING, date(2026, 3, 3))
    assert due is not None
    assert without is not None
    assert real([practice, partial]) == [partial]
    assert (due.at_km, due.date) == (without.at_km, without.date), "the interval runs on"
    assert due.look is not None
    assert without.look is not None
    assert due.look.wear.first > without.look.wear.first


def test_a_valve_opened_in_four_partial_sessions_closes_up_between_them() -> None:
    """Found in range and opened 8 degrees each time, 16.7 um on a pitch of 0.75 mm, and still in range:
    between the sessions it must have closed up by about as much. No bracket alone shows that."""
    pitch = Fraction(750_000 * 8, 360)
    opened = (Length(round(pitch) - 8000), Length(round(pitch) + 8000))
    sessions = []
    for k in range(5):
        one = record(date(2025, 1 + 2 * k, 1), 5000 * k, (61, 100), (61, 100), complete=False)
        valve = replace(one.valves[0], turned=Fraction(8), moved=opened)
        sessions.append(replace(one, valves=(valve,)))
    (course,) = courses(sessions, Meter.KM)
    assert all(w.trend in {ProvedTrend.TOO_FEW, ProvedTrend.NONE} for w in course.runs)
    estimate = estimated_of([course])["1I"]
    assert estimate.trend is ProvedTrend.CLOSING
    low, high = estimate.band
    assert low <= -16_700 / 5000 <= high < 0
    unknown = [replace(s, valves=tuple(replace(v, moved=None) for v in s.valves)) for s in sessions]
    (course,) = courses(unknown, Meter.KM)
    assert estimated_of([course])["1I"].trend is ProvedTrend.NONE


def test_a_setting_that_was_not_measured_after_still_parts_the_runs() -> None:
    set_blind = record(date(2025, 10, 1), 11500, (75, 85), (75, 85))
    valve = replace(set_blind.valves[0], read_after=False)
    (course,) = courses([*CLOSING, replace(set_blind, valves=(valve,))], Meter.KM)
    assert [len(w.run.seen) for w in course.runs] == [3, 1]


def test_the_valves_are_judged_by_todays_sheet() -> None:
    """The sheet's lower limit went from 60 to 50 um since: the gap meets it later."""
    now = Band(Length.um(50), Length.um(100))
    sheet = replace(SHEET, clearances=Clearances(((ValveKind.INLET, GapRole.OPENER, now),)))
    before = worn(CLOSING)
    assert before.judged_by(SHEET)
    assert not before.judged_by(sheet)
    after = worn(CLOSING, sheet)
    assert after.judged_by(sheet)
    assert before.notice is not None
    assert after.notice is not None
    assert after.notice.first > before.notice.first
    (course,) = courses(CLOSING, Meter.KM, sheet)
    assert (course.band, course.before) == (now, BAND)
    (same,) = courses(CLOSING, Meter.KM, SHEET)
    assert same.before is None


def test_what_was_read_in_warm_metal_says_nothing_of_wear() -> None:
    warm = record(date(2026, 2, 1), 12500, (40, 50))
    none = Gauged(warm.valves[0].found.bracket, no_verdict("too warm"))  # type: ignore[union-attr]
    valve = replace(warm.valves[0], found=none, left=none, felt_found=(), felt_left=())
    warm = replace(warm, valves=(valve,))
    (course,) = courses([*CLOSING, warm], Meter.KM)
    assert len(course.last.run.seen) == 3


def test_a_session_without_the_counter_is_put_where_its_day_falls() -> None:
    between = record(date(2025, 4, 1), None, (85, 95))
    (course,) = courses([*CLOSING, between], Meter.KM)
    # 90 of 181 days after 10 000 km, of 1 000 km in that time.
    assert [s.x for s in course.last.run.seen] == [0, Fraction(90_000, 181), 1000, 2000]


def test_left_out_of_range_is_told_with_its_day_until_it_is_set_right() -> None:
    wide = record(date(2025, 11, 20), 11500, (40, 50), complete=False)
    tight = Gauged(wide.valves[0].left.bracket, Verdict(VerdictKind.TIGHT, ""))  # type: ignore[union-attr]
    wide = replace(wide, valves=(replace(wide.valves[0], found=tight, left=tight),))
    out = left_out([*CLOSING[:2], wide])
    assert left_out_words(out) == "left tight on 20 November 2025: 1I"
    due = outlook(SHEET, [*CLOSING[:2], wide], date(2026, 2, 1))
    assert due is not None
    assert "Left tight on 20 November 2025: 1I." in due_sentence(due)
    assert left_out([*CLOSING[:2], wide, CLOSING[2]]) == ()


def test_a_setting_begins_a_new_run() -> None:
    reset = record(date(2026, 1, 1), 12000, (70, 80), left=(90, 100))
    (course,) = courses([*CLOSING[:2], reset], Meter.KM)
    assert [len(run.run.seen) for run in course.runs] == [3, 1]
    assert course.runs[0].trend is ProvedTrend.CLOSING
    assert course.last.carried  # one bracket shows no drift, so the old one is carried on
    assert course.last.trend is ProvedTrend.TOO_FEW


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
    assert due.at_hours == 800
    assert due.look is not None
    assert due.look.wear.meter is Meter.HOURS
    assert 300 <= due.look.wear.first < 420


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
