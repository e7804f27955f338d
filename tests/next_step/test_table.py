"""Every row of the table, in every place that shows it."""

from __future__ import annotations

import pytest

from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.valve.assessment import look
from benchtui.text.exports.view_json import step_document, tag_of
from benchtui.text.pages.handover import handover_steps
from benchtui.text.words.told import told_of
from benchtui.text.words.valve_words import view_message
from benchtui.tui.present_bench import InHand, to_do
from benchtui.tui.present_step import big_step
from tests.next_step.situations import CHANGED, TABLE, Situation
from tests.next_step.written import written


@pytest.mark.parametrize("row", TABLE, ids=str)
def test_a_situation_has_its_step_and_its_words(row: Situation) -> None:
    state = written(row.script, CHANGED).state
    step = next_step(state, row.valve)
    told = told_of(state, row.valve)
    assert (tag_of(step), told.tall.words, told.sentence) == (row.kind, row.tall, row.sentence)


@pytest.mark.parametrize("row", [r for r in TABLE if r.valve], ids=str)
def test_every_place_says_the_same(row: Situation) -> None:
    """The bench's letters and sentence, replay's JSON and words, the page for whoever goes on."""
    state = written(row.script, CHANGED).state
    assert row.valve is not None
    told = told_of(state, row.valve)
    view = look(state, row.valve)
    big, sentence = to_do(InHand(told))
    assert (big.text, big_step(told).text) == (row.tall, row.tall)
    # What each answer makes of the valve stands at the bench's foot, at its key.
    assert sentence == row.sentence.split(" Refuses")[0].split(" Drags:")[0].split(" Goes")[0]
    assert sentence
    document = step_document(view, told)
    assert (document["do"], document["tall"], document["sentence"]) == (
        row.kind,
        row.tall,
        row.sentence,
    )
    assert row.sentence in view_message(view, told)
    here = state.place is not None and row.valve in state.place.confirmed.valves
    if here and not view.done and not state.paused and state.closed is None:
        assert any(row.sentence in line for line in handover_steps(state))


def test_the_table_has_a_row_for_nearly_every_kind() -> None:
    """What is left out here is asserted with the shims and the hydraulic engine elsewhere."""
    elsewhere = {
        k.NothingToMeasure, k.EndRepeat, k.Borrow, k.WindBack, k.FitShim, k.CamsOut, k.CamsBack,
    }  # fmt: skip
    shown = {r.kind for r in TABLE}
    every = {t for t in k.NextStep.__args__ if t not in elsewhere}
    assert {tag_of_type(t) for t in every} <= shown


def tag_of_type(kind: type) -> str:
    import re

    return re.sub(r"(?<!^)(?=[A-Z])", "-", kind.__name__).lower()
