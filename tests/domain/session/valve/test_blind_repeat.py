"""The blind repeat: kept apart from what counts, and it tells one's own spread."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.feel import OwnSpread
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.facts.commands import CloseSession, Undo
from benchtui.domain.session.facts.events import (
    Crank,
    Locked,
    Paused,
    PositionDoubted,
    RepeatBegun,
    RepeatEnded,
    Resumed,
    ScrewTurned,
    Sign,
    SignSeen,
)
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.valve.blind_repeat import as_blind, next_blind, repeated
from tests.asking import advise
from tests.refusing import must_refuse

mm = Length.mm


def sizes(brackets: tuple[Bracket, ...]) -> list[tuple[Length, Length | None]]:
    return [(b.low, b.high) for b in brackets]


def test_a_repeat_is_kept_apart_and_shows_the_spread(desk: Any) -> None:
    before = desk.read("1I", "0.06 free", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"))
    during = desk.read("1I", "0.09 free", "0.10 refuses")
    assert (during.bracket, during.verdict) == (before.bracket, before.verdict)
    desk.do(RepeatEnded("1I"))
    told = repeated(desk.state, "1I")
    assert told is not None
    assert sizes(told.brackets) == [(mm("0.07"), mm("0.09")), (mm("0.09"), mm("0.10"))]
    # 0.07 to 0.09, then 0.09 to 0.10: they touch, so no spread at all is shown; 0.03 at most.
    assert told.spread == OwnSpread(ZERO, mm("0.03"))


def test_brackets_that_lie_apart_prove_a_spread(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.07 refuses")
    for low, high in (("0.08", "0.09"), ("0.07", "0.10")):
        desk.do(RepeatBegun("1I"))
        desk.read("1I", f"{low} free", f"{high} refuses")
        desk.do(RepeatEnded("1I"))
    told = repeated(desk.state, "1I")
    assert told is not None
    assert len(told.brackets) == 3
    assert told.spread == OwnSpread(mm("0.01"), mm("0.04"))


def test_while_it_is_open_what_was_read_before_is_hidden(desk: Any) -> None:
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"))
    shown = as_blind(desk.state, desk.look("1I"))
    assert (shown.bracket, shown.readings) == (Bracket(), ())
    assert shown.verdict.kind is VerdictKind.NONE
    assert desk.turning(shown).turn is None
    assert not shown.done
    other = desk.look("1E")
    assert as_blind(desk.state, other) is other


def test_it_is_asked_for_afresh_until_no_blade_would_tell_more(desk: Any) -> None:
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"))
    tried = []
    while (advice := next_blind(desk.state)) is not None:
        view = desk.look("1I")
        asked = advise(desk.state, view)
        assert isinstance(asked, TryBlade)
        assert asked.feeler == advice.feeler
        assert advise(desk.state, desk.look("1E")) is None
        goes = advice.feeler.nominal <= mm("0.083")
        blade = str(advice.feeler).removesuffix(" mm")
        tried.append(blade)
        desk.read("1I", f"{blade} {'free' if goes else 'refuses'}")
        assert len(tried) < 8
    assert len(tried) >= 2
    assert isinstance(advice, NextBlade | None)
    assert desk.state.repeat is not None
    assert desk.state.repeat.bracket.low >= mm("0.06")


@pytest.mark.parametrize(
    "command",
    [ScrewTurned("1I", Way.OUT, Fraction(20)), Locked("1I"), CloseSession(), RepeatBegun("1I")],
    ids=lambda c: type(c).__name__,
)
def test_nothing_else_is_done_meanwhile(desk: Any, command: Any) -> None:
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"))
    with must_refuse("End the blind repeat first"):
        desk.do(command)
    with must_refuse("End the blind repeat first"):
        desk.read("1E", "0.08 free")


def test_it_wants_a_valve_that_was_measured_where_the_crank_stands(desk: Any) -> None:
    with must_refuse("nothing to repeat"):
        desk.do(RepeatBegun("1I"))
    desk.read("1I", "0.07 free")
    with must_refuse("nothing to repeat"):
        desk.do(RepeatBegun("1I"))
    with must_refuse("not confirmed for 2I"):
        desk.do(RepeatBegun("2I"))
    with must_refuse("No blind repeat of 1I"):
        desk.do(RepeatEnded("1I"))


def test_a_gap_that_was_touched_since_is_another_gap(desk: Any) -> None:
    desk.read("1I", "0.05 free", "0.06 refuses")
    desk.do(RepeatBegun("1I"))
    desk.read("1I", "0.04 free", "0.05 refuses")
    desk.do(RepeatEnded("1I"))
    assert repeated(desk.state, "1I") is not None
    desk.do(ScrewTurned("1I", Way.OUT, Fraction(12)), Locked("1I"))
    assert repeated(desk.state, "1I") is None


def test_doubt_and_a_moved_crank_end_it_and_it_can_be_taken_back(desk: Any) -> None:
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"))
    desk.read("1I", "0.08 free")
    desk.do(Undo())
    assert desk.state.repeat is not None
    assert desk.state.repeat.readings == ()
    desk.do(Paused(), Resumed(Crank.UNMOVED))
    assert desk.state.repeat is not None
    desk.do(Paused(), Resumed(Crank.UNSURE))
    assert desk.state.repeat is None
    desk.confirm("1")
    desk.do(RepeatBegun("1I"), PositionDoubted("1"))
    assert desk.state.repeat is None
    desk.confirm("1")
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"), SignSeen("1", Sign.MOVES))
    assert desk.state.repeat is None


def test_a_repeat_in_which_nothing_was_read_says_nothing(desk: Any) -> None:
    desk.read("1I", "0.07 free", "0.09 refuses")
    desk.do(RepeatBegun("1I"), RepeatEnded("1I"))
    assert repeated(desk.state, "1I") is None


def test_with_a_nut_slack_none_begins(desk: Any) -> None:
    """Locking it comes first, and moves the gap."""
    desk.read("1I", "0.04 free", "0.05 refuses")
    desk.do(ScrewTurned("1I", Way.OUT, Fraction(20)))
    desk.read("1I", "0.07 free", "0.08 refuses")
    with must_refuse("locknut of 1I is slack: neither is the crank turned .* Lock it first"):
        desk.do(RepeatBegun("1I"))
