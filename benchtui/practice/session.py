"""A rehearsal at the keyboard: the ordinary bench on an engine and with a hand that are not real.

Nothing of it is kept: the session lies in memory, is marked as practice, and no file is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from random import Random

from benchtui.bench import Bench, KeepsEvents
from benchtui.domain.adjusting.turns import Way, gap_for
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.facts.commands import Command, ConfirmPosition, Undo
from benchtui.domain.session.facts.events import (
    BandChosen,
    Event,
    Evidence,
    FittedLast,
    Locked,
    Particulars,
    ScrewSetOn,
    ScrewTurned,
    ShimFitted,
    StepUndone,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.decide import check_sheet
from benchtui.domain.session.whole.outcome import Outcome
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.sheet import Sheet
from benchtui.practice.hand import STORY_HAND, Hand
from benchtui.practice.metal import Metal, draw_gaps
from benchtui.store.journal import MemoryJournal
from benchtui.workshop import LiveSession, Workshop

WHO = "practice"

OVERLAP = 0.1
"""The chance of standing one turn out without knowing it (own choice)."""

COLD = Fraction(15)
"""The practice engine's metal in degrees Celsius, where its sheet does not ask for hot metal."""

SHIM = Length.mm("2.50")
"""A usual size, where the sheet lists no stock (own choice)."""

PRACTICE_HAND = replace(STORY_HAND, overlap=OVERLAP)


class PracticeBench(Bench):
    """A bench whose steps also move the metal that is not real."""

    def __init__(
        self, journal: KeepsEvents, clock: Callable[[], datetime], events: Iterable[Event]
    ) -> None:
        super().__init__(journal, clock, events)
        self.metal: Metal | None = None
        self._before: dict[int, dict[str, int]] = {}
        self._stood = ""

    def do(self, command: Command) -> State:
        """Take one step, and do the same to the metal; a step taken back is taken back there too."""
        before = self.state
        state = super().do(command)
        if self.metal is not None:
            gaps = dict(self.metal.gaps)
            if isinstance(command, Undo):
                self._take_back(self.metal)
            else:
                self._move(self.metal, command, before)
                if self.metal.gaps != gaps:
                    self._before[state.number] = gaps
        return state

    def slack(self, cylinder: str) -> bool:
        """Bring this cylinder to its mark, and feel whether both its rockers are slack there."""
        if self.metal is None:
            return True
        if self._stood != cylinder:
            self._stood = cylinder
            self.metal.stand()
        return not self.metal.one_turn_out

    def _move(self, metal: Metal, command: Command, before: State) -> None:
        match command:
            case ConfirmPosition(cylinder, evidence):
                # Whoever saw the valves move knows the stroke; the mark alone may be one turn out.
                if any(e.tells_the_stroke for e in evidence):
                    metal.turn_on()
                elif Evidence.TURNED not in evidence:  # turned on from a stop, it stands as it did
                    self.slack(cylinder)
                self._stood = ""
            case ScrewTurned(valve, way, degrees):
                metal.turn(valve, way, degrees)
            case ScrewSetOn(valve, feeler):
                metal.set_on(valve, feeler)
            case WoundBack(valve, degrees):
                metal.gaps[valve] = abs(gap_for(Way.OUT, degrees, metal.sheet.adjuster)).nm
            case Locked(valve):
                metal.lock(valve)
            case ShimFitted(valve, size, _, found):
                fitted = before.valves[valve].shim
                if fitted is not None and not found:
                    thinner = (fitted - size).scaled(metal.sheet.adjuster.lever)
                    metal.gaps[valve] = max(0, metal.gaps[valve] + thinner.nm)

    def _take_back(self, metal: Metal) -> None:
        undone = self.events[-1].fact
        if isinstance(undone, StepUndone) and undone.number in self._before:
            metal.gaps.update(self._before[undone.number])


class Rehearsal(LiveSession):
    """A session at an engine that is not real.

    ``asked`` is the blade that the hand has told the feel of, and waits for the person to name it.
    """

    mark = "PRACTICE"

    def __init__(self, bench: PracticeBench, metal: Metal) -> None:
        super().__init__(bench, None)
        bench.metal = metal
        self._at = bench
        self.metal = metal
        self.asked: tuple[str, Feeler, int] | None = None
        self._found = dict(metal.gaps)

    @property
    def read_only(self) -> bool:
        """It can be worked at, though no file is behind it."""
        return False

    def felt(self, valve: str, feeler: Feeler) -> tuple[Answer, int]:
        """What the practice hand would say, and by how many nanometres the gap is wider than the blade."""
        over = self.metal.gap(valve) - self.metal.thickness(feeler)
        return self.metal.hand.feel(over, 0), over

    def tells_first(self, valve: str, feeler: Feeler) -> bool:
        """Whether the hand only tells what it feels now: a person names it himself the first time."""
        now = (valve, feeler, self.bench.state.number)
        first, self.asked = self.asked != now, now
        return first

    def slack(self, cylinder: str) -> bool:
        """Whether both rockers are slack at this cylinder's mark; one turn out they are not."""
        return self._at.slack(cylinder)

    def opens(self, cylinder: str) -> bool:
        """Whether the inlet opens 45 degrees past this cylinder's mark, so that it was overlap."""
        return not self._at.slack(cylinder)

    def outcomes(self) -> tuple[Outcome, ...]:
        """Every valve: what was said, and what is true."""
        record = record_of(self.bench.state)
        return tuple(
            Outcome(
                v.name,
                v.setting,
                v.touched,
                v.found,
                Length(self._found[v.name]),
                v.left,
                Length(self.metal.gaps[v.name]),
            )
            for v in record.valves
        )


def rehearse(
    workshop: Workshop,
    sheet: Sheet,
    blades_key: str,
    *,
    who: str = WHO,
    own_band: Length | None = None,
    random: Random | None = None,
    hand: Hand = PRACTICE_HAND,
) -> Rehearsal:
    """Begin a practice session on an engine like this one.

    Args:
        workshop: whose blades and hands there are.
        sheet: the engine that is imitated; what its past checks found plays no part.
        blades_key: the blade set.
        who: whose practised feel it goes by, where it goes by any.
        own_band: the owner's own tolerance either side of single figures.
        random: drawn anew where none is given.
        hand: how the practice hand feels, turns and locks.

    Raises:
        Refusal: hydraulic gear, or a kind of adjuster that practice does not know.
        FaultyInput: the blade set cannot be used.
    """
    kind = sheet.adjuster.kind
    if not (sheet.adjuster.threaded or sheet.adjuster.set_by.shims):
        check_sheet(sheet)
        raise Refusal(Why.NO_PRACTICE, set_by=kind)
    drawn = Random() if random is None else random  # a rehearsal hides no secret
    hot = sheet.clearances.metal_above
    gaps = draw_gaps(sheet, drawn, own_band)
    told = Particulars(metal_c=COLD if hot is None else hot + 5, who=who)
    bench, metal = set_up(workshop, sheet, blades_key, told, gaps=gaps, hand=hand, random=drawn)
    if own_band is not None:
        bench.do(BandChosen(own_band))
    return Rehearsal(bench, metal)


def set_up(
    workshop: Workshop,
    sheet: Sheet,
    blades_key: str,
    particulars: Particulars,
    *,
    gaps: dict[str, int],
    hand: Hand,
    random: Random,
) -> tuple[PracticeBench, Metal]:
    """A bench in memory and the metal behind it; ``gaps`` are the true clearances in nanometres.

    Raises:
        FaultyInput: the blade set cannot be used.
    """
    opened = replace(
        workshop.opening(sheet, blades_key, particulars),
        practice=True,
        left_last=(),
        past_shifts=(),
        past_runs=(),
        fitted_last=_fitted(sheet),
        left_slack=(),
        band=None,
        on_figure=False,
        finer=None,
    )
    bench = PracticeBench.open(MemoryJournal(), workshop.clock, opened)
    return bench, Metal(sheet, opened.blades, hand, random, gaps=gaps)


def _fitted(sheet: Sheet) -> tuple[FittedLast, ...]:
    """The shims that the practice engine starts with: one size from the middle of the stock."""
    if not sheet.adjuster.set_by.shims:
        return ()
    sizes = sorted(sheet.adjuster.shim_sizes) or [SHIM]
    size = sizes[len(sizes) // 2]
    return tuple(FittedLast(v.name, size) for v in sheet.layout.valves)
