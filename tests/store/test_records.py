"""The frozen session files of ``tests/records``: they must be readable for ever."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import RuleChosen
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.store.codec import TAGS, decode, encode
from benchtui.store.journal import read_session
from tests.records.make_rows import ROWS, read_rows

RECORDS = sorted((Path(__file__).parent.parent / "records").glob("*.session"))


def state(name: str) -> State:
    path = next(p for p in RECORDS if p.stem == name)
    return fold(read_session(path).events)


def record(name: str) -> SessionRecord:
    return record_of(state(name))


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_a_frozen_record_is_read_whole(path: Path) -> None:
    recorded = read_session(path)
    assert (recorded.damage, recorded.torn) == (None, 0)
    assert len(recorded.events) == path.read_bytes().count(b"\n")
    assert tuple(decode(encode(event)) for event in recorded.events) == recorded.events


def test_the_register_says_of_old_sessions_what_it_always_said() -> None:
    assert read_rows() == json.loads(ROWS.read_text(encoding="utf-8"))


def test_every_kind_of_fact_stands_in_a_record() -> None:
    """A new tag, or a new version of one, wants a new record beside the old ones."""
    kinds = {type(e.fact) for path in RECORDS for e in read_session(path).events}
    assert kinds == {kind for _, kind in TAGS.values()}


def test_what_the_screws_record_says() -> None:
    kept = record("screws-1")
    assert (kept.engine, kept.who, kept.odometer_km) == ("harbour-van", "M.", Fraction(61_200))
    assert (kept.hours, kept.metal_c) == (Fraction(3301, 2), Fraction(37, 2))
    assert (kept.closed, kept.complete) == (True, False)
    assert kept.notes == ("1E: öl, \u201cwiped\u201d",)
    exhaust = next(v for v in kept.valves if v.name == "1E")
    assert exhaust.found is not None
    assert exhaust.found.bracket == Bracket(
        Length(151_000), Length(240_000), Length(149_000), Length(257_000)
    )
    assert exhaust.found.verdict.kind is VerdictKind.TIGHT
    assert (exhaust.turned, exhaust.locked, exhaust.read_after) == (Fraction(43, 2), True, False)
    assert [str(r) for r in exhaust.struck] == ["0.25 refuses", "0.20 free"]
    folded = state("screws-1")
    assert folded.opened.fewest
    assert dict(folded.short) == {"rags": 1}
    assert folded.place is None
    assert folded.cautions == {"cold"}
    assert folded.band == Length(30_000)


def test_what_the_corrected_record_says() -> None:
    kept = record("corrected-5")
    assert kept.started.isoformat() == "2026-05-03T09:00:00+00:00"
    assert (kept.odometer_km, kept.hours, kept.metal_c) == (
        Fraction(61_250),
        Fraction(1651),
        Fraction(21),
    )
    assert (kept.who, kept.closed, kept.complete) == ("Asta", True, False)
    assert len(state("corrected-5").amendments) == 2


def test_what_the_record_set_aside_says() -> None:
    kept = record("set-aside-6")
    assert (kept.set_aside, kept.complete, kept.counts) == ("it was the other engine", False, False)


def test_what_the_record_by_feel_says() -> None:
    folded = state("feel-3")
    assert folded.opened.feel == FeelBand(
        Length(-5_000), Length(-4_000), Length(9_000), Length(10_000)
    )
    last = folded.opened.left_last[0]
    assert (last.drift_low, last.drift_high) == (Length(-9_000), Length(-4_000))
    assert folded.rule_chosen == RuleChosen(DecisionRule.FEEL)
    assert [r.bracket.low for r in folded.repeats] == [Length(200_000)]
    inlet = next(v for v in record("feel-3").valves if v.name == "1I")
    assert inlet.found is not None
    assert inlet.found.bracket.low == Length(151_000)


def test_what_the_shims_record_says() -> None:
    kept = record("shims-1")
    assert (kept.practice, kept.closed, kept.complete) == (True, False, False)
    inlet = next(v for v in kept.valves if v.name == "1I-left")
    assert (inlet.shim_found, inlet.shim_left) == (Length(2_800_000), Length(2_700_000))
    assert inlet.left is not None
    assert inlet.left.bracket.low == Length(200_000)
