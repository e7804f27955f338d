"""A sheet with one figure and no tolerance, set as the handbook says (common practice)."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchtui.domain.session.facts.events import Particulars
from benchtui.practice.session import rehearse
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

Play = Callable[..., list[dict[str, Any]]]

WINCH = """sheet slip-winch
blades fine-metric
metal 19 C
figure
position 1 mark slack
"""


def told(play: Play, *lines: str) -> list[dict[str, Any]]:
    return play(WINCH + "".join(f"{line}\n" for line in lines))


def test_a_drag_on_the_figure_is_all_that_is_asked(play: Play) -> None:
    first, last = (s for s in told(play, "1I 0.10 drag") if s.get("step") in (5, 6))
    assert first["sentence"] == "Try 0.10. Refuses: tight. Drags: on the figure."
    assert (last["verdict"], last["on_figure"], last["proved"]) == ("in", True, False)
    assert last["sentence"] == "1I is on the figure. 1E is next."


def test_free_wants_the_next_leaf_up(play: Play) -> None:
    steps = told(play, "1I 0.10 free", "1I 0.12 refuses")
    assert [(s["verdict"], s["on_figure"]) for s in steps if s.get("step") in (6, 7)] == [
        ("undecided", False),
        ("in", True),
    ]


def test_tight_it_is_set_on_the_blade_of_the_figure_and_measured_again(play: Play) -> None:
    *_, tight, setting, locked, again, _summary = told(
        play,
        "1I 0.10 refuses",
        "1I 0.08 free",
        "1I 0.10 refuses",
        "1I set 0.10",
        "1I lock",
        "1I 0.10 drag",
    )
    assert (setting["tall"], again["on_figure"]) == ("LOCK IT", True)
    assert locked["tall"] == "0.10"
    assert tight["verdict"] == "tight"
    assert tight["tall"] == "SET 0.10"


def test_such_a_check_counts(play: Play) -> None:
    summary = told(play, "1I 0.10 drag", "1E 0.15 drag", "close")[-1]["summary"]
    assert summary["complete"] is True
    assert all(v["left"]["on_figure"] for v in summary["valves"].values())


def test_where_no_leaf_allows_for_the_lock_the_hand_does_and_at_last_one_is_borrowed(
    play: Play,
) -> None:
    """No leaf of tenths allows for a lock that takes 0.02: it is left looser (common practice)."""
    once = "1I set 0.10\n1I lock\n1I 0.10 refuses\n1I 0.05 free\n1I 0.10 refuses\n"
    found = (
        WINCH.replace("fine-metric", "coarse-metric")
        + "1I 0.10 refuses\n1I 0.05 free\n1I 0.10 refuses\n"
    )
    by_hand = play(found + 2 * once)[-2]
    assert by_hand["do"] == "set-on-blade"
    assert by_hand["sentence"] == "Slacken; hold in 0.10; screw to a hair loose; lock."
    at_last = play(found + 4 * once)[-2]
    assert (at_last["do"], at_last["sentence"]) == ("borrow", "Borrow 0.119, or measure it.")


def test_a_band_of_his_own_takes_its_place_and_the_figure_takes_it_back(play: Play) -> None:
    def left(*lines: str) -> bool:
        summary = told(play, "1I 0.10 drag", *lines)[-1]["summary"]
        return bool(summary["valves"]["1I"]["left"]["on_figure"])

    assert [left(), left("band 0.02"), left("band 0.02", "figure")] == [True, False, True]


DAY = """sheet slip-winch
blades fine-metric
date {day}
hours {hours}
metal 19 C
{more}position 1 mark slack
1I 0.10 drag
1E 0.15 drag
close
"""


def day(date: str, hours: int, more: str = "") -> str:
    return DAY.format(day=date, hours=hours, more=more)


def asked(lines: list[dict[str, Any]]) -> list[str]:
    return [s["tall"] for s in lines if s.get("do") == "tell"]


def left(lines: list[dict[str, Any]]) -> set[bool]:
    valves = lines[-1]["summary"]["valves"].values()
    return {bool(v["left"]["on_figure"]) for v in valves}


def test_it_is_asked_once_of_an_engine_and_holds_for_its_next_checks(play: Play) -> None:
    at = "position 1 mark slack\n"
    first = play(day("2026-05-01", 100).replace(at, f"{at}figure\n"), keep=True)
    assert asked(first) == ["BAND?"], "once, at the first valve; not at the second"
    second = play(day("2026-08-01", 140), keep=True)
    assert (asked(second), left(second)) == ([], {True})
    assert second[-1]["summary"]["complete"] is True
    # Written in again it is the same session, taught as it was.
    again = play(day("2026-08-01", 140), keep=True)
    assert (asked(again), left(again)) == ([], {True})
    # A band of his own from then on, until he says otherwise.
    third = play(day("2026-11-01", 180, "band 0.02\n"), keep=True)
    assert left(third) == {False}
    fourth = play(day("2027-02-01", 220), keep=True)
    assert (asked(fourth), left(fourth)) == ([], {False})


def test_a_practice_teaches_no_engine_how_it_is_judged(play: Play) -> None:
    """Nothing is stored by a play that is not kept, so nothing is remembered."""
    play(day("2026-05-01", 100, "figure\n"))
    assert asked(play(day("2026-08-01", 140)))[:1] == ["BAND?"]


def test_practice_goes_by_what_is_told_for_it(play: Play, story_data: Path) -> None:
    """Its gaps are drawn by the band told for practice: the engine's own choice plays no part."""
    play(day("2026-05-01", 100, "figure\n"), keep=True)
    shop = Workshop(DataFolder(story_data), wall_clock)
    sheet = shop.engines.sheet("slip-winch")
    assert shop.opening(sheet, "fine-metric", Particulars()).on_figure
    state = rehearse(shop, sheet, "fine-metric").bench.state
    assert (state.on_figure, state.band) == (False, None)
