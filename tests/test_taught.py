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
from tests.engines import SCREW, band, fired, printed, sheet

ONE_FIGURE = printed(band("0.10", "0.10"))
WINCH = sheet("winch", fired({"1": 0}), ONE_FIGURE)
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
    told = taught(past, NOW, WINCH)
    assert [s.middle for s in told.past_shifts] == [Length.um(-30)]


def test_a_lock_counts_in_a_check_that_was_broken_off_and_not_in_practice() -> None:
    past = [record(SCREW, -15, complete=False), replace(record(SCREW, 99), practice=True)]
    assert [s.middle for s in taught(past, NOW, WINCH).past_shifts] == [Length.um(-15)]


def test_the_latest_are_carried() -> None:
    past = [record(SCREW, *range(-30, 0))]
    told = taught(past, NOW, WINCH).past_shifts
    assert [s.middle for s in told] == [Length.um(m) for m in range(-PAST_SHIFTS, 0)]


def test_how_single_figures_were_judged_is_the_latest_word_of_a_check_that_counts() -> None:
    first = replace(record(SCREW), band=Length.mm("0.03"))
    figure = replace(record(SCREW), on_figure=True)
    told = taught([first, figure, record(SCREW)], NOW, WINCH)
    assert (told.band, told.on_figure) == (None, True)
    told = taught([figure, first, replace(figure, set_aside="by mistake")], NOW, WINCH)
    assert (told.band, told.on_figure) == (Length.mm("0.03"), False)


def test_a_band_on_the_sheet_is_a_later_word_than_what_was_chosen_before() -> None:
    """Else whoever writes it on the sheet would be judged by the old one for ever."""
    own = replace(WINCH, clearances=replace(ONE_FIGURE, owner_band=Length.mm("0.02")))
    for before in (
        replace(record(SCREW), band=Length.mm("0.05")),
        replace(record(SCREW), on_figure=True),
    ):
        told = taught([before], NOW, own)
        assert (told.band, told.on_figure) == (None, False)
