"""Short forms of the tables: engines that have moved, a stop gone round by the leaf, three hands."""

from __future__ import annotations

from typing import Any

import pytest

from benchtui.domain.length import Length
from benchtui.domain.session.valve import prior
from tests.simulation.drifted import (
    HANDS,
    NEGLECTED,
    OPENING,
    WELL_KEPT,
    Moved,
    gauge,
    loss,
    oracle,
)
from tests.simulation.rivals import as_choice, limits_first_on
from tests.simulation.rounds import go_round


@pytest.mark.parametrize(("moved", "most"), [(WELL_KEPT, 0.01), (NEGLECTED, 0.12)])
def test_sisters_teach_where_to_look(moved: Moved, most: float) -> None:
    """Against one who knows how far each kind has moved."""
    hand = HANDS["usual"]
    best = gauge(moved, hand, 3, oracle(moved), sessions=1)
    ours = gauge(moved, hand, 3, sessions=1)
    assert loss(ours, best) <= most
    assert ours.undecided == 0


def test_without_the_sisters_more_blades_are_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: Any) -> Length:
        return Length(0)

    hand = HANDS["usual"]
    learning = gauge(OPENING, hand, 3, sessions=1)
    monkeypatch.setattr(prior, "shift_of_kind", none)
    alone = gauge(OPENING, hand, 3, sessions=1)
    assert alone.halves > 1.1 * learning.halves


def test_limits_first_with_stacks_takes_more() -> None:
    hand = HANDS["usual"]
    rival = gauge(NEGLECTED, hand, 3, as_choice(limits_first_on), sessions=1)
    assert gauge(NEGLECTED, hand, 3, sessions=1).halves < 0.9 * rival.halves


@pytest.mark.parametrize("hand", ["usual", "stiff"])
def test_nothing_is_proved_that_is_not_so(hand: str) -> None:
    assert gauge(NEGLECTED, HANDS[hand], 5, sessions=1).false_proved == 0


def test_going_round_by_the_leaf_changes_it_half_as_often() -> None:
    each = go_round("valve by valve", WELL_KEPT, 3, engines=1)
    round_ = go_round("by the leaf", WELL_KEPT, 3, engines=1)
    assert round_.changes <= 0.65 * each.changes
    assert round_.insertions <= each.insertions + 2
