from __future__ import annotations

import pytest

from benchtui.domain.blades import JOINT, BladeSet, Feeler, Leaf
from benchtui.domain.length import Length

MM = Length.mm
SET = BladeSet("Some", (Leaf(MM("0.20")), Leaf(MM("0.05")), Leaf(MM("0.10")), Leaf(Length.thou(2))))


def test_a_set_is_kept_thinnest_first() -> None:
    assert [str(leaf.marked) for leaf in SET.leaves] == [
        "0.05 mm",
        "0.0508 mm",
        "0.10 mm",
        "0.20 mm",
    ]


def test_a_measured_leaf_sorts_and_counts_by_what_it_measured() -> None:
    worn = Leaf(MM("0.10"), measured=MM("0.04"), error=Length.um(2))
    owned = BladeSet("Worn", (Leaf(MM("0.05")), worn))
    assert owned.leaves[0] is worn
    assert (worn.thickness, owned.feeler(MM("0.10")).nominal) == (MM("0.04"), MM("0.04"))


def test_thicknesses_add_and_errors_add_outright() -> None:
    """Two leaves may be stacked and their thicknesses add. Source: TM 1-1500-204-23-9, s. 3-17."""
    both = SET.feeler(MM("0.20"), MM("0.05"))
    assert both.nominal == MM("0.25")
    assert both.thinnest == MM("0.24")
    assert both.thickest == MM("0.26") + JOINT
    assert str(both) == "0.20+0.05 mm"
    assert both.marks == SET.feeler(MM("0.05"), MM("0.20")).marks


def test_ten_leaves_measured_together_lie_within_the_widened_sum() -> None:
    """Ten leaves of 0.010 in: 0.105 to 0.106 in. Source: a workshop measurement quoted in print.

    More leaves than we let anybody stack: the excess of one joint, 5 to 6 thou over nine, is compared
    with what we allow a joint and its two leaves' errors.
    """
    excess = [(Length.inch(total) - Length.inch("0.100")).nm / 9 for total in ("0.105", "0.106")]
    pair = Feeler((Leaf(Length.thou(10)), Leaf(Length.thou(10))))
    allowed = (pair.thickest - pair.nominal).nm
    assert all(one <= allowed for one in excess)


@pytest.mark.parametrize("count", [0, 4])
def test_one_to_three_leaves_make_a_feeler(count: int) -> None:
    with pytest.raises(ValueError, match="one to 3 leaves"):
        Feeler((Leaf(MM("0.05")),) * count)


def test_a_stamp_that_is_not_in_the_set_is_borrowed() -> None:
    borrowed, owned = SET.feeler(MM("0.07"), MM("0.05")).leaves
    assert (borrowed.borrowed, owned.borrowed) == (True, False)
    assert SET.leaf(MM("0.07")) is None


def test_every_single_and_every_stack() -> None:
    assert [f.nominal for f in SET.singles()] == [leaf.marked for leaf in SET.leaves]
    assert len(SET.stacks(2)) == 6
    assert len(SET.stacks(3)) == 4


@pytest.mark.parametrize(
    ("marked", "measured", "error"),
    [(0, None, 5), (-1, None, 5), (50, 0, 5), (50, -1, 5), (50, 50, -1)],
)
def test_a_leaf_has_a_thickness(marked: int, measured: int | None, error: int) -> None:
    with pytest.raises(ValueError, match="above"):
        Leaf(Length.um(marked), None if measured is None else Length.um(measured), Length.um(error))


def test_an_empty_set_is_none() -> None:
    with pytest.raises(ValueError, match="at least one"):
        BladeSet("Empty", ())
