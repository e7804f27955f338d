from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.length import Length
from benchtui.domain.sheet import (
    AdjusterKind,
    Band,
    Condition,
    GapRole,
    Interval,
    Mark,
    Opening,
    Rotation,
    ScrewEnd,
    Sheet,
    Source,
    ValveKind,
)
from benchtui.text.reading.sheet_file import parse_sheet, warnings_of

FULL = """\
format = 1
name = "Lamp boat"
source = { title = "Harbour workshop notes", page = 12, entered_by = "M.", checked = true }

[layout]
cylinders = ["1"]
firing = { 1 = 0 }
valves = { 1 = ["1I", "1E"] }
turns = "anticlockwise from the flywheel"
marks = { 1 = "line on the flywheel", cover = { text = "plug out", angle = 90 } }
decompressor = "lifts the exhaust valve"

[clearance]
inlet = ["0.06 mm", "0.10 mm"]
exhaust = ["0.003 in", "0.005 in"]
inlet_service = ["0.04 mm", "0.12 mm"]
condition = "cold"
metal_below = "35 degC"
stood = "4 h"

[adjuster]
kind = "screw"
at = "valve"
thread = "M6x0.75"
ratio = 1.0
closes = "clockwise"

[timing]
inlet_opens = "28 BTDC"
inlet_closes = "71 ABDC"
exhaust_opens = "78 BBDC"
exhaust_closes = "45 ATDC"
margin = 20

[[plan]]
at = "1 compression TDC"
valves = ["1I", "1E"]

[[torque]]
what = "rocker cover bolts"
value = "12 to 15 lbf*in"
thread = "#8-36"

[interval]
months = 6
distance = "5000 km"
hours = 100
first = { distance = "800 km" }
"""

LEAST = """\
format = 1
name = "Lamp boat"
[layout]
cylinders = ["1"]
valves = { 1 = ["1I", "1E"] }
[clearance]
inlet = "0.08 mm"
exhaust = "0.08 mm"
[adjuster]
kind = "screw"
"""


def words(text: str) -> list[str]:
    return text.split()


def parsed(text: str) -> Sheet:
    return parse_sheet(text, "lamp-boat", "lamp-boat.toml")


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultyInput) as caught:
        parsed(text)
    return caught.value.faults


def swapped(old: str, new: str, text: str = FULL) -> str:
    assert text.count(old) == 1, old
    return text.replace(old, new)


def test_every_field_of_a_full_sheet() -> None:
    sheet = parsed(FULL)
    assert (sheet.key, sheet.name) == ("lamp-boat", "Lamp boat")
    assert sheet.source == Source("Harbour workshop notes", "12", "M.", checked=True)
    assert [v.name for v in sheet.layout.valves] == ["1I", "1E"]
    assert sheet.layout.turns == "anticlockwise from the flywheel"
    assert sheet.layout.marks == (
        Mark("1", "line on the flywheel", "1"),
        Mark("cover", "plug out", None, Fraction(90)),
    )
    assert sheet.layout.decompressor == "lifts the exhaust valve"
    inlet, exhaust = sheet.layout.valves
    assert sheet.clearances.of(inlet) == Band(Length.mm("0.06"), Length.mm("0.10"))
    assert sheet.clearances.of(exhaust) == Band(Length.thou(3), Length.thou(5))
    assert sheet.clearances.service_of(inlet) == Band(Length.mm("0.04"), Length.mm("0.12"))
    assert sheet.clearances.service_of(exhaust) is None
    assert sheet.clearances.condition is Condition.COLD
    assert sheet.clearances.metal_below == 35
    assert sheet.clearances.stood_hours == 4
    assert sheet.adjuster.kind is AdjusterKind.SCREW
    assert sheet.adjuster.at is ScrewEnd.VALVE
    assert sheet.adjuster.pitch == Length.mm("0.75")
    assert sheet.adjuster.thread == "M6x0.75"
    assert sheet.timing is not None
    # TM 9-8000 p.2-35 (read): inlet opens 28 BTDC and lasts 279, so closes 71 ABDC; exhaust
    # closes 45 ATDC; overlap 73.
    assert sheet.timing.inlet == Opening(Fraction(332), Fraction(611))
    assert sheet.timing.inlet.closes - sheet.timing.inlet.opens == 279
    assert sheet.timing.exhaust == Opening(Fraction(102), Fraction(405))
    assert sheet.timing.exhaust.closes - sheet.timing.inlet.opens == 73
    assert sheet.timing.margin == 20
    (stop,) = sheet.plan
    assert (stop.cylinder, stop.valves) == ("1", ("1I", "1E"))
    assert stop.angle == 0
    (torque,) = sheet.torques
    assert (torque.what, torque.printed) == ("rocker cover bolts", "12 to 15 lbf*in")
    assert torque.thread == "#8-36"
    # US Navy conversion table (read): 1 lbf in is 0.112985 N m.
    assert round(torque.low, 4) == Fraction("1.3558")
    assert round(torque.high, 4) == Fraction("1.6948")
    assert sheet.interval == Interval(
        6, Fraction(5000), Fraction(100), Interval(distance_km=Fraction(800))
    )
    assert warnings_of(sheet) == []


def test_the_least_sheet_has_plain_defaults() -> None:
    sheet = parsed(LEAST)
    assert sheet.layout.cylinders[0].firing == 0
    assert sheet.source == Source()
    assert sheet.timing is None
    assert sheet.plan == ()
    assert sheet.torques == ()
    assert sheet.interval is None
    assert sheet.adjuster.pitch is None
    assert sheet.adjuster.ratio == 1
    assert sheet.adjuster.closes is Rotation.CLOCKWISE


@pytest.mark.parametrize("key", ["format", "name", "layout", "clearance", "adjuster"])
def test_five_things_must_be_there(key: str) -> None:
    lines = LEAST.splitlines()
    if key in ("format", "name"):
        lines = [line for line in lines if not line.startswith(key)]
    else:
        start = lines.index(f"[{key}]")
        end = next((i for i in range(start + 1, len(lines)) if lines[i][0] == "["), len(lines))
        del lines[start:end]
    faults = faults_of("\n".join(lines))
    assert [(f.key, f.found) for f in faults] == [(key, "nothing")]


INLET = 'inlet = ["0.06 mm", "0.10 mm"]'

ONE_FAULT = [
    # what is written, what instead, the key, a word of what was found, a word of what is wanted
    ('name = "Lamp boat"', 'name = ""', "name", "nothing", "text"),
    ('name = "Lamp boat"', "name = 3", "name", "3", "text"),
    ("format = 1", "format = 2", "format", "2", "1"),
    ("format = 1", 'format = "1"', "format", '"1"', "1"),
    ('cylinders = ["1"]', 'cylinders = "1"', "layout.cylinders", '"1"', "in quotes"),
    ('stood = "4 h"', 'stod = "4 h"', "clearance.stod", "not known", "stood?"),
    ("checked = true", 'checked = "yes"', "source.checked", '"yes"', "true or false"),
    ("checked = true", "cheked = true", "source.cheked", "not known", "checked?"),
    ('["1I", "1E"] }', '["1I", "2E"] }', "layout.valves.1[2]", '"2E"', "1E"),
    ('["1I", "1E"] }', '["1I", "1e"] }', "layout.valves.1[2]", '"1e"', "1E"),
    ('["1I", "1E"] }', '["1I", "1E", "1I"] }', "layout.valves.1", "more than once", "once"),
    ('["1I", "1E"] }', '["1I", "1E", 3] }', "layout.valves.1[3]", "3", "quotes"),
    ("firing = { 1 = 0 }", "firing = { 1 = 720 }", "layout.firing.1", "720", "less than 720"),
    ("firing = { 1 = 0 }", "firing = { 1 = -1 }", "layout.firing.1", "-1", "0 or more"),
    ("firing = { 1 = 0 }", "firing = { 1 = 90 }", "layout.firing", "no cylinder at 0", "0"),
    ("firing = { 1 = 0 }", "firing = { 1 = nan }", "layout.firing.1", "nan", "0 or more"),
    ("firing = { 1 = 0 }", "firing = { 1 = 0, 2 = 9 }", "layout.firing.2", "not known", "1"),
    ("angle = 90 }", "angle = 90, colour = 1 }", "layout.marks.cover.colour", "not known", "text, angle"),
    (INLET, 'inlet = ["0.10 mm", "0.06 mm"]', "clearance.inlet", "upside down", "smaller"),
    (INLET, 'inlet = ["0.10 mm"]', "clearance.inlet", "a list of 1", "two"),
    (INLET, "inlet = 0.08", "clearance.inlet", "without a unit", "0.08 mm"),
    (INLET, 'inlet = "0.08"', "clearance.inlet", "without a unit", "unit"),
    (INLET, 'inlet = "0 mm"', "clearance.inlet", "no clearance", "figure"),
    (INLET, 'inlet = "NaN"', "clearance.inlet", "NaN", "length"),
    (INLET, 'inlet = "-0.08 mm"', "clearance.inlet", "sign", "length"),
    (INLET, 'inlet = "1e9 mm"', "clearance.inlet", "exponent", "plain"),
    (INLET, 'inlet = "6 mm"', "clearance.inlet", "6 mm", "at most 5"),
    (INLET, 'inlet = "8 degC"', "clearance.inlet", "another kind", "length"),
    (INLET, "inlet = 2026-01-02", "clearance.inlet", "date", "unit"),
    ('"0.04 mm", "0.12 mm"', '"0.07 mm", "0.12 mm"', "clearance.inlet_service", "0.07", "setting"),
    ('condition = "cold"', 'condition = "warm"', "clearance.condition", '"warm"', '"cold"'),
    ('metal_below = "35 degC"', "metal_below = 35", "clearance.metal_below", "without a unit", "degC"),
    ('metal_below = "35 degC"', 'metal_below = "35"', "clearance.metal_below", "without a unit", "C"),
    ('stood = "4 h"', 'stood = "4"', "clearance.stood", "without a unit", "4 h"),
    ('stood = "4 h"', 'owner_band = "0.03"', "clearance.owner_band", "without a unit", "mm"),
    ('stood = "4 h"', 'owner_band = "0 mm"', "clearance.owner_band", '"0 mm"', "above zero"),
    ('condition = "cold"', 'metal_above = "40 C"', "clearance.metal_below", "not above", "cooler"),
    ('kind = "screw"', 'kind = "screws"', "adjuster.kind", '"screws"', '"screw"'),
    ('at = "valve"', 'at = "middle"', "adjuster.at", '"middle"', '"pushrod"'),
    ('thread = "M6x0.75"', 'pitch = "26"', "adjuster.pitch", '"26"', '"26 tpi", 0.977 mm?'),
    ('thread = "M6x0.75"', "pitch = 26", "adjuster.pitch", "26", '"26 tpi", 0.977 mm?'),
    ('thread = "M6x0.75"', "pitch = 0.75", "adjuster.pitch", "0.75", '"0.75 mm"?'),
    ('thread = "M6x0.75"', 'pitch = "26 mm"', "adjuster.pitch", '"26 mm"', "26 tpi"),
    ('thread = "M6x0.75"', 'pitch = "0.1 mm"', "adjuster.pitch", '"0.1 mm"', "0.20 to 3.00"),
    ('thread = "M6x0.75"', 'pitch = "3.1 mm"', "adjuster.pitch", '"3.1 mm"', "0.20 to 3.00"),
    ('thread = "M6x0.75"', "pitch = inf", "adjuster.pitch", "inf", "text"),
    ('thread = "M6x0.75"', 'thread = "26"', "adjuster.thread", '"26"', '"26 tpi", 0.977 mm?'),
    ('thread = "M6x0.75"', 'thread = "M6x9"', "adjuster.thread", '"M6x9"', "fits a screw"),
    ("ratio = 1.0", "ratio = 0", "adjuster.ratio", "0", "0.25 to 4"),
    ("ratio = 1.0", "ratio = nan", "adjuster.ratio", "nan", "0.25 to 4"),
    ("ratio = 1.0", "ratio = 1e999999999", "adjuster.ratio", "1e999999999", "0.25 to 4"),
    ("ratio = 1.0", 'ratio = "1.0"', "adjuster.ratio", '"1.0"', "number"),
    ("ratio = 1.0", 'shims = ["2.80 mm"]', "adjuster.shims", "another kind", "shim"),
    ('closes = "clockwise"', 'closes = "right"', "adjuster.closes", '"right"', '"clockwise"'),
    ('"28 BTDC"', '"28 ABDC"', "timing.inlet_opens", '"28 ABDC"', "28 BTDC"),
    ('"28 BTDC"', '"28"', "timing.inlet_opens", '"28"', "28 BTDC"),
    ('"28 BTDC"', "28", "timing.inlet_opens", "28", "text"),
    ('"28 BTDC"', '"-28 BTDC"', "timing.inlet_opens", '"-28 BTDC"', "28 BTDC"),
    ('"28 BTDC"', '"280 BTDC"', "timing.inlet_opens", '"280 BTDC"', "at most 120"),
    ('inlet_opens = "28 BTDC"', "", "timing.inlet_opens", "nothing", "28 BTDC"),
    ("margin = 20", "margin = -1", "timing.margin", "-1", "0 to 90"),
    ('"1 compression TDC"', '"2 compression TDC"', "plan[1].at", "2", "1"),
    ('"1 compression TDC"', '"1 top"', "plan[1].at", '"1 top"', "compression TDC"),
    ('valves = ["1I", "1E"]\n', 'valves = ["1I"]\n', "plan", "1E", "every valve"),
    ('valves = ["1I", "1E"]\n', 'valves = ["1I", "1E", "9E"]\n', "plan[1].valves", "9E", "1E"),
    ('value = "12 to 15 lbf*in"', 'value = "12"', "torque[1].value", "without a unit", "N m"),
    ('value = "12 to 15 lbf*in"', 'value = "15 to 12 lbf*in"', "torque[1].value", "upside down", "first"),
    ('what = "rocker cover bolts"', "", "torque[1].what", "nothing", "tightened"),
    ("months = 6", "months = 0", "interval.months", "0", "1 to 240"),
    ("months = 6", "months = 1.5", "interval.months", "1.5", "whole"),
    ("months = 6", "month = 6", "interval.month", "not known", "months?"),
    ('distance = "5000 km"', "distance = 5000", "interval.distance", "without a unit", "km"),
    ('distance = "5000 km"', 'distance = "0 km"', "interval.distance", "0 km", "above zero"),
    ("hours = 100", "hours = 0", "interval.hours", "0", "above zero"),
    ("hours = 100", "hours = -1", "interval.hours", "-1", "above zero"),
    ('{ distance = "800 km" }', "{ moths = 1 }", "interval.first.moths", "not known", "months?"),
]  # fmt: skip  # one row a fault


@pytest.mark.parametrize(("old", "new", "key", "found", "wanted"), ONE_FAULT)
def test_one_fault_is_told_with_line_key_found_and_wanted(
    old: str, new: str, key: str, found: str, wanted: str
) -> None:
    text = swapped(old, new)
    (fault,) = faults_of(text)
    assert fault.file == "lamp-boat.toml"
    assert fault.key == key
    assert found in fault.found
    assert wanted.lower() in fault.wanted.lower()
    if fault.found != "nothing" and key not in ("plan", "layout.firing"):
        assert fault.line is not None
        last_key = key.rpartition(".")[2].partition("[")[0]
        assert last_key in text.splitlines()[fault.line - 1]


def test_all_faults_come_at_once_from_the_top_down() -> None:
    text = swapped('name = "Lamp boat"', "name = 3")
    for old, new in (
        ('["1I", "1E"] }', '["1I", "2E"] }'),
        ('inlet = ["0.06 mm", "0.10 mm"]', 'inlet = "0.08"'),
        ("ratio = 1.0", "ratio = 0"),
        ("margin = 20", "margin = 200"),
        ('value = "12 to 15 lbf*in"', 'value = "12"'),
        ("months = 6", "moths = 6"),
    ):
        text = swapped(old, new, text)
    keys = [f.key for f in faults_of(text)]
    assert keys == [
        "name",
        "layout.valves.1[2]",
        "clearance.inlet",
        "adjuster.ratio",
        "timing.margin",
        "torque[1].value",
        "interval.moths",
    ]


FOUR = """\
format = 1
name = "Four"
[layout]
cylinders = ["1", "2", "3", "4"]
firing = { 1 = 0, 3 = 180, 4 = 360, 2 = 540 }
valves = { 1 = ["1I", "1E"], 2 = ["2I", "2E"], 3 = ["3I", "3E"], 4 = ["4I", "4E"] }
[clearance]
inlet = "0.20 mm"
exhaust = "0.30 mm"
[adjuster]
kind = "screw"
at = "pushrod"
"""


def test_firing_angles_that_repeat_are_one_fault_at_the_second() -> None:
    (fault,) = faults_of(swapped("4 = 360", "4 = 180", FOUR))
    assert fault.key == "layout.firing.4"
    assert "as cylinder 3 has" in fault.found


def test_several_cylinders_need_their_firing_angles() -> None:
    (fault,) = faults_of(swapped("firing = { 1 = 0, 3 = 180, 4 = 360, 2 = 540 }\n", "", FOUR))
    assert (fault.key, fault.line) == ("layout.firing", 3)
    (fault,) = faults_of(swapped(", 2 = 540", "", FOUR))
    assert (fault.key, fault.found) == ("layout.firing.2", "nothing")


def test_cylinders_are_each_there_once_and_not_too_many() -> None:
    doubled = swapped('["1", "2", "3", "4"]', '["1", "2", "3", "4", "4"]', FOUR)
    assert [f.key for f in faults_of(doubled)] == ["layout.cylinders"]
    many = swapped('["1", "2", "3", "4"]', str([str(i) for i in range(1, 14)]), FOUR)
    assert "13 cylinders" in faults_of(many)[0].found
    assert faults_of(swapped('["1", "2", "3", "4"]', "[]", FOUR))[0].found == "0 cylinders"
    odd = swapped('["1", "2", "3", "4"]', '["1", "2", "3", "4 "]', FOUR)
    assert parsed(odd).layout.cylinder("4") is not None
    with_space = swapped('["1", "2", "3", "4"]', '["1", "2", "3", "4 a"]', FOUR)
    assert faults_of(with_space)[0].key == "layout.cylinders[4]"


@pytest.mark.parametrize(
    ("at", "cylinder", "angle"),
    [
        ("1 compression TDC", "1", 0),
        ("1 overlap TDC", "1", 360),
        ("4 compression", "4", 0),
        ("1 compression TDC + 180", "1", 180),
        ("1 compression TDC - 90", "1", 630),
        ("1 overlap TDC + 360", "1", 0),
        ("3  compression  TDC +22.5", "3", Fraction(45, 2)),
    ],
)
def test_the_stops_of_a_printed_plan(at: str, cylinder: str, angle: int) -> None:
    valves = '["1I", "1E", "2I", "2E", "3I", "3E", "4I", "4E"]'
    sheet = parsed(FOUR + f'[[plan]]\nat = "{at}"\nvalves = {valves}\n')
    (stop,) = sheet.plan
    assert stop.cylinder == cylinder
    assert stop.angle == angle


@pytest.mark.parametrize(
    ("phrase", "angle"),
    [
        ("28 BTDC", 332),
        ("28 btdc", 332),
        ("28BTDC", 332),
        ("28 deg BTDC", 332),
        ("28\u00b0 BTDC", 332),
        ("TDC", 360),
        ("5,5 ATDC", Fraction(731, 2)),
    ],
)
def test_timing_phrases(phrase: str, angle: Fraction) -> None:
    timing = parsed(swapped('"28 BTDC"', f'"{phrase}"')).timing
    assert timing is not None
    assert timing.inlet.opens == angle


def test_inlet_and_exhaust_changed_over_are_noticed() -> None:
    text = FULL.replace("inlet_opens", "x").replace("exhaust_opens", "inlet_opens")
    faults = faults_of(text.replace("x =", "exhaust_opens ="))
    assert {f.key for f in faults} == {"timing.inlet_opens", "timing.exhaust_opens"}


@pytest.mark.parametrize(
    ("line", "mm"),
    [
        ('pitch = "0.75 mm"', "0.75"),
        ('pitch = "26 tpi"', "0.976923"),
        ('thread = "26 tpi"', "0.976923"),
        ('thread = "1/4-28"', "0.907143"),
        ('thread = "2 BA"', "0.81"),
        ('thread = "BSF 1/4"', "0.976923"),
        ('thread = "CEI 5/16"', "0.976923"),
        ('pitch = "0.977 mm"\nthread = "26 tpi"', "0.976923"),
        ('pitch = "0,75 mm"', "0.75"),
    ],
)
def test_pitches_and_threads(line: str, mm: str) -> None:
    assert parsed(swapped('thread = "M6x0.75"', line)).adjuster.pitch == Length.mm(mm)


def test_pitch_and_thread_that_disagree_are_a_fault() -> None:
    (fault,) = faults_of(swapped('thread = "M6x0.75"', 'thread = "M6x0.75"\npitch = "1.0 mm"'))
    assert fault.key == "adjuster.pitch"
    assert "1.000 mm" in fault.found
    assert "0.750 mm" in fault.wanted


def test_a_left_hand_thread_closes_anticlockwise_unless_the_sheet_says_otherwise() -> None:
    left = swapped('closes = "clockwise"', "left_hand = true")
    assert parsed(left).adjuster.closes is Rotation.ANTICLOCKWISE
    both = swapped('closes = "clockwise"', 'left_hand = true\ncloses = "clockwise"')
    assert parsed(both).adjuster.closes is Rotation.CLOCKWISE
    assert any("left-handed" in w for w in warnings_of(parsed(both)))


SHIMS = swapped('kind = "screw"', 'kind = "shim"\nunder_bucket = true\nshims = SIZES', LEAST)


def test_shims_as_a_list_and_as_steps() -> None:
    as_list = parsed(SHIMS.replace("SIZES", '["2.85 mm", "2.80 mm"]')).adjuster
    assert as_list.shim_sizes == (Length.mm("2.80"), Length.mm("2.85"))
    assert as_list.under_bucket
    steps = '{ from = "2.50 mm", to = "3.50 mm", step = "0.05 mm" }'
    as_steps = parsed(SHIMS.replace("SIZES", steps)).adjuster.shim_sizes
    assert len(as_steps) == 21
    assert (as_steps[0], as_steps[6], as_steps[-1]) == (
        Length.mm("2.50"),
        Length.mm("2.80"),
        Length.mm("3.50"),
    )


@pytest.mark.parametrize(
    ("sizes", "key"),
    [
        ('{ from = "3.50 mm", to = "2.50 mm", step = "0.05 mm" }', "adjuster.shims.to"),
        ('{ from = "2.50 mm", to = "3.50 mm", step = "0.07 mm" }', "adjuster.shims.step"),
        ('{ from = "2.50 mm", to = "3.50 mm", step = "0 mm" }', "adjuster.shims.step"),
        ('{ from = "2.50 mm", to = "3.50 mm", step = "0.000001 mm" }', "adjuster.shims.step"),
        ('{ from = "2.50 mm", to = "3.50 mm" }', "adjuster.shims.step"),
        ('["2.80 mm", "2.8 mm"]', "adjuster.shims"),
        ("[2.80]", "adjuster.shims[1]"),
        ('"2.80 mm"', "adjuster.shims"),
    ],
)
def test_faulty_shims(sizes: str, key: str) -> None:
    assert [f.key for f in faults_of(SHIMS.replace("SIZES", sizes))] == [key]


def test_openers_and_closers_are_two_gaps() -> None:
    text = swapped('["1I", "1E"]', '["1I", "1I-closer", "1E", "1E-closer"]', LEAST)
    figures = 'inlet_closer = "0.05 mm"\nexhaust_closer = ["0.05 mm", "0.10 mm"]\n[adjuster]'
    sheet = parsed(swapped("[adjuster]", figures, text))
    closer = sheet.layout.valve("1E-closer")
    assert closer is not None
    assert closer.role is GapRole.CLOSER
    assert sheet.clearances.of(closer) == Band(Length.mm("0.05"), Length.mm("0.10"))
    assert [f.key for f in faults_of(text)] == [
        "clearance.inlet_closer",
        "clearance.exhaust_closer",
    ]


def test_a_kind_without_a_figure_and_a_figure_without_a_kind() -> None:
    (fault,) = faults_of(swapped('exhaust = "0.08 mm"\n', "", LEAST))
    assert (fault.key, fault.found) == ("clearance.exhaust", "nothing")
    (fault,) = faults_of(swapped('["1I", "1E"]', '["1I"]', LEAST))
    assert fault.key == "clearance.exhaust"
    assert "no valve" in fault.found


def test_several_valves_a_cylinder_carry_a_word() -> None:
    sheet = parsed(swapped('["1I", "1E"]', '["1I-left", "1I-right", "1E"]', LEAST))
    assert [(v.name, v.kind) for v in sheet.layout.valves] == [
        ("1I-left", ValveKind.INLET),
        ("1I-right", ValveKind.INLET),
        ("1E", ValveKind.EXHAUST),
    ]


def test_a_hydraulic_engine_has_no_figures() -> None:
    text = swapped('kind = "screw"', 'kind = "hydraulic"', LEAST)
    text = text.replace('inlet = "0.08 mm"\nexhaust = "0.08 mm"\n', "")
    sheet = parsed(text)
    assert sheet.clearances.printed == ()
    assert "hydraulic" in warnings_of(sheet)[0]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("checked = true", "checked = false", "second time"),
        ('title = "Harbour workshop notes", ', "", "where its figures come from"),
        ('inlet = ["0.06 mm", "0.10 mm"]', 'inlet = "0.08 mm"', "no tolerance is printed"),
        ('stood = "4 h"', 'stood = "4 h"\nowner_band = "0.03 mm"', "is not used"),
        ('metal_below = "35 degC"\n', "", "how cold"),
        ('condition = "cold"', 'condition = "hot"', "how hot"),
        ('stood = "4 h"\n', "", "must have stood"),
        ('thread = "M6x0.75"', 'pitch = "0.3 mm"', "unusual"),
        ('thread = "M6x0.75"', 'pitch = "2.0 mm"', "unusual"),
        ('thread = "M6x0.75"', 'thread = "M6x0.8"', "no standard thread"),
        ('thread = "M6x0.75"\n', "", "No pitch"),
        ('at = "valve"', 'at = "pushrod"', "ratio is 1"),
        ("ratio = 1.0", "ratio = 1.5", "not used"),
        ("margin = 20", "margin = 5", "timing.margin"),
        ("marks = {", "marks = {} #", "No mark"),
        ('turns = "anticlockwise from the flywheel"\n', "", "which way"),
    ],
)
def test_odd_things_are_warned_about(old: str, new: str, words: str) -> None:
    assert any(words in sentence for sentence in warnings_of(parsed(swapped(old, new))))


def test_what_is_missing_is_warned_about() -> None:
    found = " ".join(warnings_of(parsed(LEAST)))
    assert "No interval" in found
    assert "No valve timing" in found


def test_an_owners_band_answers_for_a_single_figure() -> None:
    sheet = parsed(swapped("[adjuster]", 'owner_band = "0.03 mm"\n[adjuster]', LEAST))
    assert sheet.clearances.owner_band == Length.mm("0.03")
    assert not any("no tolerance" in w for w in warnings_of(sheet))


def test_windows_line_ends_and_a_byte_order_mark_are_nothing_to_complain_of() -> None:
    assert parsed("\ufeff" + FULL.replace("\n", "\r\n")) == parsed(FULL)


@pytest.mark.parametrize("text", ["", "format = 1", "\x00", "[[layout]]", "name = ", "\ud800"])
def test_a_file_that_is_no_sheet_at_all(text: str) -> None:
    assert faults_of(text)


VALUES = st.sampled_from(
    words("""0 -1 1.5 nan 1e400 true "" "x" [] [[]] {} 2026-01-02 99999999999999999999999999999999 "1mm"
    ["1I"] {1="1"} [{a=1}] "\\u001b[2J" "26" "\\n" '26' -inf 0x1F""")
)


@given(st.sampled_from(range(len(FULL.splitlines()))), VALUES)
def test_any_value_in_any_place_is_taken_or_a_fault(number: int, value: str) -> None:
    lines = FULL.splitlines()
    key, equals, _ = lines[number].partition(" = ")
    if not equals:
        lines[number] = f"[[{value}]]"
    else:
        lines[number] = f"{key} = {value}"
    with suppress(FaultyInput):
        parsed("\n".join(lines))


@given(st.integers(0, len(FULL)), st.integers(0, 12), st.text(max_size=4))
def test_a_slip_of_the_pen_anywhere_is_taken_or_a_fault(at: int, cut: int, slip: str) -> None:
    with suppress(FaultyInput):
        parsed(FULL[:at] + slip + FULL[at + cut :])
