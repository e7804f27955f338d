"""A bench without a file: commands decided and applied, and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import Command, ConfirmPosition
from benchtui.domain.session.facts.events import (
    Event,
    Evidence,
    Opened,
    Particulars,
    ReadingTaken,
    StepUndone,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.decide import check_opening, decide
from benchtui.domain.session.steps.fold import apply, begin, fold
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.turning import Turning, turning
from benchtui.domain.sheet import AdjusterKind, Band, Sheet, Torque
from tests.engines import SCREW, band, fired, printed, sheet

START = datetime(2026, 5, 4, 9, tzinfo=UTC)
SIZES = ("0.03", "0.04", "0.05", "0.06", "0.07", "0.08", "0.09", "0.10", "0.12", "0.15", "0.20")
BLADES = BladeSet("F", tuple(Leaf(Length.mm(t)) for t in SIZES))


def twin(
    kind: AdjusterKind = AdjusterKind.SCREW,
    inlet: Band | None = None,
    metal_below: Fraction | None = Fraction(35),
) -> Sheet:
    """Two cylinders firing 360 degrees apart, an inlet and an exhaust each."""
    return sheet(
        "twin",
        fired({"1": 0, "2": 360}),
        printed(inlet or band("0.06", "0.10"), band("0.08", "0.12"), metal_below=metal_below),
        replace(SCREW, kind=kind),
        torques=(Torque("cover bolts", "10 N*m", Fraction(10), Fraction(10)),),
    )


class Desk:
    """Takes commands; ``state`` is applied step by step, ``events`` is everything that happened."""

    def __init__(self, opened: Opened) -> None:
        check_opening(opened)
        self.events = [Event(1, START, opened)]
        self.state = begin(self.events[0])

    def do(self, *commands: Command) -> State:
        for command in commands:
            fact = decide(self.state, command)
            number = self.state.number + 1
            event = Event(number, START + timedelta(seconds=number), fact)
            self.events.append(event)
            undoes = isinstance(fact, StepUndone)
            self.state = fold(self.events) if undoes else apply(self.state, event)
        return self.state

    def read(self, valve: str, *answers: str) -> ValveView:
        """``read("1E", "0.08 refuses", "0.20+0.05 free")``."""
        for text in answers:
            blade, answer = text.split()
            self.do(ReadingTaken(valve, self.blade(blade), Answer(answer)))
        return look(self.state, valve)

    def blade(self, text: str) -> Feeler:
        return self.state.opened.blades.feeler(*(Length.mm(m) for m in text.split("+")))

    def confirm(self, cylinder: str, *evidence: Evidence) -> State:
        return self.do(ConfirmPosition(cylinder, evidence or (Evidence.MARK, Evidence.SLACK)))

    def turning(self, valve: str | ValveView) -> Turning:
        view = self.look(valve) if isinstance(valve, str) else valve
        return turning(self.state, view)

    def look(self, valve: str) -> ValveView:
        return look(self.state, valve)


MakeDesk = Callable[..., Desk]


@pytest.fixture
def make_desk() -> MakeDesk:
    """A session on the twin; ``confirmed`` names the cylinder whose position is sure already."""

    def made(
        sheet: Sheet | None = None,
        confirmed: str | None = "1",
        metal: int | None = 19,
        feel: FeelBand | None = None,
    ) -> Desk:
        particulars = Particulars(metal_c=None if metal is None else Fraction(metal))
        desk = Desk(Opened("one", sheet or twin(), "f", BLADES, particulars, feel=feel))
        if confirmed is not None:
            desk.confirm(confirmed)
        return desk

    return made


@pytest.fixture
def make_twin() -> Callable[..., Sheet]:
    return twin


@pytest.fixture
def desk(make_desk: MakeDesk) -> Desk:
    """The first cylinder's position confirmed, cold metal."""
    return make_desk()
