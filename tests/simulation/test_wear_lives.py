"""Wear over whole lives, in short; ``python -m tests.simulation.wear_lives`` prints the long table."""

from __future__ import annotations

from tests.simulation.wear_lives import lived

LIVES = 10


def test_valves_that_close_up_are_mostly_foretold_and_where_they_leave_is_held() -> None:
    count = lived("closing", "by itself", LIVES, seed=5)
    assert count["left"] > 10
    assert count["left, foretold"] >= 0.6 * count["left"]
    assert count["forecasts held"] >= 0.95 * count["forecasts"]
    assert count["bands held"] >= 0.95 * count["bands"]
    assert count["extra"] <= 0.4 * count["checks"]
    assert count["proofs wrong"] == 0


def test_of_valves_that_do_not_move_hardly_any_is_said_to() -> None:
    count = lived("steady", "asked for", LIVES, seed=5)
    assert count["claimed"] <= 0.02 * count["valves"] + 1
    assert count["bands held"] >= 0.95 * count["bands"]
