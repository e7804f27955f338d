"""With the nut slack: lock it, a blade, a turn, or a blade held in, by what costs least on the mean."""

from __future__ import annotations

import pytest

from benchtui.domain.adjusting.turns import SMALL, Turn
from benchtui.domain.adjusting.while_slack import Best, Hold, Lock, TryFirst, Weighing
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Measured
from benchtui.domain.gauging.chances import ANY_HAND, chances_measured
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, Band

um = Length.um
# 36 degrees are 0.072 mm, a hand's 5 degrees 0.010 mm (geometry).
SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.72"))
RANGE = Band(um(80), um(120))
WIDE = Band(um(150), um(250))
BLADES = BladeSet("F", tuple(Leaf(um(t)) for t in (30, 60, 90, 100, 110, 120, 150, 200)))
NONE: frozenset[Feeler] = frozenset()


def best(
    value: int, error: int, *, band: Band = RANGE, leaf: int | None = None, screw: Adjuster = SCREW
) -> Best:
    held = None if leaf is None else Feeler((Leaf(um(leaf)),))
    here = chances_measured(Measured(um(value), um(error)))
    return Weighing(band, screw, ANY_HAND, held).best(here, BLADES, NONE)


def test_known_to_stand_right_it_is_locked() -> None:
    assert best(100, 3) == Lock()
    assert best(200, 20, band=WIDE) == Lock()


def test_not_known_well_enough_on_a_narrow_range_a_blade_first() -> None:
    found = best(100, 20)
    assert isinstance(found, TryFirst)
    then = dict(found.then)
    assert all(not isinstance(do, Turn) or do.degrees >= SMALL for do in then.values())
    # What refuses is under the blade: opened. What is free is over it: closed, or held.
    refused = then[Answer.REFUSES]
    assert not isinstance(refused, Turn) or not refused.closes


@pytest.mark.parametrize(("value", "closes"), [(50, False), (170, True)])
def test_known_to_stand_elsewhere_it_is_turned_there(value: int, closes: bool) -> None:
    found = best(value, 5)
    assert isinstance(found, Turn)
    assert found.closes is closes
    # Half a degree a micrometre (geometry).
    assert float(found.degrees) == pytest.approx(abs(value - 100) / 2, abs=1)
    assert found.degrees_low <= found.degrees <= found.degrees_high


@pytest.mark.parametrize("off", range(-40, 41, 4))
def test_no_turn_is_smaller_than_a_hand_can_make(off: int) -> None:
    found = best(100 + off, 3)
    assert not isinstance(found, Turn) or found.degrees >= SMALL


def test_a_blade_of_the_aim_held_in_where_the_gap_is_not_known() -> None:
    found = best(150, 60, leaf=100)
    assert isinstance(found, Hold)
    assert found.feeler == Feeler((Leaf(um(100)),))
    assert found.otherwise is not None
    assert found.otherwise.closes


def test_without_a_pitch_there_is_no_turn() -> None:
    bare = Adjuster(AdjusterKind.SCREW)
    assert best(50, 5, screw=bare) == Lock()
    assert best(50, 5, leaf=100, screw=bare) == Hold(Feeler((Leaf(um(100)),)))


def test_what_fails_once_it_is_locked_by_the_scatter_alone() -> None:
    """At a limit half of all locks, 10 um either way, go out; 10 um inside it none."""
    at = Weighing(RANGE, SCREW, ANY_HAND, None)
    assert at.fails(chances_measured(Measured(um(120), um(0)))) == pytest.approx(0.476, abs=0.001)
    assert at.fails(chances_measured(Measured(um(110), um(0)))) == 0
    assert at.fails_held == 1
