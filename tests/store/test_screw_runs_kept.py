"""What turns showed goes with a session's record and into the next opening; old files have none."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction

from benchtui.domain.adjusting.screw_fit import ScrewRun, ScrewStep
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Event, Opened, Particulars
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.store.codec import converter, decode, encode
from tests.simulation.fleet import FINE
from tests.simulation.settings import SLIPPING

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
READ = Bracket(Length.um(50), Length.um(60), Length.um(45), Length.um(65))
RUNS = (
    ScrewRun("first", "1I", READ, (ScrewStep(Fraction(43, 2), 2, 1, 0, replace(READ, high=None)),)),
    ScrewRun("first", "1E", READ, (ScrewStep(Fraction(-30), 1, 1, 1, READ),)),
)


def opened(runs: tuple[ScrewRun, ...] = ()) -> Opened:
    return Opened("second", SLIPPING, "fine", FINE, Particulars(), past_runs=runs)


def test_an_opening_keeps_them() -> None:
    event = Event(1, START, opened(RUNS))
    assert decode(encode(event)) == event


def test_a_record_keeps_them() -> None:
    record = replace(record_of(fold((Event(1, START, opened()),))), runs=RUNS)
    assert record.thread is not None
    document = converter().unstructure(record)
    assert converter().structure(document, SessionRecord) == record


def test_older_documents_have_none() -> None:
    record = record_of(fold((Event(1, START, opened()),)))
    document = converter().unstructure(record)
    del document["runs"], document["thread"]
    assert converter().structure(document, SessionRecord) == replace(record, thread=None)
    older = converter().unstructure(opened())
    del older["past_runs"]
    assert converter().structure(older, Opened) == opened()
