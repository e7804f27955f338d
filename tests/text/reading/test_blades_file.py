from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.length import Length
from benchtui.text.reading.blades_file import parse_blades

MIXED = """\
format = 1
name = "Tin by the door"
leaves = ["0.05 mm", "0.0015 in", "0.003 in", "0.08 mm"]
error = "0.006 mm"

[measured]
"0.05 mm" = "0.048 mm"
"3 thou" = "0.0031 in"
"""


def parsed(text: str) -> BladeSet:
    return parse_blades(text, "tin", "tin.toml")


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultyInput) as caught:
        parsed(text)
    return caught.value.faults


def test_inch_and_metric_leaves_mix_exactly() -> None:
    blades = parsed(MIXED)
    assert blades.name == "Tin by the door"
    assert [leaf.marked.nm for leaf in blades.leaves] == [38_100, 50_000, 76_200, 80_000]


def test_a_measured_leaf_has_its_thickness_and_the_smaller_error() -> None:
    blades = parsed(MIXED)
    leaf = blades.leaf(Length.thou(3))
    assert leaf is not None
    assert leaf.thickness == Length.inch("0.0031")
    assert leaf.error == Length.um(2)
    other = blades.leaf(Length.mm("0.08"))
    assert other is not None
    assert other.measured is None
    assert other.error == Length.um(6)


def test_the_error_may_be_left_out_and_so_may_the_name() -> None:
    blades = parsed('format = 1\nleaves = ["0.05 mm"]\n')
    assert blades.name == "tin"
    assert blades.leaves[0].error == Length.um(5)


def test_a_leaf_from_0_0039_in_is_not_the_one_of_0_1_mm() -> None:
    blades = parsed('format = 1\nleaves = ["0.0039 in", "0.10 mm"]\n')
    assert [leaf.marked.nm for leaf in blades.leaves] == [99_060, 100_000]


@pytest.mark.parametrize(
    ("old", "new", "key", "found", "wanted"),
    [
        ("format = 1", "format = 9", "format", "9", "1"),
        ('"0.05 mm", "0.0', '0.05, "0.0', "leaves[1]", "without a unit", "0.05 mm"),
        ('"0.05 mm", "0.0', '"0,05", "0.0', "leaves[1]", "without a unit", "unit"),
        ('"0.08 mm"]', '"0.05 mm"]', "leaves[4]", "more than once", "once"),
        ('"0.08 mm"]', '"50 um"]', "leaves[4]", "more than once", "once"),
        ('"0.08 mm"]', '"NaN"]', "leaves[4]", "not a finite", "length"),
        ('"0.08 mm"]', '"-0.08 mm"]', "leaves[4]", "sign", "length"),
        ('"0.08 mm"]', '"0 mm"]', "leaves[4]", "no length", "above zero"),
        ('"0.08 mm"]', '"8 mm"]', "leaves[4]", "8 mm", "at most 5"),
        ('"0.08 mm"]', '"1e9 mm"]', "leaves[4]", "exponent", "plain"),
        ('error = "0.006 mm"', "error = 0.006", "error", "without a unit", "0.005 mm"),
        ('error = "0.006 mm"', 'error = "0.6 mm"', "error", "0.6 mm", "at most 0.05"),
        ('error = "0.006 mm"', 'eror = "0.006 mm"', "eror", "not known", "error?"),
        ('"3 thou" =', '"4 thou" =', "measured.4 thou", "not in the set", "one of"),
        ('"3 thou" =', '"3" =', "measured.3", "without a unit", "unit"),
        ('"3 thou" =', '"50 um" =', "measured.50 um", "more than once", "once"),
        ('"0.0031 in"', '"0.31 mm"', "measured.3 thou", "0.31 mm", "within 0.05"),
        ('"0.0031 in"', "0.0031", "measured.3 thou", "without a unit", "unit"),
    ],
)
def test_one_fault_is_told(old: str, new: str, key: str, found: str, wanted: str) -> None:
    assert MIXED.count(old) == 1
    (fault,) = faults_of(MIXED.replace(old, new))
    assert fault.key == key
    assert fault.line is not None
    assert found in fault.found
    assert wanted in fault.wanted


def test_leaves_must_be_there() -> None:
    assert [(f.key, f.found) for f in faults_of("format = 1")] == [("leaves", "nothing")]
    assert "0 leaves" in faults_of("format = 1\nleaves = []\n")[0].found


def test_all_faults_come_at_once() -> None:
    text = 'format = 1\nname = 3\nleaves = ["0.05", "x", "0.05 mm"]\nerror = 1\ncolour = "red"\n'
    assert [f.key for f in faults_of(text)] == ["name", "leaves[1]", "leaves[2]", "error", "colour"]
    assert [f.line for f in faults_of(text)] == [2, 3, 3, 4, 5]


@given(st.integers(0, len(MIXED)), st.integers(0, 8), st.text(max_size=4))
def test_a_slip_of_the_pen_anywhere_is_taken_or_a_fault(at: int, cut: int, slip: str) -> None:
    with suppress(FaultyInput):
        parsed(MIXED[:at] + slip + MIXED[at + cut :])
