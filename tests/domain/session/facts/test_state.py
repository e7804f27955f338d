"""Laws of the fold, over sessions that nobody would have thought of."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import (
    CheckSpot,
    CloseSession,
    Command,
    ConfirmPosition,
    StrikeReading,
    Undo,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import begin, fold
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.session.whole.record import record_of

VALVES = ("1I", "1E", "2I", "2E")
SIZES = ("0.03", "0.05", "0.06", "0.08", "0.10", "0.12")
PROOF = (facts.Evidence.MARK, facts.Evidence.SLACK)


def command(dice: random.Random, desk: Any) -> Command:
    """Any command at all, likely ones more often."""
    valve = dice.choice(VALVES)
    reading = facts.ReadingTaken(
        valve, desk.blade(dice.choice(SIZES)), dice.choice(tuple(Answer)), forced=False
    )
    some: list[Command] = [
        *[reading] * 6,
        *[ConfirmPosition(dice.choice("12"), PROOF)] * 3,
        *[facts.ScrewTurned(valve, dice.choice(tuple(Way)), Fraction(dice.randint(1, 360)))] * 2,
        *[facts.Locked(valve)] * 2,
        *[Undo()] * 3,
        *[facts.Resumed(dice.choice(tuple(facts.Crank)))] * 3,
        StrikeReading(valve),
        facts.ReadingsMoved(valve, dice.choice(VALVES)),
        facts.PositionDoubted(dice.choice("12")),
        facts.Paused(),
        facts.Noted("x", dice.choice(("", valve))),
        facts.BandChosen(Length.mm("0.01")),
        facts.RuleChosen(dice.choice(tuple(DecisionRule))),
        facts.ItemCounted("rags", dice.randint(1, 3), inwards=dice.random() < 0.6),
        facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(dice.randint(0, 60)))),
        facts.CautionAcknowledged("cold"),
        facts.TorqueDone("cover bolts"),
        facts.WoundBack(valve, Fraction(dice.randint(6, 90))),
        facts.SignSeen(valve[0], dice.choice(tuple(facts.Sign))),
        facts.CrankTurned(Fraction(dice.choice((45, 180, 360, 720)))),
        facts.RepeatBegun(valve),
        *[facts.RepeatEnded(desk.state.repeat.valve if desk.state.repeat else valve)] * 2,
        facts.AfterStepDone(dice.choice(tuple(facts.AfterStep))),
        CheckSpot(valve, desk.blade(dice.choice(SIZES)), dice.choice(tuple(Answer))),
    ]
    return dice.choice(some)


def played(desk: Any, seed: int, steps: int) -> list[State]:
    """The states after each step that was taken."""
    dice = random.Random(seed)  # noqa: S311  # a simulation, no secret
    states = [desk.state]
    for _ in range(steps):
        try:
            states.append(desk.do(command(dice, desk)))
        except Refusal:
            continue
    return states


seeds = given(st.integers(0, 10**9))
# The desk is made anew inside each example, so sharing the fixture that makes it does no harm.
few = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])


@seeds
@few
def test_the_fold_of_all_events_is_the_state_applied_step_by_step(
    make_desk: Callable[..., Any], seed: int
) -> None:
    desk = make_desk(confirmed=None)
    states = played(desk, seed, 30)
    assert fold(desk.events) == desk.state
    middle = len(states) // 2
    assert fold(desk.events[: middle + 1]) == states[middle]


@seeds
@few
def test_undo_restores_what_was_before_the_step(make_desk: Callable[..., Any], seed: int) -> None:
    desk = make_desk()
    played(desk, seed, 25)
    if desk.state.paused:
        desk.do(facts.Resumed(facts.Crank.UNMOVED))
    if desk.state.repeat is not None:
        desk.do(facts.RepeatEnded(desk.state.repeat.valve))
    before = desk.state
    desk.do(
        facts.PositionDoubted("2"),
        ConfirmPosition("2", (facts.Evidence.MARK, facts.Evidence.INLET)),
    )
    desk.read("2I", "0.06 free", "0.10 refuses")
    desk.do(StrikeReading("2I"), facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(61))))
    for _ in range(6):
        desk.do(Undo())
    # The paper is longer and later; all else is as it was.
    assert replace(desk.state, number=before.number, at=before.at) == before
    assert [look(desk.state, v) for v in VALVES] == [look(before, v) for v in VALVES]


@seeds
@few
def test_whatever_happened_it_can_be_looked_at_and_closed(
    make_desk: Callable[..., Any], seed: int
) -> None:
    desk = make_desk()
    played(desk, seed, 40)
    views = [desk.look(v) for v in VALVES]
    if desk.state.paused:
        desk.do(facts.Resumed(facts.Crank.UNMOVED))
    if desk.state.repeat is not None:
        desk.do(facts.RepeatEnded(desk.state.repeat.valve))
    lacking = missing(desk.state)
    desk.do(CloseSession())
    record = record_of(desk.state)
    assert record.complete is (not lacking)
    assert record.complete is (all(v.done for v in views) and not desk.state.short)
    for view, kept in zip(views, record.valves, strict=True):
        if view.done:
            assert kept.locked
            assert kept.read_after is not view.unread, "over a dished pad the thread may do"


@seeds
@few
def test_no_reading_that_was_written_is_ever_lost(make_desk: Callable[..., Any], seed: int) -> None:
    """Undone ones apart, every reading stands somewhere: live, struck, spot-checked or blind."""
    desk = make_desk(confirmed=None)
    played(desk, seed, 40)
    undone = {e.fact.number for e in desk.events if hasattr(e.fact, "number") and not struck(e)}
    taken = {e.number for e in desk.events if hasattr(e.fact, "answer")} - undone
    stages = [s for v in desk.state.valves.values() for s in v.stages]
    kept = {t.reading.number for s in stages for t in s.taken}
    kept |= {r.number for v in desk.state.valves.values() for r in v.spot}
    repeats = [*desk.state.repeats, *([desk.state.repeat] if desk.state.repeat else [])]
    kept |= {r.number for repeat in repeats for r in repeat.readings}
    assert kept == taken


def struck(event: Any) -> bool:
    return type(event.fact).__name__ == "ReadingStruck"


def test_a_session_begins_with_its_opening(desk: Any) -> None:
    with pytest.raises(ValueError, match="begins with its opening"):
        begin(desk.events[1])
    with pytest.raises(ValueError, match="at least its opening"):
        fold([])
    with pytest.raises(ValueError, match="opened once"):
        fold([desk.events[0], desk.events[0]])


def test_an_undone_lock_leaves_the_nut_slack_and_the_event_on_paper(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(facts.ScrewTurned("1E", Way.OUT, Fraction(20)), facts.Locked("1E"), Undo())
    assert desk.look("1E").slack_nut
    assert any(isinstance(e.fact, facts.Locked) for e in desk.events)
