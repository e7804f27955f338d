"""The foot: what stands there is the step's own key, and a click on it is that key."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchtui.domain.session.facts.events import CamsStep
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.text.words.foot import (
    Box,
    Foot,
    answers,
    bench_foot,
    closing_foot,
    filed_foot,
    shims_foot,
)
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.setting import SettingScreen
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.foot import FootPicture, draw
from tests.tui.test_bench_from_afar import bench, rows, take

LEADS = k.Leads(k.Lead.TIGHT, k.Lead.AT_LIMIT, k.Lead.IN_RANGE)


def test_each_answer_stands_at_its_key_with_what_it_leads_to() -> None:
    """S, D and F in three rows; the right hand's key below, so that both hands learn it."""
    assert draw(answers(LEADS), 80, 3).lines() == [
        "▄▀▀▀  ■ refuses           █▀▀▄  ≈ drags             █▀▀▀  ○ goes free",
        " ▀▀▄  → tight             █  █  → at limit          █▀▀   → in range",
        "▀▀▀   or J                ▀▀▀   or K                ▀     or L",
    ]


def test_where_the_answers_lead_nowhere_each_is_described_instead() -> None:
    drawn = "\n".join(draw(answers(), 80, 3).lines())
    assert "or by force" in drawn  # forcing a blade counts as refuses
    assert "a light, even pull" in drawn
    assert "nothing holds it" in drawn


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize(
    "foot",
    [
        answers(LEADS),
        Foot.one("enter", "set 1E: on a 0.10 blade held in", "or by degrees: out 22"),
        Foot((Box("space", ("turned so;", "nut slack")), Box("enter", ("locked:", "measure 1E")))),
        closing_foot(k.CloseUp(k.ClosePart.FIRST_RUN), in_part=True),
        filed_foot("Dredge lift pump", practice=False),
    ],
)
def test_no_word_is_lost_at_any_width(foot: Foot, width: int) -> None:
    drawn = " ".join(" ".join(draw(foot, width, 3).lines()).split())
    for box in foot.boxes:
        for word in " ".join(box.lines).split():
            assert word in drawn


def test_on_a_large_screen_its_letters_are_five_rows_high_and_it_says_more() -> None:
    """At 120 columns a gloved finger has a target of five rows, and how it feels stands there."""
    drawn = draw(answers(LEADS), 120, 5).lines()
    assert drawn[0].startswith("  ██████  ■ refuses")
    assert drawn[3].startswith("      ██  or by force")
    assert "nothing holds it" in drawn[3]
    assert draw(Foot.one("enter", "file it so"), 120, 5).lines()[4].startswith("████████  ██")


def test_its_letters_are_calmer_than_the_headline() -> None:
    grid = draw(Foot.one("enter", "file it so"), 80, 3)
    assert {role for text, role in grid.runs(0) if "█" in text} == {Role.KEY}


async def test_the_foot_is_the_next_steps_own(tmp_path: Path) -> None:
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        app = pilot.app
        assert isinstance(app, BenchApp)
        for blade, answer in (("0.06", "s"), ("0.04", "f"), ("0.05", "d"), ("0.06", "s")):
            foot = app.screen.query_one("#foot", FootPicture).view
            assert foot == bench_foot(next_step(app.session_state, "1I"), inch=False)
            await take(pilot, blade, answer)
        assert "set 1I: on a" in "\n".join(rows(pilot))
        at = app.screen.query_one("#foot", FootPicture).region
        await pilot.click(offset=(at.x + 5, at.y + 1))
        await pilot.pause()
        assert isinstance(app.screen, SettingScreen)


def test_around_the_cams_each_step_is_named_before_it_is_done() -> None:
    out = shims_foot(k.CamsOut((), ()))
    assert [b.key for b in out.boxes] == ["space"]
    left = (CamsStep.CAPS_IN_STEPS, CamsStep.TWO_SLOW_TURNS)
    lines = shims_foot(k.CamsBack(left)).boxes[0].lines
    assert lines == ("cams: back in, caps tightened in steps", "1 more after it")


def test_closing_up_space_does_the_line_and_enter_files_what_it_will_be_filed_as() -> None:
    for part in k.ClosePart:
        foot = closing_foot(k.CloseUp(part, ("4 rags",)), in_part=False)
        wanted = ["enter"] if part is k.ClosePart.FILE else ["space", "enter"]
        assert [box.key for box in foot.boxes] == wanted
        assert foot.boxes[-1].lines == ("file it so",)
    bench_first = closing_foot(k.LockIt("1E", ("1E",), next(iter(k.LockWhy))), in_part=True)
    assert [box.key for box in bench_first.boxes] == ["escape", "enter"]
    assert bench_first.boxes[1].lines == ("file it", "in part: no check")


def test_where_words_are_cut_off_the_cut_shows() -> None:
    drawn = draw(filed_foot("Pump " * 40, practice=False), 60, 3).lines()
    assert "~" in drawn[2]


def test_where_the_shims_are_done_the_way_back_is_shown() -> None:
    assert shims_foot(k.NextValve("1I", "1E")).boxes[0].key == "escape"
