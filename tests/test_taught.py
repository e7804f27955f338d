"""What past checks of an engine teach a new one."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.history.usage import Usage
from benchtui.domain.length import Length
from benchtui.domain.session.valve.sheet_runs import thread_of
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Adjuster, AdjusterKind, Rotation
from benchtui.workshop.taught import PAST_SHIFTS, taught

SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.75"))
NOW = Usage(date(2026, 5, 4), None, None)


def record(adjuster: Adjuster, *middles_um: int, complete: bool = True) -> SessionRecord:
    """A session whose locks closed the gap by so much."""
    day = datetime(2026, 5, 1, tzinfo=UTC)
    shifts = tuple(Shift(Length.um(m - 5), Length.um(m + 5)) for m in middles_um)
    return SessionRecord(
        session="one",
        engine="winch",
        engine_name="Winch",
        started=day,
        ended=day,
        who="M.",
        blades="fine",
        odometer_km=None,
        hours=None,
        metal_c=None,
        closed=True,
        complete=complete,
        practice=False,
        missing=(),
        valves=(),
        shifts=shifts,
        notes=(),
        thread=thread_of(adjuster),
    )


@pytest.mark.parametrize(
    "other",
    [
        replace(SCREW, kind=AdjusterKind.PILLAR_NUT),
        replace(SCREW, pitch=Length.mm("1.0")),
        replace(SCREW, closes=Rotation.ANTICLOCKWISE),
    ],
)
def test_locks_of_another_kind_of_nut_teach_nothing(other: Adjuster) -> None:
    past = [record(other, -15, -16), record(SCREW, -30)]
    told = taught(past, NOW, SCREW)
    assert [s.middle for s in told.past_shifts] == [Length.um(-30)]


def test_a_lock_counts_in_a_check_that_was_broken_off_and_not_in_practice() -> None:
    past = [record(SCREW, -15, complete=False), replace(record(SCREW, 99), practice=True)]
    assert [s.middle for s in taught(past, NOW, SCREW).past_shifts] == [Length.um(-15)]


def test_the_latest_are_carried() -> None:
    past = [record(SCREW, *range(-30, 0))]
    told = taught(past, NOW, SCREW).past_shifts
    assert [s.middle for s in told] == [Length.um(m) for m in range(-PAST_SHIFTS, 0)]
