"""Leaving for today: a slack nut first, else it is left open; the same words wherever it is asked."""

from __future__ import annotations

import pytest

from benchtui.domain.session.next_step.leaving import Leave, on_leaving
from benchtui.text.words.leaving_words import leave_words, leaving_question
from tests.next_step.situations import AT, DONE_I, LEFT, PUMP, TIGHT
from tests.next_step.written import written

OPEN = (Leave.OPEN, Leave.CLOSE, Leave.STAY)


@pytest.mark.parametrize(
    ("script", "ways", "question", "first"),
    [
        (
            f"{PUMP}note begun\n",
            (Leave.OPEN, Leave.CLOSE, Leave.DROP, Leave.STAY),
            "Leave it open, or drop it? Nothing was measured.",
            "leave it open, to go on with it",
        ),
        (
            f"{PUMP}{AT}{DONE_I}",
            OPEN,
            "Leave it open, or file it in part?",
            "leave it open, to go on with it",
        ),
        (LEFT, OPEN, "Leave it open, or file it?", "leave it open, to go on with it"),
        (
            f"{PUMP}{AT}{TIGHT}1E set 0.10\n",
            (Leave.LOCK, Leave.CLOSE, Leave.OPEN),
            "1E: the nut is slack. Lock it before anything else.",
            "stay, and lock it",
        ),
        (
            f"{PUMP}{AT}{TIGHT}1E set 0.10\n1E lock\n",
            OPEN,
            "Leave it open, or file it in part?",
            "leave it open, to go on with it",
        ),
    ],
    ids=["nothing measured", "one left", "all done", "a nut slack", "locked again"],
)
def test_what_is_offered_and_what_is_taken_by_itself(
    script: str, ways: tuple[Leave, ...], question: str, first: str
) -> None:
    state = written(script).state
    leaving = on_leaving(state)
    assert leaving.ways == ways
    assert leaving_question(state, leaving) == question
    assert leave_words(leaving.ways[0], leaving) == first


def test_a_nut_that_is_left_slack_is_said_in_what_leaves_it() -> None:
    leaving = on_leaving(written(f"{PUMP}{AT}{TIGHT}1E set 0.10\n").state)
    assert leave_words(Leave.OPEN, leaving) == "leave it slack and open; the engines' list says so"
    half = on_leaving(written(f"{PUMP}{AT}{DONE_I}").state)
    assert leave_words(Leave.CLOSE, half) == "close up, and file it in part: no check"
