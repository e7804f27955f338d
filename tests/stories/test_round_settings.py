"""How its owner goes round a stop: told in ``workshop.toml``, and kept in the session that was begun so."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

Play = Callable[..., list[dict[str, Any]]]

# At the first of its two stops 1I and 2I wait for the same limits, 0.15 and 0.25.
VAN = """sheet harbour-van
blades hundredths
date 2026-05-01
odometer 1000 km
stops fewest
metal 12 C
stood 8 h
position 1 mark inlet
1I 0.15 free
"""


def tell(folder: Path, *lines: str) -> None:
    text = "\n".join(["format = 1", "[work]", *lines, ""])
    (folder / "workshop.toml").write_text(text, encoding="utf-8")


def blade(lines: list[dict[str, Any]], after: str) -> list[float]:
    step = next(s for s in lines if s.get("text") == after)
    return list(step["next"]["blades_mm"])


def test_by_the_leaf_what_stays_in_hand_is_tried_at_the_next_valve(play: Play) -> None:
    """By plain defaults: the leaf that 1I took last is the first at 2I, and the words say so before."""
    lines = play(f"{VAN}1I 0.25 refuses\n2I note next\n")
    before = next(s for s in lines if s.get("text") == "1I 0.15 free")
    assert before["next"]["blades_mm"] == [0.25]
    assert "0.25 is wanted at 2I too: keep it in hand" in before["message"]
    assert blade(lines, "2I note next") == [0.25]


def test_by_valve_no_leaf_is_promised_to_another(play: Play, story_data: Path) -> None:
    tell(story_data, 'round = "by valve"')
    lines = play(f"{VAN}1I 0.25 refuses\n2I note next\n")
    assert not any("keep it in hand" in str(s.get("message")) for s in lines)
    assert blade(lines, "2I note next") == [0.25], "it is in hand all the same, and loses nothing"


def test_where_changing_a_leaf_costs_nothing_the_best_is_taken(
    play: Play, story_data: Path
) -> None:
    tell(story_data, "leaf_change = 0", "move = 0")
    best = blade(play(f"{VAN}1I 0.25 refuses\n2I note next\n"), "2I note next")
    assert best == [0.15], "of two limits as good the lower comes first"


def test_a_session_keeps_the_way_that_it_was_begun_with(play: Play, story_data: Path) -> None:
    script = f"{VAN}1I 0.25 refuses\n2I 0.25 refuses\n2I 0.15 free\nclose\n"
    first = play(script, keep=True)
    tell(story_data, 'round = "by valve"', "leaf_change = 0")
    again = play(script, keep=True)
    assert again[-1]["summary"]["kept_before"] is True
    assert [s.get("next") for s in again] == [s.get("next") for s in first]
    assert [s.get("message") for s in again] == [s.get("message") for s in first]
