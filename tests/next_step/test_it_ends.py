"""Followed step by step by a hand that answers truly, every check comes to its end."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import assert_never

import pytest

from benchtui.domain.adjusting.turns import closing_way, gap_for
from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length, midpoint
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.facts import commands as c
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.events import (
    AfterStep,
    CamsStep,
    CamsStepDone,
    ClearanceMeasured,
    Evidence,
    LookedOver,
    Particulars,
    ScrewSetOn,
    Sign,
)
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.completeness import work_left
from benchtui.domain.sheet import AdjusterKind, setting_range
from tests.next_step.test_laws import ENGINES, Run

MOST = 60
"""Steps at one valve; whoever has not come to an end by then goes round in circles."""

SHIM = Length.mm("2.60")
DRAG, GIVE = 10_000, 4_000
RATE = 1_500
"""Nanometres that the eccentric moves the gap by per degree."""


class Hand:
    """Does what the step says, at an engine whose true clearances it holds in nanometres."""

    def __init__(self, engine: str, seed: int, *, wrong: int = 0, nut: int = 0) -> None:
        self.run = Run(engine)
        self.random = Random(seed)  # noqa: S311  # hides no secret
        self.wrong, self.nut = wrong, nut
        self.valve: str | None = None
        self.gaps = {name: self._drawn(name) for name in self.run.state.valves}
        self.shims = dict.fromkeys(self.gaps, SHIM.nm)

    def _drawn(self, name: str) -> int:
        sheet = self.run.state.opened.sheet
        valve = sheet.layout.valve(name)
        assert valve is not None
        setting = setting_range(sheet, valve, Length.mm("0.03"))
        assert setting is not None
        low, width = setting.band.low.nm, max(setting.band.width.nm, 20_000)
        return max(0, self.random.randint(low - width, low + 2 * width))

    def answer(self, valve: str, feeler: Feeler) -> Answer:
        gap, blade = self.gaps[valve], feeler.nominal.nm
        if self.wrong and self.random.randrange(self.wrong) == 0:
            return self.random.choice(list(Answer))
        if gap >= blade + DRAG:
            return Answer.FREE
        return Answer.DRAG if gap >= blade - GIVE else Answer.REFUSES

    def follow(self, step: k.NextStep) -> None:  # noqa: C901, PLR0912, PLR0915  # one case a step
        """Do it."""
        do, state = self.run.do, self.run.state
        match step:
            case k.TryBlade(valve=valve, feeler=feeler):
                assert do(facts.ReadingTaken(valve, feeler, self.answer(valve, feeler)))
            case k.Settle(valve=valve, clash=clash):
                if clash.how is Settling.STRIKE:
                    for _ in look(state, valve).readings:
                        do(c.StrikeReading(valve))
                else:
                    feeler = clash.doubted.feeler
                    assert do(facts.ReadingTaken(valve, feeler, self.answer(valve, feeler)))
            case k.MeasureAgain(valve=valve):
                assert do(ClearanceMeasured(valve, Length(self.gaps[valve])))
            case k.SpotCheck(spot=spot):
                feeler = spot.feeler
                assert do(c.CheckSpot(spot.valve, feeler, self.answer(spot.valve, feeler)))
            case k.Borrow(valve=valve, lack=lack):
                size = lack.best or midpoint(*lack.between)
                feeler = Feeler((Leaf(size, borrowed=True),))
                assert do(facts.ReadingTaken(valve, feeler, self.answer(valve, feeler)))
            case k.ConfirmCrank(stop=stop, signs=signs):
                shown = (
                    tuple(s for s in signs if s is not Evidence.ROCKS) if not stop.angle else signs
                )
                assert do(c.ConfirmPosition(stop.cylinder, shown, stop.angle)), (stop.at, shown)
            case k.TurnCrankTo(stop=stop, forward=forward):
                if forward is None:
                    seen = (Evidence.MARK, Evidence.INLET)
                    assert do(c.ConfirmPosition(stop.cylinder, seen, stop.angle))
                else:
                    assert do(facts.CrankTurned(forward))
            case k.LookPast(cylinder=cylinder):
                assert do(facts.SignSeen(cylinder, Sign.STAYS))
            case k.Tell(what=k.ToTell.METAL) | k.Wait():
                assert do(facts.ParticularsEntered(Particulars(metal_c=Fraction(19))))
            case k.Tell(what=k.ToTell.BAND):
                assert do(facts.BandChosen(Length.mm("0.03")))
            case k.Tell(valve=valve):
                assert valve is not None
                assert do(facts.ShimFitted(valve, Length(self.shims[valve]), None, found=True))
            case k.StopAndLook(valve=valve):
                assert do(LookedOver(valve))
            case k.EndRepeat(valve=valve):
                assert do(facts.RepeatEnded(valve))
            case k.SetOnBlade(valve=valve, feeler=feeler):
                assert do(ScrewSetOn(valve, feeler))
                self.gaps[valve] = feeler.nominal.nm + 3_000
            case k.TurnBy(valve=valve, turn=turn):
                assert do(facts.ScrewTurned(valve, turn.way, turn.degrees))
                adjuster = state.opened.sheet.adjuster
                if adjuster.kind is AdjusterKind.ECCENTRIC:
                    sign = -1 if turn.way is closing_way(adjuster) else 1
                    moved = round(sign * RATE * turn.degrees)
                else:
                    moved = gap_for(turn.way, turn.degrees, adjuster).nm
                self.gaps[valve] = max(0, self.gaps[valve] + moved)
            case k.WindBack(valve=valve, degrees=degrees, aim=aim):
                assert do(facts.WoundBack(valve, degrees))
                self.gaps[valve] = aim.nm
            case k.LockIt(valves=valves):
                for valve in valves:
                    assert do(facts.Locked(valve))
                    self.gaps[valve] = max(0, self.gaps[valve] - self.nut)
            case k.FitShim(valve=valve, size=size, low=low):
                fitted = size if size is not None else low or Length(self.shims[valve] - 300_000)
                assert do(facts.ShimFitted(valve, fitted))
                self.gaps[valve] = max(0, self.gaps[valve] + self.shims[valve] - fitted.nm)
                self.shims[valve] = fitted.nm
            case k.CamsOut():
                assert do(CamsStepDone(CamsStep.OUT))
            case k.CamsBack(left=left):
                assert do(CamsStepDone(left[0]))
            case k.NextValve(to=to):
                self.valve = to
            case k.CloseUp(part=part):
                self._close(part)
            case k.Resume() | k.NothingToMeasure() | k.Finished():
                raise AssertionError(step)
            case _:
                assert_never(step)

    def _close(self, part: k.ClosePart) -> None:
        do, state = self.run.do, self.run.state
        match part:
            case k.ClosePart.TURN_OVER:
                assert do(facts.AfterStepDone(AfterStep.TURNED_OVER))
            case k.ClosePart.FIRST_RUN:
                assert do(facts.AfterStepDone(AfterStep.FIRST_RUN))
            case k.ClosePart.LEAKS:
                assert do(facts.AfterStepDone(AfterStep.NO_LEAKS))
            case k.ClosePart.WORK:
                assert do(facts.CautionAcknowledged(work_left(state)[0]))
            case k.ClosePart.TORQUES:
                for torque in state.opened.sheet.torques:
                    assert do(facts.TorqueDone(torque.what))
            case k.ClosePart.COUNT_OUT:
                for item, count in state.short.items():
                    assert do(facts.ItemCounted(item, count, inwards=False))
            case k.ClosePart.FILE:
                assert do(c.CloseSession())
            case _:
                assert_never(part)

    def to_the_end(self) -> bool:
        """Whether it ends filed and complete."""
        most = MOST * (len(self.gaps) + 2)
        for _ in range(most):
            step = next_step(self.run.state, self.valve)
            if isinstance(step, k.Finished):
                return step.complete
            if isinstance(
                step, k.CloseUp | k.CamsOut | k.CamsBack | k.ConfirmCrank | k.TurnCrankTo
            ):
                self.valve = None
            self.follow(step)
        raise AssertionError(f"no end: {step}")


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("seed", range(4))
def test_a_true_hand_comes_to_a_complete_check(engine: str, seed: int) -> None:
    assert Hand(engine, seed).to_the_end()


@pytest.mark.parametrize("engine", ["quay-pump", "harbour-van"])
@pytest.mark.parametrize("seed", range(3))
def test_a_nut_that_takes_0_02_is_learned(engine: str, seed: int) -> None:
    assert Hand(engine, seed, nut=20_000).to_the_end()


@pytest.mark.parametrize("engine", ["quay-pump", "harbour-van"])
@pytest.mark.parametrize("seed", range(6))
def test_one_wrong_answer_in_twenty_ends_all_the_same(engine: str, seed: int) -> None:
    assert Hand(engine, seed, wrong=20).to_the_end()


@pytest.mark.parametrize("engine", ["quay-pump", "levered", "ferry-tender"])
def test_a_valve_without_clearance_is_opened_up_or_named(engine: str) -> None:
    """A burnt seat: nothing goes in at all."""
    hand = Hand(engine, 1)
    hand.gaps["1E" if "1E" in hand.gaps else "1E-left"] = 0
    assert hand.to_the_end()
