"""Every kind of adjuster answers for itself, in a module of its own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import benchtui
from benchtui.domain.adjusting.kinds import KINDS
from benchtui.domain.adjusting.turns import gap_per_turn
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Adjuster, AdjusterKind, Gear, ScrewEnd

MM = Length.mm("1")


def test_every_name_on_a_sheet_has_its_kind() -> None:
    assert set(KINDS) == {kind.value for kind in AdjusterKind}


def test_nobody_asks_which_kind_it_is() -> None:
    # The reading names them for what a sheet says; everybody else asks ``set_by``.
    asked = [
        path.name
        for path in Path(benchtui.__file__).parent.rglob("*.py")
        if re.search(r"AdjusterKind\.[A-Z]", path.read_text(encoding="utf-8"))
    ]
    assert asked == ["sheet_adjuster.py"]


@pytest.mark.parametrize("kind", AdjusterKind)
@pytest.mark.parametrize("under_bucket", [False, True])
def test_what_each_asks_for(kind: AdjusterKind, under_bucket: bool) -> None:
    by = Adjuster(kind, under_bucket=under_bucket).set_by
    # Common practice: screws, nuts and eccentrics are locked; shims are swapped; nothing else is set.
    assert by.locked is (kind.value in ("screw", "pillar nut", "eccentric"))
    assert by.shims is (kind.value == "shim")
    assert by.measured is (by.locked or by.shims)
    assert by.cams_out is (by.shims and under_bucket)
    assert by.learned is (kind.value == "eccentric")
    assert (by.no_turn is None) is by.threaded


@pytest.mark.parametrize(
    ("kind", "why"),
    [
        (AdjusterKind.SHIM, Why.SET_BY_SHIMS),
        (AdjusterKind.ECCENTRIC, Why.ECCENTRIC_NO_PITCH),
        (AdjusterKind.HYDRAULIC, Why.HYDRAULIC),
        (AdjusterKind.SCREW, Why.NO_PITCH),
    ],
)
def test_why_no_turn_is_told(kind: AdjusterKind, why: Why) -> None:
    with pytest.raises(Refusal) as caught:
        gap_per_turn(Adjuster(kind))
    assert caught.value.why is why


def test_where_each_is_felt() -> None:
    assert Adjuster(AdjusterKind.SCREW).gear is Gear.ROCKERS
    assert Adjuster(AdjusterKind.SCREW, at=ScrewEnd.PUSHROD).gear is Gear.PUSHRODS
    assert Adjuster(AdjusterKind.PILLAR_NUT).gear is Gear.PUSHRODS
    assert Adjuster(AdjusterKind.SHIM).gear is Gear.BUCKETS
