"""What each step asks the bench to take down: the commands of a hand that does as it is told."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Protocol, assert_never

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length, midpoint
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.facts import commands as c
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.completeness import work_left


class Hand(Protocol):
    """What a hand says where it is asked: of a blade, a clearance that it measures, a shim."""

    def answer(self, valve: str, feeler: Feeler) -> Answer:
        """What the blade does."""

    def gap(self, valve: str) -> Length:
        """The clearance, measured."""

    def shim(self, valve: str) -> Length:
        """The shim that is in."""


@dataclass(frozen=True)
class Steady:
    """A hand that says the same of every valve."""

    said: Answer = Answer.DRAG

    def answer(self, valve: str, feeler: Feeler) -> Answer:
        del valve, feeler
        return self.said

    def gap(self, valve: str) -> Length:
        del valve
        return Length.mm("0.20")

    def shim(self, valve: str) -> Length:
        del valve
        return Length.mm("2.60")


def commands_of(state: State, step: k.NextStep, hand: Hand) -> tuple[c.Command, ...]:  # noqa: C901, PLR0912  # one case a step
    """The commands that the step comes to, in their order; none where it asks for a look or a walk."""
    match step:
        case k.TryBlade(valve=valve, feeler=feeler):
            return (_tried(hand, valve, feeler),)
        case k.Settle(valve=valve, clash=clash):
            if clash.how is Settling.STRIKE:
                return (c.StrikeReading(valve),) * len(look(state, valve).readings)
            return (_tried(hand, valve, clash.doubted.feeler),)
        case k.MeasureAgain(valve=valve):
            return (facts.ClearanceMeasured(valve, hand.gap(valve)),)
        case k.SpotCheck(spot=spot):
            return (c.CheckSpot(spot.valve, spot.feeler, hand.answer(spot.valve, spot.feeler)),)
        case k.Borrow(valve=valve, lack=lack):
            size = lack.best or midpoint(*lack.between)
            feeler = Feeler((Leaf(size, borrowed=True),))
            return (_tried(hand, valve, feeler),)
        case k.ConfirmCrank(stop=stop, signs=signs):
            return (c.ConfirmPosition(stop.cylinder, signs, stop.angle),)
        case k.TurnCrankTo(stop=stop, forward=None):
            seen = (facts.Evidence.MARK, facts.Evidence.INLET)
            return (c.ConfirmPosition(stop.cylinder, seen, stop.angle),)
        case k.TurnCrankTo(forward=forward):
            assert forward is not None
            return (facts.CrankTurned(forward),)
        case k.LookPast(cylinder=cylinder):
            return (facts.SignSeen(cylinder, facts.Sign.STAYS),)
        case k.Tell(what=k.ToTell.METAL) | k.Wait():
            return (facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(19))),)
        case k.Tell(what=k.ToTell.BAND):
            return (facts.BandChosen(Length.mm("0.03")),)
        case k.Tell(valve=valve):
            assert valve is not None
            return (facts.ShimFitted(valve, hand.shim(valve), None, found=True),)
        case k.StopAndLook(valve=valve):
            return (facts.LookedOver(valve),)
        case k.EndRepeat(valve=valve):
            return (facts.RepeatEnded(valve),)
        case k.SetOnBlade(valve=valve, feeler=feeler):
            return (facts.ScrewSetOn(valve, feeler),)
        case k.TurnBy(valve=valve, turn=turn):
            return (facts.ScrewTurned(valve, turn.way, turn.degrees),)
        case k.WindBack(valve=valve, degrees=degrees):
            return (facts.WoundBack(valve, degrees),)
        case k.LockIt(valves=valves):
            return tuple(facts.Locked(valve) for valve in valves)
        case k.FitShim(valve=valve, size=size, low=low):
            thinner = low or hand.shim(valve) - Length.mm("0.30")
            return (facts.ShimFitted(valve, size if size is not None else thinner),)
        case k.CamsOut():
            return (facts.CamsStepDone(facts.CamsStep.OUT),)
        case k.CamsBack(left=left):
            return tuple(facts.CamsStepDone(part) for part in left)
        case k.CloseUp(part=part):
            return _closing(state, part)
        case k.Resume():
            return (facts.Resumed(facts.Crank.UNMOVED),)
        case k.NextValve() | k.NothingToMeasure() | k.Finished():
            return ()
        case _:
            assert_never(step)


def _tried(hand: Hand, valve: str, feeler: Feeler) -> facts.ReadingTaken:
    return facts.ReadingTaken(valve, feeler, hand.answer(valve, feeler))


def _closing(state: State, part: k.ClosePart) -> tuple[c.Command, ...]:
    match part:
        case k.ClosePart.TURN_OVER:
            return (facts.AfterStepDone(facts.AfterStep.TURNED_OVER),)
        case k.ClosePart.FIRST_RUN:
            return (facts.AfterStepDone(facts.AfterStep.FIRST_RUN),)
        case k.ClosePart.LEAKS:
            return (facts.AfterStepDone(facts.AfterStep.NO_LEAKS),)
        case k.ClosePart.WORK:
            return (facts.CautionAcknowledged(work_left(state)[0]),)
        case k.ClosePart.TORQUES:
            return tuple(facts.TorqueDone(t.what) for t in state.opened.sheet.torques)
        case k.ClosePart.COUNT_OUT:
            items = state.short.items()
            return tuple(facts.ItemCounted(item, n, inwards=False) for item, n in items)
        case k.ClosePart.FILE:
            return (c.CloseSession(),)
        case _:
            assert_never(part)
