"""With the nut slack: where the gap stands by reckoning, one blade, a touch more."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Reading
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import ScrewTurned
from benchtui.domain.session.facts.valve_history import Stage, StageKind, Taken
from benchtui.domain.session.valve.before_lock import before_locking, reckoned, stands_right, touch
from benchtui.domain.sheet import Adjuster, AdjusterKind, Band

um = Length.um
# 36 degrees are 0.072 mm, a hand's 5 degrees 0.010 mm (geometry).
SCREW = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("0.72"))
RANGE = Band(um(80), um(120))
BLADES = BladeSet("F", tuple(Leaf(um(t)) for t in (30, 60, 97, 120, 150)))


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


def test_a_drag_about_the_aim_stands_right_and_wants_no_touch() -> None:
    stages = (FOUND, turned((97, Answer.DRAG)))
    assert stands_right(stages, RANGE, SCREW)
    assert touch(stages, RANGE, SCREW) is None
    # Dragging somewhere else says that it stands somewhere else.
    assert not stands_right((FOUND, turned((120, Answer.DRAG))), RANGE, SCREW)
    assert not stands_right((FOUND, turned((97, Answer.FREE))), RANGE, SCREW)


def test_free_at_the_aim_is_closed_a_little_and_refused_opened() -> None:
    close = touch((FOUND, turned((97, Answer.FREE))), RANGE, SCREW)
    assert close is not None
    assert close.way is Way.IN
    # 97 stands for the aim, 100, itself: 100 to 122, so 0 to 22 too wide, 11 in the middle.
    assert (close.degrees_low, close.degrees, close.degrees_high) == (
        Fraction(0),
        Fraction("5.5"),
        Fraction(11),
    )
    opened = touch((FOUND, turned((97, Answer.REFUSES))), RANGE, SCREW)
    assert opened is not None
    assert opened.way is Way.OUT
    # Reckoned 92 at the least, refused at 97: 3 to 8 too narrow, half a degree a micrometre.
    assert (opened.degrees_low, opened.degrees_high) == (Fraction("1.5"), Fraction(4))


def test_refused_a_little_above_the_aim_it_stands_below_it() -> None:
    opened = touch((FOUND, turned((103, Answer.REFUSES))), RANGE, SCREW)
    assert opened is not None
    assert (opened.way, opened.degrees_low) == (Way.OUT, Fraction(0))
    assert opened.degrees_high == Fraction(4)


def test_a_drag_before_the_turn_narrows_what_is_reckoned() -> None:
    """A 30 that drags: from 4 below it to 10 above (design values), 72 more and a hand's 10."""
    dragged = Stage(StageKind.FOUND, taken((30, Answer.DRAG), (60, Answer.REFUSES)))
    here = reckoned((dragged, turned()), SCREW)
    assert (here.low, here.high) == (um(26 + 72 - 10), um(40 + 72 + 10))


def test_no_touch_while_nothing_is_read_or_the_reckoning_is_contradicted() -> None:
    assert touch((FOUND, turned()), RANGE, SCREW) is None
    assert touch((FOUND, turned((150, Answer.FREE))), RANGE, SCREW) is None


def test_the_blade_before_locking_is_the_one_about_the_aim_and_says_what_to_do() -> None:
    tight = Band(um(90), um(110))
    advice = before_locking((FOUND, turned()), tight, SCREW, BLADES)
    assert advice is not None
    assert advice.feeler.nominal == um(97)
    assert "lock it" in advice.if_goes
    assert "open it a little" in advice.if_refuses
    # In a wide range a hand's turn lands well enough without one.
    assert before_locking((FOUND, turned()), Band(um(50), um(160)), SCREW, BLADES) is None
    coarse = BladeSet("C", (Leaf(um(50)), Leaf(um(200))))
    assert before_locking((FOUND, turned()), tight, SCREW, coarse) is None
