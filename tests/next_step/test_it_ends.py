"""Followed step by step by a hand that answers truly, every check comes to its end."""

from __future__ import annotations

from random import Random

import pytest

from benchtui.domain.adjusting.turns import closing_way, gap_for
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts import commands as c
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.domain.sheet import AdjusterKind, setting_range
from tests.next_step.doing import commands_of
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

    def gap(self, valve: str) -> Length:
        return Length(self.gaps[valve])

    def shim(self, valve: str) -> Length:
        return Length(self.shims[valve])

    def follow(self, step: k.NextStep) -> None:
        """Do it."""
        assert not isinstance(step, k.Resume | k.NothingToMeasure | k.Finished)
        if isinstance(step, k.NextValve):
            self.valve = step.to
        for command in commands_of(self.run.state, step, self):
            assert self.run.do(command), command
            self._moved(command)

    def _moved(self, command: c.Command) -> None:
        """What it does to the true gap."""
        adjuster = self.run.state.opened.sheet.adjuster
        match command:
            case facts.ScrewSetOn(valve, feeler):
                self.gaps[valve] = feeler.nominal.nm + 3_000
            case facts.ScrewTurned(valve, way, degrees):
                if adjuster.kind is AdjusterKind.ECCENTRIC:
                    sign = -1 if way is closing_way(adjuster) else 1
                    by = round(sign * RATE * degrees)
                else:
                    by = gap_for(way, degrees, adjuster).nm
                self.gaps[valve] = max(0, self.gaps[valve] + by)
            case facts.WoundBack(valve, degrees):
                made = gap_for(closing_way(adjuster).other, degrees, adjuster)
                self.gaps[valve] = made.nm
            case facts.Locked(valve):
                self.gaps[valve] = max(0, self.gaps[valve] - self.nut)
            case facts.ShimFitted(valve, size, found=False):
                self.gaps[valve] = max(0, self.gaps[valve] + self.shims[valve] - size.nm)
                self.shims[valve] = size.nm
            case _:
                pass

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
