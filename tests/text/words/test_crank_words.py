"""The way to a stop: what comes after it is a stop that has work left, and no other."""

from __future__ import annotations

import pytest

from benchtui.domain.session.whole.next_stop import stops_ahead
from benchtui.text.words.crank_words import THEN, way_words
from tests.next_step.written import written


@pytest.mark.parametrize(
    ("done", "then"),
    [((), "Then: CYL 1 COMPRESSION, one turn on."), (("1I", "1E", "2I", "3E"), "")],
)
def test_a_stop_whose_valves_are_done_does_not_come_next(done: tuple[str, ...], then: str) -> None:
    read = "".join(
        f"{v} {'0.15' if v.endswith('I') else '0.25'} free\n"
        f"{v} {'0.25' if v.endswith('I') else '0.35'} refuses\n"
        for v in done
    )
    script = (
        "sheet harbour-van\nblades coarse-metric\nmetal 19 C\nposition 1 mark slack\n"
        f"{read}forward 360\n"
    )
    state = written(script).state
    at_4 = next(a for a in stops_ahead(state) if a.stop.cylinder == "4")
    lines = [line for line in way_words(state, at_4) if line.startswith(THEN)]
    assert lines == ([then] if then else [])
