"""Set on the one figure that is printed: how most handbooks mean it (common practice)."""

from __future__ import annotations

import pytest

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.on_figure import figure_band, judge_on_figure
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

mm = Length.mm
FIVES = BladeSet("fives", tuple(Leaf(mm(f"0.{k:02}")) for k in range(5, 55, 5)))
FINE = BladeSet("fine", tuple(Leaf(mm(m)) for m in ("0.08", "0.10", "0.12", "0.15", "0.20")))
IN, TIGHT, WIDE, MORE = (VerdictKind.IN, VerdictKind.TIGHT, VerdictKind.WIDE, VerdictKind.UNDECIDED)


def read(*told: str) -> list[Reading]:
    each = (one.split() for one in told)
    return [Reading(Feeler((Leaf(mm(size)),)), Answer(answer)) for size, answer in each]


@pytest.mark.parametrize(
    ("figure", "blades", "above"),
    [
        ("0.10", FINE, "0.12"),
        ("0.12", FINE, "0.15"),
        ("0.20", FIVES, "0.25"),  # from 0.20 on a step of 0.05 is near enough
        ("0.15", FIVES, "0.15"),  # below it is not: only a drag will do
        ("0.20", FINE, "0.20"),  # nothing above it
    ],
)
def test_the_next_leaf_up(figure: str, blades: BladeSet, above: str) -> None:
    assert figure_band(mm(figure), blades) == Band(mm(figure), mm(above))


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        (("0.20 drag",), IN),
        (("0.20 free", "0.25 refuses"), IN),
        (("0.20 drag", "0.25 refuses"), IN),
        (("0.20 refuses",), TIGHT),
        (("0.15 free", "0.20 refuses"), TIGHT),
        (("0.25 drag",), WIDE),
        (("0.25 free",), WIDE),
        (("0.20 free", "0.25 drag"), WIDE),
        (("0.20 free",), MORE),
        (("0.15 free",), MORE),
        (("0.25 refuses",), MORE),
    ],
)
def test_by_the_figures_leaf_and_the_next_one_up(told: tuple[str, ...], kind: VerdictKind) -> None:
    verdict = judge_on_figure(read(*told), figure_band(mm("0.20"), FIVES))
    assert verdict.kind is kind
    assert verdict.on_figure is (kind is IN)
    assert not verdict.proved
    assert verdict.at_limit is None


@pytest.mark.parametrize(
    ("told", "kind"), [("0.15 drag", IN), ("0.15 free", WIDE), ("0.15 refuses", TIGHT)]
)
def test_with_no_leaf_near_above_only_a_drag_will_do(told: str, kind: VerdictKind) -> None:
    assert judge_on_figure(read(told), figure_band(mm("0.15"), FIVES)).kind is kind


def test_a_leaf_within_its_own_error_of_the_figure_is_its_leaf() -> None:
    """Manuals print 0.10 mm (0.004 in) as one figure; an inch is 25.4 mm (ISO 31-1)."""
    inch = BladeSet("inch", tuple(Leaf(Length(25_400 * k)) for k in (3, 4, 5)))
    band = figure_band(mm("0.10"), inch)
    assert band == Band(Length(101_600), Length(127_000))
    drags = [Reading(Feeler((inch.leaves[1],)), Answer.DRAG)]
    assert judge_on_figure(drags, band).on_figure
