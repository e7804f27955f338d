from __future__ import annotations

from pathlib import Path

import pytest

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.reach import limits_of
from benchtui.domain.length import Length
from benchtui.domain.sentence import Sentence
from benchtui.store.library import library
from benchtui.store.paths import DataFolder
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.words.stamped import (
    amount,
    blade_both,
    blade_label,
    bracket_both,
    inch_set,
    label,
    limits_told,
    printed,
    tall_figures,
    typed_marks,
    typed_measure,
    unit_of,
)

INCH = BladeSet("inch", tuple(Leaf(Length.inch(t)) for t in ("0.0015", "0.008", "0.010", "0.050")))
METRIC = BladeSet("metric", tuple(Leaf(Length.mm(t)) for t in ("0.03", "0.05", "0.127", "0.25")))


def inch(text: str) -> Length:
    return Length.inch(text)


def mm(text: str) -> Length:
    return Length.mm(text)


def test_a_set_is_of_inches_where_most_of_its_leaves_are() -> None:
    assert inch_set(INCH)
    assert not inch_set(METRIC)


def test_what_is_round_in_both_goes_by_the_set() -> None:
    """0.050 in is 1.27 mm exactly (25.4 mm to the inch, by definition)."""
    assert inch("0.050") == mm("1.27")
    assert unit_of(mm("1.27"), inch=True) == "in"
    assert unit_of(mm("1.27"), inch=False) == "mm"
    assert unit_of(mm("0.28"), inch=True) == "mm"


def test_a_leaf_reads_as_it_is_stamped_and_in_mm_beside_it() -> None:
    ten, thin = INCH.feeler(inch("0.010")), INCH.feeler(inch("0.0015"))
    assert tall_figures(ten, inch=True) == ((".010",), "in")
    assert tall_figures(thin, inch=True) == ((".0015",), "in")
    assert blade_both(ten, inch=True) == "0.010 in"
    assert tall_figures(METRIC.feeler(mm("0.25")), inch=False) == (("0.25",), "mm")
    assert blade_both(METRIC.feeler(mm("0.25")), inch=False) == "0.25"


def test_stacks_of_one_unit_and_of_two() -> None:
    same = INCH.feeler(inch("0.008"), inch("0.010"))
    mixed = INCH.feeler(inch("0.008"), mm("0.05"))
    assert tall_figures(same, inch=True) == ((".010", ".008"), "in")
    assert blade_both(same, inch=True) == "0.010+0.008 in"
    assert tall_figures(mixed, inch=True) == (("0.2032", "0.05"), "mm")
    assert blade_both(mixed, inch=True) == "0.008 in+0.05 mm"
    assert blade_label(mixed, inch=True) == "0.008+0.05 mm"


def test_a_ruler_names_the_unit_that_is_not_its_own() -> None:
    assert label(inch("0.010"), inch=True) == "0.010"
    assert label(mm("0.28"), inch=True) == "0.28 mm"
    assert label(inch("0.004"), inch=False) == "0.004 in"
    assert label(mm("0.28"), inch=False) == "0.28"


def test_brackets_in_inches_first_and_never_in_two_units() -> None:
    assert bracket_both(Bracket(inch("0.008"), inch("0.010")), inch=True) == (
        "0.008 in goes, 0.010 in refuses"
    )
    assert bracket_both(Bracket(inch("0.008")), inch=True) == ("0.008 in goes, nothing has refused")
    assert bracket_both(Bracket(high=inch("0.008")), inch=True) == (
        "0.008 in refuses, nothing has gone in"
    )
    assert bracket_both(Bracket(inch("0.008"), mm("0.28")), inch=True) == (
        "0.2032 mm goes, 0.28 mm refuses"
    )
    assert bracket_both(Bracket(mm("0.05"), mm("0.06")), inch=False) == "0.05 goes, 0.06 refuses"
    assert bracket_both(Bracket(), inch=True) == "not measured"


def test_a_sentence_is_printed_in_the_unit_of_the_set() -> None:
    """0.2286 and 0.254 mm are 9 and 10 thou (25.4 mm an inch, exact)."""
    said = Sentence("{} goes, {} refuses", Length.thou(9), Length.thou(10))
    assert said == "0.2286 goes, 0.254 refuses"
    assert printed(said, inch=True) == "0.009 in goes, 0.010 in refuses"
    metric = Sentence("{} goes, {} refuses", Length.mm("0.06"), Length.mm("0.10"))
    assert printed(metric, inch=True) == printed(metric, inch=False) == "0.06 goes, 0.10 refuses"
    assert printed("nothing measured", inch=True) == "nothing measured"


def test_a_bare_figure_typed_beside_an_inch_set_is_inches_as_on_the_leaf() -> None:
    assert typed_marks(".010", inch=True) == (inch("0.010"),)
    assert typed_marks("0.008+0.0015", inch=True) == (inch("0.008"), inch("0.0015"))
    assert typed_marks("4 thou", inch=True) == (inch("0.004"),)
    assert typed_marks("0.25 mm", inch=True) == (mm("0.25"),)
    assert typed_marks("0.25", inch=False) == (mm("0.25"),)


@pytest.mark.parametrize("text", ["0.25", "10", "0.25+0.010"])
def test_a_bare_figure_too_thick_for_an_inch_leaf_is_asked_for_its_unit(text: str) -> None:
    with pytest.raises(FaultyQuantity, match="unit"):
        typed_marks(text, inch=True)


def test_what_locking_took_is_told_in_the_unit_of_the_blades() -> None:
    """0.017 mm over 25.4 mm an inch is 0.00067 in."""
    assert amount(mm("0.017"), inch=False) == "0.017 mm"
    assert amount(mm("0.017"), inch=True) == "0.0007 in"


def test_limits_are_told_in_the_unit_that_the_sheet_prints_each_in(tmp_path: Path) -> None:
    """A sheet with inches for one kind and millimetres for the other: no 0.2032 of anything."""
    mixed = library(DataFolder(tmp_path)).sheet("dredge-lift")
    assert limits_told(mixed, limits_of(mixed)) == "0.008 in 0.010 in 0.28 mm 0.34 mm"
    metric = library(DataFolder(tmp_path)).sheet("quay-pump")
    assert limits_told(metric, limits_of(metric)) == "0.06 0.08 0.10 0.12"


def test_a_measured_gap_beside_an_inch_set_is_in_inches() -> None:
    """As a blade typed there is; 25.4 mm to the inch (ISO 31-1)."""
    assert typed_measure("0.0045", inch=True)[0] == inch("0.0045")
    assert typed_measure("0.0045 +-0.0005", inch=True) == (inch("0.0045"), inch("0.0005"))
    assert typed_measure("0.11 mm", inch=True)[0] == mm("0.11")
    assert typed_measure("0.11", inch=False)[0] == mm("0.11")
    with pytest.raises(FaultyQuantity, match="beside an inch set"):
        typed_measure("0.11", inch=True)
