"""Wear: the plot, the exact drift, the forecast, and no claim that the brackets do not prove."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from benchtui.domain.history.usage import Meter, Usage, unrolled
from benchtui.text.quantities.measure import distance_km
from benchtui.text.words.history_words import place_words
from benchtui.tui.screens.wear import WearScreen
from benchtui.tui.widgets.trend import HATCH
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import keep, press, program, pump_years, seen, settled


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years(tmp_path / "data")


def _sheet(workshop: Workshop, key: str) -> WearScreen:
    return WearScreen(workshop.engines.sheet(key))


async def test_an_estimated_drift_is_told_with_its_limit_and_a_possible_cause(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        await press(app, pilot, "right")
        shown = " ".join(seen(app).split())
        assert "at 22 000 km" in shown
        # Left 0.10..0.12 at 14 000 km, then 0.09..0.10 at 18 000 and 0.08..0.09 at 22 000 km: the
        # steepest line falls from 0.125 to 0.075 in 8 000 km with the leaves' errors, 6.25 um in
        # 1 000 km, the flattest not at all: nothing is proved. All six checks and their drags tell of
        # about 0.10 to 0.07 in 14 000 km before it was set and the like since.
        assert "▼ 1E closing up" in shown
        assert (
            "Not proved: the blades alone say that it closes by at most 0.006 mm in 1 000 km."
            in shown
        )
        assert "1E closes by about 0.004 mm in 1 000 km (0.003 to 0.005), by the estimate." in shown
        # It drags on 0.08 now, so that it may be there.
        assert "Going on so it may meet 0.08 from now on, at the latest at" in shown
        assert "Look at it at the next chance." in shown
        assert "Possibly seat wear" in shown


async def test_the_plot_has_range_brackets_wedge_and_counter_readings(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        await press(app, pilot, "right")
        shown = seen(app)
        for mark in (
            "█",
            "║",
            "░",
            "0.08┤",
            "0.12┤",
            "22 000",
            "mm",
            "km",
            "Nov 2025",
            f"{HATCH} estimate",
        ):
            assert mark in shown, mark
        assert "estimate" in shown.lower()


async def test_without_proof_nothing_is_foretold(data: Path) -> None:
    """1I: the same wide bracket each time; a level line fits."""
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        shown = " ".join(seen(app).split())
        assert "1I is steady as far as blades tell" in shown
        assert "limit" not in shown.replace("limits", "")
        assert "Possibly" not in shown
        assert "forecast" not in shown
        assert not any(0x2800 < ord(c) <= 0x28FF for c in shown), "no wedge either"


async def test_a_check_without_a_counter_is_named_with_what_to_do(data: Path) -> None:
    keep(
        data,
        "sheet quay-pump\nblades fine-metric\ndate 2026-01-02\nmetal 19 C\nposition 1 mark slack\n"
        "1I 0.06 free\n1I 0.10 refuses\nclose\n",
    )
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        shown = " ".join(seen(app).split())
        assert "2 January 2026: no odometer was read, so it lies where the day falls." in shown
        assert "Past, Enter, Put right tells it." in shown


async def test_an_engine_with_hours_only_is_told_in_hours(tmp_path: Path) -> None:
    data = tmp_path / "data"
    for day, hours, answer in (("2024-03-01", 100, "0.10 free"), ("2025-03-01", 200, "0.09 free")):
        keep(
            data,
            f"sheet quay-pump\nblades fine-metric\ndate {day}\nhours {hours}\nmetal 19 C\n"
            f"position 1 mark slack\n1I 0.06 free\n1I 0.10 refuses\n1E {answer}\n1E 0.12 refuses\n"
            "torque rocker cover bolts\ntorque adjuster locknuts\nclose\n",
        )
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        shown = " ".join(seen(app).split())
        assert "at 200 h" in shown
        assert "mm in 100 h" in shown


async def test_siblings_lie_together_on_one_scale(data: Path) -> None:
    async with program(data) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        await press(app, pilot, "right", "down")
        shown = seen(app)
        assert "Drift of the exhaust valves" in shown
        bar = next(x for x in shown.splitlines() if x.startswith(" 1E"))
        assert bar.rindex("█") < bar.index("┃"), "closing up: all of the bar is left of zero"
        assert "estimate: limit 0.08 mm at 22 000 km to" in shown
        await press(app, pilot, "down")
        assert "setting range" in seen(app)


async def test_with_nothing_on_record_it_says_what_is_needed(tmp_path: Path) -> None:
    async with program(tmp_path / "data") as (app, pilot):
        app.push_screen(_sheet(app.workshop, "harbour-van"))
        await settled(app, pilot)
        await press(app, pilot, "left", "right", "down")
        assert "Nothing to lay over distance yet" in seen(app)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 16)])
async def test_the_sentences_are_never_cut_off(data: Path, size: tuple[int, int]) -> None:
    async with program(data, size) as (app, pilot):
        app.push_screen(_sheet(app.workshop, "quay-pump"))
        await settled(app, pilot)
        await press(app, pilot, "right")
        assert "(valve recession)." in " ".join(seen(app).split())


def test_the_places_of_a_miles_owner_are_miles() -> None:
    """A mile is 1.609344 km (international yard and pound agreement, 1959)."""
    read = distance_km("61500 mi")
    assert place_words(Meter.KM, read) == "61 500 mi"
    points = unrolled(
        [Usage(date(2026, 5, 1), read), Usage(date(2026, 6, 1), read + 1000)], Meter.KM
    )
    assert place_words(Meter.KM, points[0].read) == "61 500 mi"
    assert place_words(Meter.KM, points[0].done) == "0 mi"
