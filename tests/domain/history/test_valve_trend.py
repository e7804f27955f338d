"""Findings of wear from whole session records, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.valve_trend import findings
from benchtui.domain.history.wear import ProvedTrend
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, Sheet, ValveKind
from benchtui.text.reading.sheet_file import parse_sheet

SPECS = Path(__file__).parents[3] / "specs"
BAND = Band(Length.um(80), Length.um(120))


def _sheet(name: str) -> Sheet:
    return parse_sheet((SPECS / f"{name}.toml").read_text(encoding="utf-8"), name, name)


def _valve(name: str, low: int, high: int) -> ValveRecord:
    bracket = Bracket(Length.um(low), Length.um(high), Length.um(low), Length.um(high))
    gauged = Gauged(bracket, Verdict(VerdictKind.IN, ""))
    kind = ValveKind.EXHAUST if "E" in name else ValveKind.INLET
    return ValveRecord(
        name, kind, BAND, owners_band=False, found=gauged, left=gauged, touched=False,
        turned=Fraction(0), locked=True, read_after=True, struck=(),
    )  # fmt: skip


def _record(
    year: int, km: int | None, *valves: ValveRecord, sheet: str = "quay-pump"
) -> SessionRecord:
    at = datetime(year, 1, 1, tzinfo=UTC)
    return SessionRecord(
        session=f"s{year}",
        engine=sheet,
        engine_name=sheet,
        started=at,
        ended=at,
        who="",
        blades="b",
        odometer_km=None if km is None else Fraction(km),
        hours=None,
        metal_c=None,
        closed=True,
        complete=True,
        practice=False,
        missing=(),
        valves=valves,
        shifts=(),
        notes=(),
    )


def test_a_closing_valve_meets_its_limit_at_a_place_and_on_a_day() -> None:
    """130..140 um at 0 km, 110..120 at 10 000 km: it falls by 1 to 3 um in 1 000 km.

    From the last bracket the lower edge falls from 110 um by 3 um: 80 um 10 000 km on; the upper
    from 120 by 1 um: 40 000 km on. 10 000 km took 366 days, so the earliest is 366 days on.
    """
    records = [
        _record(2024, 5000, _valve("1E", 130, 140)),
        _record(2025, 15000, _valve("1E", 110, 120)),
    ]
    found = findings(_sheet("quay-pump"), records)
    assert found.meter is Meter.KM
    (valve,) = found.valves
    assert valve.course.last.trend is ProvedTrend.CLOSING
    assert valve.earliest is not None
    assert valve.latest is not None
    assert valve.earliest.done == 20000
    assert valve.earliest.reads == 25000
    assert valve.latest.reads == 55000
    assert str(valve.earliest.on) == "2026-01-02"
    assert not valve.there_already
    assert not valve.passed
    assert "seat" in valve.cause
    assert valve.horizon.reads <= 15000 + 3 * 10000


def test_checks_that_read_no_counter_are_named() -> None:
    records = [
        _record(2024, 5000, _valve("1E", 130, 140)),
        _record(2025, None, _valve("1E", 120, 130)),
        _record(2026, 15000, _valve("1E", 110, 120)),
    ]
    assert [f"{day}" for day in findings(_sheet("quay-pump"), records).unread] == ["2025-01-01"]
    assert findings(_sheet("quay-pump"), [records[0], records[2]]).unread == ()


def test_a_replaced_odometer_is_joined_up() -> None:
    records = [
        _record(2023, 90000, _valve("1E", 130, 140)),
        _record(2024, 100000, _valve("1E", 120, 130)),
        _record(2025, 4000, _valve("1E", 110, 119)),
    ]
    found = findings(_sheet("quay-pump"), records)
    (valve,) = found.valves
    places = [s.x for s in valve.course.last.run.seen]
    assert places == [0, 10000, 10000]
    assert found.points[-1].read == 4000


def test_a_bracket_at_the_limit_is_there_already() -> None:
    records = [_record(2024, 0, _valve("1E", 110, 120)), _record(2025, 10000, _valve("1E", 80, 90))]
    (valve,) = findings(_sheet("quay-pump"), records).valves
    assert valve.there_already


def test_a_drift_carried_on_past_a_setting_may_be_met_while_nobody_looked() -> None:
    """It fell by 1 to 3 um in 1 000 km, was set to 100..110 um at 15 000 km, and at 23 000 km only
    the counter was read: from 100 um it needs 6 667 km at the most to 80 um."""
    touched = replace(
        _valve("1E", 110, 120), left=_valve("1E", 100, 110).left, touched=True, turned=Fraction(9)
    )
    records = [
        _record(2024, 5000, _valve("1E", 130, 140)),
        _record(2025, 15000, touched),
        replace(_record(2026, 23000), complete=False),
    ]
    (valve,) = findings(_sheet("quay-pump"), records).valves
    assert valve.course.last.carried
    assert valve.passed
    assert not valve.there_already


def test_nothing_read_nothing_found() -> None:
    found = findings(_sheet("quay-pump"), [_record(2024, None, _valve("1E", 110, 120))])
    assert found.meter is None
    assert found.valves == ()


def test_siblings_are_of_one_kind_and_the_odd_ones_are_named() -> None:
    def check(year: int, km: int, odd: int) -> SessionRecord:
        valves = [_valve(n, 100, 105) for n in ("1E", "2E", "3E", "1I")]
        return _record(year, km, *valves, _valve("4E", odd, odd + 5), sheet="harbour-van")

    found = findings(_sheet("harbour-van"), [check(2024, 0, 100), check(2025, 10000, 85)])
    first = next(f for f in found.valves if f.course.valve == "1E")
    assert [f.course.valve for f in found.siblings(first)] == ["1E", "2E", "3E", "4E"]
    # 4E falls by 10 to 20 um, the others move by at most 5 either way.
    assert found.apart == ("4E",)


def test_practice_proves_nothing_and_a_partial_session_counts() -> None:
    sound = [
        _record(2024, 5000, _valve("1E", 130, 140)),
        _record(2025, 15000, _valve("1E", 110, 120)),
    ]
    practice = replace(_record(2027, 30000, _valve("1E", 10, 20)), practice=True)
    (valve,) = findings(_sheet("quay-pump"), [*sound, practice]).valves
    assert valve.course.last.trend is ProvedTrend.CLOSING
    odd = replace(_record(2026, 20000, _valve("1E", 200, 210)), complete=False)
    (valve,) = findings(_sheet("quay-pump"), [*sound, odd]).valves
    assert valve.course.last.trend is ProvedTrend.UNSTEADY
