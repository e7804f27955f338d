"""A set of blades typed into a form reads back as it was typed; figures exact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.length import Length
from benchtui.store.paths import shipped_specs
from benchtui.text.forms.blades_form import (
    answers_of,
    changed_set,
    decides,
    examine,
    leaf_rows,
    new_set,
    read_leaves,
)
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.blades_file import parse_blades
from benchtui.text.reading.sheet_file import parse_sheet

SETS = sorted((shipped_specs() / "blades").glob("*.toml"))


@pytest.mark.parametrize(
    ("typed", "leaves"),
    [
        (".03 to .06 by .01, .12", ["0.03 mm", "0.04 mm", "0.05 mm", "0.06 mm", "0.12 mm"]),
        (".05 .10 .15", ["0.05 mm", "0.10 mm", "0.15 mm"]),
        ("2 to 4 by 1 thou, 1.5 thou", ["2 thou", "3 thou", "4 thou", "1.5 thou"]),
        ("0.05 mm, 0.0015 in", ["0.05 mm", "0.0015 in"]),
        (".10 .10", ["0.10 mm"]),
    ],
)
def test_leaves_singly_or_by_a_step(typed: str, leaves: list[str]) -> None:
    assert read_leaves(typed) == leaves


@pytest.mark.parametrize("typed", ["thin ones", ".10 to .05 by .01", ".03 to .10 by .03", ".1 by"])
def test_what_is_no_leaf_is_named(typed: str) -> None:
    with pytest.raises(FaultyQuantity):
        read_leaves(typed)
    assert "leaves" in examine({"name": "Box", "leaves": typed}).wrong


@pytest.mark.parametrize("path", SETS, ids=lambda p: p.stem)
def test_answering_what_stands_there_changes_no_letter(path: object) -> None:
    text = path.read_text(encoding="utf-8")  # type: ignore[attr-defined]  # a path
    assert changed_set(text, answers_of(text)) == text


@given(
    sizes=st.lists(st.integers(2, 100), min_size=1, max_size=30, unique=True),
    off=st.integers(-9, 9),
)
def test_what_is_written_reads_back(sizes: list[int], off: int) -> None:
    leaves = ", ".join(f"{n / 100:.2f}" for n in sizes)
    first = sizes[0] * 10 + off
    answers = {
        "name": "Box",
        "leaves": leaves,
        "error": "0.005",
        "measured": f"{sizes[0] / 100:.2f} is {first / 1000:.3f}",
    }
    blades = parse_blades(new_set(answers), "box", "box")
    assert {leaf.marked for leaf in blades.leaves} == {Length.um(10 * n) for n in sizes}
    leaf = blades.leaf(Length.um(10 * sizes[0]))
    assert leaf is not None
    assert leaf.measured == Length.um(first)


def test_it_says_at_once_what_it_decides() -> None:
    text = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    pump = parse_sheet(text, "quay-pump", "quay-pump")
    fine = examine({"name": "Box", "leaves": ".06 .08 .10 .12"}).blades
    assert fine is not None
    assert decides(fine, (pump,)) == ("Quay pump  0.06 0.08 0.10 0.12  √ every limit is a leaf",)
    short = examine({"name": "Box", "leaves": ".04 .06 .08"}).blades
    assert short is not None
    (line,) = decides(short, (pump,))
    assert "0.10 by 2" in line, "0.06 and 0.04 together"
    few = examine({"name": "Box", "leaves": ".05 .20"}).blades
    assert few is not None
    assert "no stack makes 0.06" in decides(few, (pump,))[0]
    assert any("2.4" in row for row in leaf_rows(fine, 78)), (
        "0.06 mm is 2.4 thou (25.4 mm to the inch)"
    )
