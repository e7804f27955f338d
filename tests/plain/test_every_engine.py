"""Every kind of engine by typed lines alone: a hand that answers comes to a complete check."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length, midpoint
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.facts.events import (
    Locked,
    Particulars,
    ScrewSetOn,
    ScrewTurned,
    ShimFitted,
)
from benchtui.domain.session.next_step import kinds as k
from benchtui.plain.session import Talk
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.metal import Metal
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

WORDS = {Answer.REFUSES: "s", Answer.DRAG: "k", Answer.FREE: "free"}
SHIM = Length.mm("2.80")


class Typist:
    """Reads the step in force and types what a person at the engine would."""

    def __init__(self, shop: Workshop, engine: str, blades: str, seed: int) -> None:
        sheet = shop.engines.sheet(engine)
        opened = shop.opening(sheet, blades, Particulars(metal_c=Fraction(19)))
        self.metal = Metal(sheet, opened.blades, STORY_HAND, Random(seed))  # noqa: S311  # drawn, not secret
        self.talk = Talk(shop.open_sessions.open(opened), self.said, self.typed)
        self.lines: list[str] = []
        self.count = self.done = 0
        self.shims: dict[str, Length] = {}

    def said(self, text: str) -> None:
        if text:
            self.lines.append(text)

    def typed(self) -> str:
        self.count += 1
        assert self.count < 900, self.lines[-40:]
        self._move()
        return self.words(self.talk._onwards())

    def _move(self) -> None:
        """What the bench recorded since was done to the metal too."""
        events = self.talk.live.bench.events
        for event in events[self.done :]:
            match event.fact:
                case ScrewTurned(valve, way, degrees):
                    self.metal.turn(valve, way, degrees)
                case ScrewSetOn(valve, feeler):
                    self.metal.set_on(valve, feeler)
                case ShimFitted(valve, size, _, found) if not found:
                    self.metal.gaps[valve] += (self.shims.get(valve, SHIM) - size).nm
                    self.shims[valve] = size
                case Locked(valve):
                    self.metal.lock(valve)
        self.done = len(events)

    def feel(self, valve: str, feeler: Feeler) -> str:
        return WORDS[self.metal.feel(valve, feeler)]

    def words(self, step: k.NextStep) -> str:  # noqa: C901, PLR0912  # one case a step
        match step:
            case k.TryBlade(valve=valve, feeler=feeler):
                return self.feel(valve, feeler)
            case k.SpotCheck(spot=spot):
                return self.feel(spot.valve, spot.feeler)
            case k.Settle(valve=valve, clash=clash):
                strike = clash.how is Settling.STRIKE
                return "strike all" if strike else self.feel(valve, clash.doubted.feeler)
            case k.Borrow(valve=valve):
                return f"measured {Length(self.metal.gaps[valve]).bare}"
            case k.ConfirmCrank() | k.TurnCrankTo(forward=None):
                return "1, 2"
            case k.LookPast():
                return "still"
            case k.Tell(what=k.ToTell.BAND):
                return "0.03"
            case k.Tell():
                return "2.80"
            case k.StopAndLook():
                return "looked"
            case k.FitShim(valve=valve, size=None, high=high) if not high:
                thinner = self.shims.get(valve, SHIM) - Length.mm("0.30")
                return f"shim {thinner.bare}"
            case k.FitShim(size=None, low=low, high=high):
                return f"shim {midpoint(low, high).bare}"
            case k.LockIt():
                return "torqued"
            case k.CloseUp(part=k.ClosePart.COUNT_OUT):
                return "1 rag"
            case k.CloseUp(part=k.ClosePart.FILE):
                return "file"
            case k.NextValve():
                return "next"
            case _:
                return "done"


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize(
    ("engine", "blades"),
    [
        ("quay-pump", "fine-metric"),
        ("slip-winch", "hundredths"),
        ("harbour-van", "two-scale"),
        ("mole-crane", "hundredths"),
        ("dredge-lift", "workshop-inch"),
        ("ferry-tender", "hundredths"),
    ],
)
def test_a_check_comes_to_its_end(engine: str, blades: str, seed: int, tmp_path: Path) -> None:
    shop = Workshop(DataFolder(tmp_path), wall_clock)
    typist = Typist(shop, engine, blades, seed)
    filed = typist.talk.run()
    assert filed, typist.lines[-30:]
    closed = typist.talk.state.closed
    assert closed is not None
    refused = [line for line in typist.lines if line.startswith("Not taken")]
    assert not refused, refused
    assert closed.complete, (closed.missing, typist.lines[-30:])
