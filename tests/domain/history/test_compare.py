"""How far a valve moved between two sessions: intervals subtract crosswise."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.history.compare import Moved, moved_between
from benchtui.domain.length import Length


def _bracket(low: int, high: int | None) -> Bracket:
    top = None if high is None else Length.um(high)
    return Bracket(Length.um(low), top, Length.um(low), top)


def test_a_move_that_is_proved_and_one_that_is_not() -> None:
    closed = moved_between(_bracket(100, 120), _bracket(80, 90))
    assert closed == Moved(Length.um(-40), Length.um(-10))
    assert closed.closed
    assert not closed.opened
    none = moved_between(_bracket(90, 100), _bracket(80, 90))
    assert none == Moved(Length.um(-20), Length.um(0))
    assert not none.closed


def test_open_ends_leave_the_move_open() -> None:
    assert moved_between(_bracket(90, None), _bracket(80, 90)) == Moved(None, Length.um(0))
    assert moved_between(_bracket(90, 100), _bracket(80, None)) == Moved(Length.um(-20), None)
    # No blade went: the gap may be gone altogether, so nothing bounds the move from below.
    assert moved_between(_bracket(90, 100), _bracket(0, 50)) == Moved(None, Length.um(-40))


def test_a_contradiction_says_nothing() -> None:
    assert moved_between(_bracket(100, 90), _bracket(80, 90)) is None


@given(st.lists(st.integers(1, 400), min_size=6, max_size=6))
def test_the_true_move_is_always_inside(six: list[int]) -> None:
    """Whatever the true clearances were within their brackets."""
    (a, before, b), (c, after, d) = sorted(six[:3]), sorted(six[3:])
    moved = moved_between(_bracket(a, b), _bracket(c, d))
    assert moved is not None
    assert moved.least is not None
    assert moved.most is not None
    assert moved.least <= Length.um(after - before) <= moved.most
