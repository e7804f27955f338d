"""How far a valve has moved since it was left, from what past checks have proved."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.history.drift import drifts_since
from benchtui.domain.history.usage import Usage
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, ValveKind

mm = Length.mm
BAND = Band(mm("0.08"), mm("0.12"))


def gauged(low: str, high: str) -> Gauged:
    ends = (mm(low), mm(high))
    return Gauged(Bracket(*ends, *ends), Verdict(VerdictKind.IN, ""))


def check(
    month: int,
    km: int | None,
    found: tuple[str, str],
    left: tuple[str, str] | None = None,
    *,
    complete: bool = True,
) -> SessionRecord:
    """One check of one valve; with ``left`` it was set."""
    day = datetime(2025, month, 1, 9, tzinfo=UTC)
    valve = ValveRecord(
        "1E",
        ValveKind.EXHAUST,
        BAND,
        owners_band=False,
        found=gauged(*found),
        left=gauged(*(left or found)),
        touched=left is not None,
        turned=Fraction(0),
        locked=True,
        read_after=True,
        struck=(),
    )
    return SessionRecord(
        session=f"s{month:02}",
        engine="pump",
        engine_name="Pump",
        started=day,
        ended=day,
        who="M.",
        blades="fine",
        odometer_km=None if km is None else Fraction(km),
        hours=None,
        metal_c=Fraction(19),
        closed=True,
        complete=complete,
        practice=False,
        missing=(),
        valves=(valve,),
        shifts=(),
        notes=(),
    )


def now(km: int | None) -> Usage:
    return Usage(date(2025, 12, 1), None if km is None else Fraction(km))


CLOSING = [
    check(1, 0, ("0.11", "0.12")),
    check(3, 4000, ("0.09", "0.10")),
    check(5, 8000, ("0.07", "0.08")),
]
# Every line through the three falls by 0.03 to 0.05 mm in 8 000 km: -6.25 to -3.75 um per 1 000 km.


def test_the_rate_times_the_way_since() -> None:
    # By hand: over 2 000 km more it is -12.5 to -7.5 um.
    assert drifts_since(CLOSING, now(10_000)) == {"1E": (Length(-12_500), Length(-7_500))}


@pytest.mark.parametrize(
    ("records", "at"),
    [
        ([], 10_000),
        (CLOSING[:1], 10_000),
        (CLOSING, None),  # the odometer was not read today
        ([*CLOSING, check(7, None, ("0.06", "0.07"))], 10_000),  # nor at the last check
        (
            [check(1, 0, ("0.09", "0.10")), check(3, 4000, ("0.09", "0.10"))],
            8000,
        ),  # no trend proved
    ],
    ids=["nothing", "one check", "not read", "not read last", "level"],
)
def test_without_a_proved_rate_or_a_known_way_there_is_none(
    records: list[SessionRecord], at: int | None
) -> None:
    assert drifts_since(records, now(at)) == {}


def test_a_rate_proved_before_the_valve_was_set_is_carried_on() -> None:
    """Set to 0.10 to 0.12 at 8 000 km; the old rate goes on from there."""
    records = [*CLOSING[:2], check(5, 8000, ("0.07", "0.08"), ("0.10", "0.12"))]
    assert drifts_since(records, now(12_000)) == {"1E": (Length(-25_000), Length(-15_000))}


def test_a_partial_session_counts_for_the_rate_and_practice_for_nothing() -> None:
    """At 9 000 km it is 0.065 to 0.07 mm: from 0.12 mm at the start to 0.07 at the end of the steepest
    line that still passes 0.07 at 8 000 km and 0.065 at 9 000 km, 6.11 um in 1 000 km, and from 0.11
    to 0.07 of the flattest, 4.44 um: over 2 000 km since the check."""
    partial = check(7, 9000, ("0.065", "0.07"), complete=False)
    unreal = replace(check(8, 90_000, ("0.20", "0.25")), practice=True)
    assert drifts_since([*CLOSING, partial, unreal], now(10_000)) == {
        "1E": (Length(-12_222), Length(-8_889))
    }


def test_a_replaced_odometer_counts_only_what_was_seen_of_the_way() -> None:
    """Back at 0 somewhere after 9 000 km, now at 500: 1 000 km on the old one are known."""
    elsewhere = replace(check(7, 9000, ("0.07", "0.08"), complete=False), valves=())
    assert drifts_since([*CLOSING, elsewhere], now(500)) == {"1E": (Length(-6_250), Length(-3_750))}
