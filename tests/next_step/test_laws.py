"""Laws of the next step, over random steps and hands on engines of every kind.

Whoever follows the step and answers truly comes to the end; no place says another thing than the
next; no adjuster is touched without the crank, the metal and the clearance being sure.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.on_blade import lands_of
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.evidence.counting import position_sure
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts import commands as c
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.events import (
    Crank,
    Event,
    Evidence,
    LookedOver,
    Particulars,
    ScrewSetOn,
    Sign,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step, setting_step
from benchtui.domain.session.next_step.heard import HeardWhy, heard
from benchtui.domain.session.steps.decide import check_opening, decide
from benchtui.domain.session.steps.fold import apply, begin, fold
from benchtui.domain.session.valve.assessment import look
from benchtui.text.exports.view_json import step_document
from benchtui.text.reading.sheet_file import parse_sheet
from benchtui.text.words.told import told_of
from benchtui.tui.present_bench import InHand, to_do
from benchtui.tui.routes import place_of
from tests.next_step.doing import Steady, commands_of
from tests.next_step.situations import CHANGED, spec
from tests.next_step.written import written

ENGINES = {
    "quay-pump": "fine-metric",
    "harbour-van": "coarse-metric",
    "ferry-tender": "fine-metric",
    "dredge-lift": "workshop-inch",
    "mole-crane": "fine-metric",
    "eccentric": "fine-metric",
    "shim-top": "fine-metric",
    "levered": "fine-metric",
    "slip-winch": "fine-metric",
    "two-gaps": "fine-metric",
    "launch-eight": "coarse-metric",
}

AT = datetime(2026, 5, 1, 9, tzinfo=UTC)


class Run:
    """A session in memory that any command may be thrown at; refused ones change nothing."""

    def __init__(self, engine: str, *, fewest: bool = False) -> None:
        stops = "stops fewest\n" if fewest else ""
        bench = written(f"sheet {engine}\nblades {ENGINES[engine]}\n{stops}note begun\n", CHANGED)
        first, *others = bench.events
        opened = bench.state.opened
        last = opened.sheet.layout.valves[-1].name
        finely = replace(
            opened, finer=facts.ReadFinely(last, Length.mm("0.012")), effort=facts.Effort()
        )
        self.events = [replace(first, fact=finely), *others]
        self.state: State = fold(self.events)

    def do(self, command: c.Command) -> bool:
        try:
            fact = decide(self.state, command)
        except Refusal:
            return False
        number = self.state.number + 1
        event = Event(number, AT + timedelta(minutes=number), fact)
        self.events.append(event)
        undone = isinstance(command, c.Undo)
        self.state = fold(self.events) if undone else apply(self.state, event)
        return True


def any_command(run: Run, random: Random) -> c.Command:
    """Something that a person might do here, sensible or not."""
    state = run.state
    sheet = state.opened.sheet
    valve = random.choice(list(state.valves))
    cylinder = random.choice(sheet.layout.cylinders).name
    blade = random.choice(state.opened.blades.singles())
    signs = tuple(random.sample(list(Evidence), 2))
    step = next_step(state, valve)
    wanted = getattr(step, "feeler", None) or blade
    choices: list[c.Command] = [
        facts.ReadingTaken(valve, wanted, random.choice(list(Answer))),
        facts.ReadingTaken(valve, blade, random.choice(list(Answer))),
        c.ConfirmPosition(cylinder, (Evidence.MARK, Evidence.INLET, Evidence.STILL)),
        c.ConfirmPosition(cylinder, signs),
        facts.SignSeen(cylinder, random.choice(list(Sign))),
        facts.PositionDoubted(cylinder),
        facts.CrankTurned(random.choice([45, 180, 315, 360])),  # type: ignore[arg-type]  # whole degrees
        facts.ParticularsEntered(Particulars(metal_c=Fraction(random.choice([19, 62])))),
        facts.ScrewTurned(valve, random.choice(list(Way)), random.choice([5, 20, 60])),  # type: ignore[arg-type]  # same
        ScrewSetOn(valve, wanted),
        facts.Locked(valve),
        LookedOver(valve),
        facts.WoundBack(valve, 72),  # type: ignore[arg-type]  # same
        facts.ShimFitted(valve, Length.mm("2.70"), None, found=random.random() < 0.5),
        c.StrikeReading(valve),
        c.Undo(),
        facts.RepeatBegun(valve),
        facts.RepeatEnded(valve),
        facts.Paused(),
        facts.Resumed(random.choice(list(Crank))),
        facts.ClearanceMeasured(valve, blade.nominal),
        facts.WholePlayRead(valve, blade, random.choice(list(Answer))),
        facts.RuleChosen(random.choice(list(DecisionRule))),
        facts.FigureChosen(),
        facts.BandChosen(Length.mm("0.03")),
        facts.WayChosen(random.random() < 0.5),
        facts.CamsStepDone(random.choice(list(facts.CamsStep))),
        facts.AfterStepDone(random.choice(list(facts.AfterStep))),
        facts.ReadingsMoved(valve, random.choice(list(state.valves))),
        facts.ItemCounted("rag", 1, inwards=random.random() < 0.5),
    ]
    return random.choice(choices)


@pytest.mark.parametrize("engine", ENGINES)
@given(seed=st.integers(0, 10**6))
def test_it_answers_for_every_state_and_every_place_shows_that(engine: str, seed: int) -> None:
    random = Random(seed)  # noqa: S311  # hides no secret
    run = Run(engine)
    run.do(facts.ParticularsEntered(Particulars(metal_c=Fraction(19))))
    for _ in range(25):
        run.do(any_command(run, random))
        for valve in (None, *run.state.valves):
            step = next_step(run.state, valve)
            told = told_of(run.state, valve)
            assert place_of(step)
            assert len(told.tall.words) <= 11 or isinstance(
                step, k.TryBlade | k.SpotCheck | k.Settle
            )
            assert len(told.sentence.split()) <= 22, told.sentence
            check_safe(run.state, step)
            if valve is not None:
                view = look(run.state, valve)
                assert step_document(view, told)["tall"] == told.tall.words
                assert to_do(InHand(told))[0].text == told.tall.words
                setting_step(run.state, valve)


@pytest.mark.parametrize("engine", ENGINES)
@given(seed=st.integers(0, 10**6))
def test_the_step_that_is_named_is_one_that_may_be_done(engine: str, seed: int) -> None:
    """The domain agrees with itself: ``decide`` takes what ``next_step`` says, and a blade counts.

    The other way of doing it is taken too, and each pair of signs that may confirm a position.
    """
    random = Random(seed)  # noqa: S311  # hides no secret
    run = Run(engine, fewest=random.random() < 0.3)
    if random.random() < 0.8:
        run.do(facts.ParticularsEntered(Particulars(metal_c=Fraction(19))))
    for _ in range(40):
        valve = random.choice([None, *run.state.valves])
        told = asked(run.state, next_step(run.state, valve), random.choice(list(Answer)))
        follow = told and random.random() < 0.6
        run.do(random.choice(told) if follow else any_command(run, random))
        for name in (None, *run.state.valves):
            step = next_step(run.state, name)
            for command in asked(run.state, step, Answer.DRAG):
                decide(run.state, command)
            if isinstance(step, k.TryBlade | k.Borrow):
                (tried,) = commands_of(run.state, step, Steady())
                event = Event(run.state.number + 1, run.state.at, decide(run.state, tried))
                found = heard(apply(run.state, event), step.valve)
                assert found.counts or found.why is HeardWhy.BLIND, (step, found)
            if name is not None:
                for command in asked(run.state, setting_step(run.state, name), Answer.DRAG):
                    decide(run.state, command)


def asked(state: State, step: k.NextStep, answer: Answer) -> tuple[c.Command, ...]:
    """Every command that the step may come to."""
    hand = Steady(answer)
    told = commands_of(state, step, hand)
    if isinstance(step, k.ConfirmCrank):
        first, *others = step.signs
        stop = step.stop
        pairs = (c.ConfirmPosition(stop.cylinder, (first, sign), stop.angle) for sign in others)
        return (*told, *pairs)
    other = step.otherwise if isinstance(step, k.SetOnBlade | k.TurnBy) else None
    return told if other is None else (*told, *commands_of(state, other, hand))


def test_an_engine_without_clearance_asks_for_nothing() -> None:
    """A hydraulic V8: no session of it opens, and were one in a file, no valve of it wants anything."""
    sheet = parse_sheet(spec("pilot-launch"), "pilot-launch", "pilot-launch")
    blades = Run("quay-pump").state.opened.blades
    opened = facts.Opened("s", sheet, "fine-metric", blades, Particulars())
    with pytest.raises(Refusal):
        check_opening(opened)
    state = begin(Event(1, AT, opened))
    for valve in (None, *state.valves):
        step = next_step(state, valve)
        assert isinstance(step, k.NothingToMeasure)
        assert commands_of(state, step, Steady()) == ()


def check_safe(state: State, step: k.NextStep) -> None:
    """What must hold before an adjuster is touched, or the crank."""
    if isinstance(step, k.TurnCrankTo | k.LookPast | k.CamsOut):
        assert not [n for n in slack_nuts(state) if not position_sure(state, n)]
    if isinstance(step, k.SetOnBlade | k.TurnBy | k.WindBack):
        assert position_sure(state, step.valve)
        assert metal_now(state).right
        assert look(state, step.valve).clash is None
    if isinstance(step, k.TurnBy) and not step.learn:
        assert not step.turn.small
    if isinstance(step, k.SetOnBlade):
        assert len(step.feeler.leaves) == 1
        setting = look(state, step.valve).setting
        assert setting is not None
        low, high = setting.band.low, setting.band.high
        if setting.figure is not None:  # a light drag leaves so much beside the leaf of the figure
            low, high = low - Length.mm("0.004"), high + Length.mm("0.010")
        lands = lands_of(step.feeler.nominal, step.took or ZERO)
        assert low <= lands[0]
        assert lands[1] <= high
    if isinstance(step, k.TryBlade) and state.opened.sheet.adjuster.kind.value == "shim":
        assert step.purpose is not k.Purpose.BEFORE_LOCK
