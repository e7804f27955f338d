"""One finer reading keeps the wear honest: at one valve, once it is in range, and only if one likes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.bench import Bench
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import ReadFinely
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.next_valve import onward
from benchtui.plain.asking import question
from benchtui.text.exports.view_json import step_document
from benchtui.text.words.foot import bench_foot
from benchtui.text.words.told import told_of
from tests.next_step.situations import AT, DONE_I, PUMP
from tests.next_step.written import written

Play = Callable[..., list[dict[str, Any]]]

# 0.3 of the range 0.08 to 0.12 (design value: measured in the simulation of whole lives).
EXHAUST = ReadFinely("1E", Length.mm("0.012"))
IN_RANGE = "1E 0.08 free\n1E 0.12 refuses\n"


def at(script: str, finer: ReadFinely | None = EXHAUST) -> Bench:
    return written(f"{PUMP}{AT}{script}", finer=finer)


def test_in_range_it_is_read_on_and_the_words_say_why() -> None:
    state = at(DONE_I + IN_RANGE).state
    told = told_of(state, "1E")
    assert isinstance(told.step, k.TryBlade)
    assert told.step.purpose is k.Purpose.FINER
    assert told.tall.words == "0.10"
    assert told.sentence == ("One finer reading keeps the wear honest: 1E this time. Try 0.10.")
    assert told.small == "It is in range already: this one may be left."
    assert len(told.sentence.split()) <= 20
    assert [box.key for box in bench_foot(told.step, inch=False).boxes] == ["s", "d", "f", "space"]


def test_it_ends_where_the_bracket_is_fine_enough_or_no_leaf_lies_within() -> None:
    first = next_step(at(DONE_I + IN_RANGE + "1E 0.10 refuses\n").state, "1E")
    assert isinstance(first, k.TryBlade)
    assert str(first.feeler.bare) == "0.09"
    fine = at(DONE_I + IN_RANGE + "1E 0.10 refuses\n1E 0.09 refuses\n")
    assert not isinstance(next_step(fine.state, "1E"), k.TryBlade)
    # The fine set has no leaf between 0.10 and 0.12.
    none = at(DONE_I + IN_RANGE + "1E 0.10 free\n")
    assert not isinstance(next_step(none.state, "1E"), k.TryBlade)


def test_another_valve_is_not_read_on_nor_one_that_is_out_or_slack() -> None:
    assert not isinstance(next_step(at(DONE_I).state, "1I"), k.TryBlade)
    plain = at(DONE_I + IN_RANGE, None)
    assert not isinstance(next_step(plain.state, "1E"), k.TryBlade)
    tight = "1E 0.08 refuses\n1E 0.05 drag\n1E 0.06 refuses\n"
    for script in (tight, f"{tight}1E 0.08 refuses\n1E set 0.10\n"):
        step = next_step(at(script).state, "1E")
        assert not (isinstance(step, k.TryBlade) and step.purpose is k.Purpose.FINER)
    # Set and locked, it is what is left that is read finely.
    left = next_step(at(f"{tight}1E 0.08 refuses\n1E set 0.10\n1E lock\n{IN_RANGE}").state, "1E")
    assert isinstance(left, k.TryBlade)
    assert left.purpose is k.Purpose.FINER


def test_it_may_be_left_and_nothing_is_missing_then() -> None:
    state = at(IN_RANGE).state
    assert onward(state, "1E") == "1I"
    whole = at(DONE_I + IN_RANGE).state
    assert onward(whole, "1E") is None
    ending = next_step(whole)
    assert isinstance(ending, k.CloseUp)
    document = step_document(look(whole, "1E"), told_of(whole, "1E"))
    assert (document["do"], document["next"]["purpose"]) == ("try-blade", "finer")
    assert question(next_step(whole, "1E"), whole).endswith("or goes free F? Or: next.")


CHECK = """sheet plain-single
blades leaves-f
date {day}
hours {hours}
metal 19 C
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
{exhaust}close
"""
OUT = "1E 0.08 refuses\n1E 0.06 free\n1E set 0.10\n1E lock\n1E 0.08 free\n1E 0.12 refuses\n"


def test_found_out_twice_it_is_on_by_itself_and_a_replay_gives_the_same(play: Play) -> None:
    def check(day: str, hours: int, exhaust: str) -> list[dict[str, Any]]:
        return play(CHECK.format(day=day, hours=hours, exhaust=exhaust), keep=True)

    def purposes(lines: list[dict[str, Any]]) -> list[str]:
        return [s["next"]["purpose"] for s in lines if s.get("next")]

    assert "finer" not in purposes(check("2026-01-05", 100, OUT))
    assert "finer" not in purposes(check("2026-05-05", 200, OUT))
    third = check("2026-09-05", 300, IN_RANGE)
    assert purposes(third)[-1] == "finer"
    sentences = [s["sentence"] for s in third if s.get("do") == "try-blade"][-1:]
    assert sentences == ["One finer reading keeps the wear honest: 1E this time. Try 0.10."]
    assert third[-1]["summary"]["complete"] is True, "it may be left"
    # Read finely, it is let be at the next check; a session stored before asks what it asked then.
    fourth = check("2027-01-05", 400, f"{IN_RANGE}1E 0.10 refuses\n1E 0.09 refuses\n")
    assert "finer" in purposes(fourth)
    again = check("2026-09-05", 300, IN_RANGE)
    assert purposes(again) == purposes(third)


@pytest.mark.parametrize(
    ("wanted", "asked"),
    [
        ("always", [False, True, True]),
        ("found out twice", [False, False, True]),
        ("never", [False, False, False]),
    ],
)
def test_its_owner_says_when(play: Play, story_data: Path, wanted: str, asked: list[bool]) -> None:
    """Where no valve was found out twice, it is read finely only where he asked for it."""
    text = f'format = 1\n[work]\nfiner_reading = "{wanted}"\n'
    (story_data / "workshop.toml").write_text(text, encoding="utf-8")

    def read_on(day: str, hours: int, exhaust: str) -> bool:
        lines = play(CHECK.format(day=day, hours=hours, exhaust=exhaust), keep=True)
        return any((s.get("next") or {}).get("purpose") == "finer" for s in lines)

    checks = (("2026-01-05", 100, OUT), ("2026-05-05", 200, OUT), ("2026-09-05", 300, IN_RANGE))
    assert [read_on(*check) for check in checks] == asked
