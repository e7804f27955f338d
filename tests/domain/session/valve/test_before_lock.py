"""With the nut slack: where the gap stands, by reckoning and place by place."""

from __future__ import annotations

from fractions import Fraction

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Reading
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import ScrewTurned
from benchtui.domain.session.facts.valve_history import Stage, StageKind, Taken
from benchtui.domain.session.valve.before_lock import reckoned, standing
from benchtui.domain.sheet import Adjuster, AdjusterKind

um = Length.um
HAND = FeelBand.exactly(um(-4), um(10))
# 36 degrees are 0.072 mm, a hand's 5 degrees 0.010 mm (geometry).
SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.72"))


def taken(*told: tuple[int, Answer], place: int | None = 2) -> tuple[Taken, ...]:
    return tuple(
        Taken(Reading(Feeler((Leaf(um(t)),)), answer), place, Fraction(19)) for t, answer in told
    )


FOUND = Stage(StageKind.FOUND, taken((30, Answer.FREE), (40, Answer.REFUSES)))


def turned(
    *told: tuple[int, Answer], degrees: int = 36, way: Way = Way.OUT, times: int = 1
) -> Stage:
    turn = ScrewTurned("1E", way, Fraction(degrees, times))
    return Stage(StageKind.TURNED, taken(*told), turns=(turn,) * times)


def test_the_bracket_moved_by_the_turn_with_the_hands_error() -> None:
    here = reckoned((FOUND, turned()), SCREW)
    assert (here.low, here.high) == (um(30 + 72 - 10), um(40 + 72 + 10))
    assert (here.wide_low, here.wide_high) == (um(25 + 72 - 10), um(45 + 72 + 10))


def test_every_turn_of_a_hand_adds_its_own_error() -> None:
    here = reckoned((FOUND, turned(times=2)), SCREW)
    assert (here.low, here.high) == (um(30 + 72 - 20), um(40 + 72 + 20))


def test_nothing_is_reckoned_below_nothing() -> None:
    here = reckoned((FOUND, turned(way=Way.IN)), SCREW)
    assert (here.low, here.wide_low) == (um(0), um(0))
    assert here.high is not None
    assert here.high >= here.low


def test_open_where_nothing_tells() -> None:
    unread = Stage(StageKind.FOUND)
    doubted = Stage(StageKind.FOUND, taken((30, Answer.FREE), (40, Answer.REFUSES), place=None))
    padded = Stage(StageKind.TURNED, backed_off=Fraction(60))
    for stages in ((unread, turned()), (doubted, turned()), (FOUND, padded)):
        assert reckoned(stages, SCREW) == OPEN
    assert reckoned((FOUND, turned()), Adjuster(AdjusterKind.SCREW)) == OPEN
    assert reckoned((FOUND, turned()), Adjuster(AdjusterKind.ECCENTRIC)) == OPEN


def test_what_was_before_the_last_lock_tells_nothing_more() -> None:
    locked = Stage(StageKind.LOCKED, taken((60, Answer.FREE), (70, Answer.REFUSES)))
    here = reckoned((FOUND, turned(), locked, turned()), SCREW)
    assert (here.low, here.high) == (um(60 + 72 - 10), um(70 + 72 + 10))


def test_a_blade_between_narrows_it() -> None:
    here = reckoned((FOUND, turned((97, Answer.FREE))), SCREW)
    assert (here.low, here.high) == (um(97), um(122))
    here = reckoned((FOUND, turned((97, Answer.DRAG))), SCREW)
    assert (here.low, here.high) == (um(93), um(107))


def test_a_drag_before_the_turn_narrows_what_is_reckoned() -> None:
    """A 30 that drags: from 4 below it to 10 above (design values), 72 more and a hand's 10."""
    dragged = Stage(StageKind.FOUND, taken((30, Answer.DRAG), (60, Answer.REFUSES)))
    here = reckoned((dragged, turned()), SCREW)
    assert (here.low, here.high) == (um(26 + 72 - 10), um(40 + 72 + 10))


def test_standing_is_what_was_read_moved_by_the_turn_and_weighed_by_what_was_read_since() -> None:
    found = standing((FOUND, turned()), SCREW, HAND)
    assert found is not None
    assert abs(found.mean - (um(35 + 72))) <= um(4)
    dragged = standing((FOUND, turned((97, Answer.DRAG))), SCREW, HAND)
    assert dragged is not None
    assert dragged.span(20)[1] < found.span(20)[1]


def test_set_on_a_blade_it_stands_there_whatever_it_was_before() -> None:
    held = Stage(StageKind.TURNED, held=Feeler((Leaf(um(97)),)))
    here = standing((FOUND, turned(), held), SCREW, HAND)
    assert here is not None
    assert abs(here.mean - um(100)) <= um(1)


@pytest.mark.parametrize(
    "stages",
    [
        (Stage(StageKind.FOUND), turned()),
        (FOUND, turned((150, Answer.FREE))),  # the reckoning and the blade do not agree
        (FOUND, Stage(StageKind.TURNED, backed_off=Fraction(60))),
    ],
)
def test_where_nothing_tells_or_all_of_it_disagrees_it_is_not_known(
    stages: tuple[Stage, ...],
) -> None:
    assert standing(stages, SCREW, HAND) is None
