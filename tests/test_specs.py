"""The harbour's own sheets and blade sets, as they are shipped."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.blades import BladeSet
from benchtui.domain.length import Length
from benchtui.domain.sheet import AdjusterKind, Band, ScrewEnd, Sheet
from benchtui.text.reading.blades_file import parse_blades
from benchtui.text.reading.sheet_file import parse_sheet, warnings_of

SPECS = Path(__file__).parent.parent / "specs"
SHEETS = sorted(p.stem for p in SPECS.glob("*.toml"))
BLADES = sorted(p.stem for p in (SPECS / "blades").glob("*.toml"))


def sheet(key: str) -> Sheet:
    path = SPECS / f"{key}.toml"
    return parse_sheet(path.read_text(encoding="utf-8"), key, str(path))


def blades(key: str) -> BladeSet:
    path = SPECS / "blades" / f"{key}.toml"
    return parse_blades(path.read_text(encoding="utf-8"), key, str(path))


def band(low: str, high: str) -> Band:
    return Band(Length.mm(low), Length.mm(high))


def test_the_fleet_is_there() -> None:
    assert {
        "quay-pump",
        "slip-winch",
        "mole-crane",
        "harbour-van",
        "pilot-launch",
        "ferry-tender",
    } <= set(SHEETS)
    assert {"fine-metric", "coarse-metric", "workshop-inch"} <= set(BLADES)


@pytest.mark.parametrize("key", SHEETS)
def test_every_sheet_is_sound(key: str) -> None:
    assert sheet(key).key == key


@pytest.mark.parametrize("key", BLADES)
def test_every_blade_set_is_sound(key: str) -> None:
    assert blades(key).leaves


@pytest.mark.parametrize("key", ["quay-pump", "mole-crane", "harbour-van", "ferry-tender"])
def test_the_full_sheets_raise_no_warning(key: str) -> None:
    assert warnings_of(sheet(key)) == []


def test_quay_pump() -> None:
    pump = sheet("quay-pump")
    inlet, exhaust = pump.layout.valves
    assert pump.clearances.of(inlet) == band("0.06", "0.10")
    assert pump.clearances.of(exhaust) == band("0.08", "0.12")
    assert pump.adjuster.pitch == Length.mm("0.75")
    assert pump.adjuster.lever == 1


def test_slip_winch_has_one_figure_each_and_no_band() -> None:
    winch = sheet("slip-winch")
    inlet, exhaust = winch.layout.valves
    assert winch.clearances.of(inlet) == band("0.10", "0.10")
    assert winch.clearances.of(exhaust) == band("0.15", "0.15")
    assert winch.clearances.owner_band is None
    assert sum("no tolerance" in w for w in warnings_of(winch)) == 2


def test_mole_crane_fires_unevenly() -> None:
    front, rear = sheet("mole-crane").layout.cylinders
    # Both rods on one crankpin: the second fires a turn and the angle of the V later (geometry).
    assert (front.firing, rear.firing) == (Fraction(0), Fraction(360 + 58))


def test_harbour_van_has_the_published_two_stop_plan() -> None:
    van = sheet("harbour-van")
    assert [c.name for c in van.layout.firing_order] == ["1", "3", "4", "2"]
    assert van.adjuster.at is ScrewEnd.PUSHROD
    assert van.adjuster.lever == Fraction(3, 2)
    first, second = van.plan
    # TM 5-3895-383-24 (read): 1-3-4-2 with no. 1 on compression TDC: inlet 1 2, exhaust 1 3; one
    # turn on: inlet 3 4, exhaust 2 4.
    assert set(first.valves) == {"1I", "2I", "1E", "3E"}
    assert set(second.valves) == {"3I", "4I", "2E", "4E"}
    assert (second.angle - first.angle) % 720 == 360


def test_pilot_launch_is_hydraulic_and_prints_no_clearance() -> None:
    launch = sheet("pilot-launch")
    assert launch.adjuster.kind is AdjusterKind.HYDRAULIC
    assert launch.clearances.printed == ()
    assert [c.name for c in launch.layout.firing_order] == list("12687543")


def test_the_launchs_firing_order_is_one_that_a_crankshaft_can_have() -> None:
    firing = {c.name: c.firing for c in sheet("pilot-launch").layout.cylinders}
    assert sorted(firing.values()) == [90 * n for n in range(8)]
    # A V of 90 degrees, 1 and 5, 2 and 6, 3 and 7, 4 and 8 on one pin each, a quarter turn between
    # the pins (geometry): in a pair the second comes up a quarter turn after the first.
    for port, starboard in ("15", "26", "37", "48"):
        assert (firing[starboard] - firing[port]) % 360 == 90
    assert {firing[port] % 360 for port in "1234"} == {0, 90, 180, 270}


def test_ferry_tender_has_shims() -> None:
    tender = sheet("ferry-tender")
    assert tender.adjuster.kind is AdjusterKind.SHIM
    assert Length.mm("2.80") in tender.adjuster.shim_sizes
    assert len(tender.layout.valves) == 8


def test_blade_sets() -> None:
    fine = [f"0.{i:02d}" for i in (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20)]
    assert [leaf.marked for leaf in blades("fine-metric").leaves] == [Length.mm(x) for x in fine]
    coarse = [Length.um(50 * i) for i in range(1, 11)]
    assert [leaf.marked for leaf in blades("coarse-metric").leaves] == coarse
    # Common practice: a usual inch set has 0.0015 in, then 0.002 to 0.025 in.
    inch = [Length.inch("0.0015")] + [Length.thou(i) for i in range(2, 26)]
    assert [leaf.marked for leaf in blades("workshop-inch").leaves] == inch
