"""What was read and done at one valve, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Measured, Reading
from benchtui.domain.length import Length
from benchtui.domain.remembering import remembered, replace
from benchtui.domain.session.facts.events import ScrewTurned
from benchtui.domain.session.facts.metal_standing import NOT_ASKED, MetalStanding


class StageKind(Enum):
    """What state the adjuster was in while these readings were taken."""

    FOUND = "as found"
    TURNED = "turned, nut slack"
    LOCKED = "locked"
    SHIMMED = "shim fitted"
    AGAIN = "doubted by the spot-check"
    REFITTED = "cams back in"


@dataclass(frozen=True)
class Taken:
    """A reading with its circumstances.

    ``place`` is the number of the event that confirmed the crank position it was taken in, None
    where none was confirmed for this valve (or it was doubted since): then it counts for nothing.
    ``at`` is the position in force whatever the valve, for readings that turn out to be another's.
    ``metal_c`` is the metal's temperature then, or the first that was told after it, in Celsius;
    ``metal`` how the metal stood to what the sheet asks.
    """

    reading: Reading
    place: int | None
    metal_c: Fraction | None
    struck: bool = False
    at: int | None = None
    metal: MetalStanding = NOT_ASKED

    @property
    def metal_right(self) -> bool:
        """Whether it was taken in metal as the sheet asks."""
        return self.metal.right


@dataclass(frozen=True, slots=True)
class TakenMeasure:
    """A measured value with the same circumstances."""

    measured: Measured
    place: int | None
    metal_c: Fraction | None
    struck: bool = False
    at: int | None = None
    metal: MetalStanding = NOT_ASKED

    @property
    def metal_right(self) -> bool:
        """Whether it was taken in metal as the sheet asks."""
        return self.metal.right


@dataclass(frozen=True)
class Stage:
    """Readings between two touches of the adjuster; ``turns`` are those that began the stage.

    ``held`` is the blade that the screw was set on, nut slack; ``torqued``: the nut was tightened to
    the sheet's figure. ``backed_off`` are the degrees from zero clearance where the stage began with
    a pad test. ``measures`` are the measured values; the last that counts stands for all.
    ``metal`` is how the metal stood when a turn or a lock began it.
    """

    kind: StageKind
    taken: tuple[Taken, ...] = ()
    turns: tuple[ScrewTurned, ...] = ()
    shim: Length | None = None
    shim_measured: Length | None = None
    backed_off: Fraction | None = None
    held: Feeler | None = None
    torqued: bool = False
    metal: MetalStanding = NOT_ASKED
    measures: tuple[TakenMeasure, ...] = ()
    memo: dict[object, object] = field(default_factory=dict, init=False, compare=False, repr=False)

    @property
    def unread(self) -> bool:
        """Whether nothing was tried or measured, or all of it was struck."""
        return not self.live and all(t.struck for t in self.measures)

    @property
    def measure(self) -> TakenMeasure | None:
        """The measured value that counts, as ``counting`` has it of readings; else None."""
        if not self.measures:  # as nearly always, and this is asked often
            return None
        placed = [t for t in self.measures if t.place is not None and not t.struck]
        right = [t for t in placed if t.metal_right]
        if not right and any(t.metal_right and t.place is not None for t in self.live):
            return None
        return (right or placed)[-1] if placed else None

    @property
    def live(self) -> tuple[Taken, ...]:
        """The readings that were not struck."""
        return remembered(self, "live", lambda: tuple([t for t in self.taken if not t.struck]))

    @property
    def counting(self) -> tuple[Taken, ...]:
        """Those that count: taken at a confirmed position, and if any was, in metal as asked for."""
        return remembered(self, "counting", self._counting)

    def _counting(self) -> tuple[Taken, ...]:
        placed = tuple([t for t in self.live if t.place is not None])
        right = tuple([t for t in placed if t.metal_right])
        if right or not placed:
            return right
        measured = any(
            t.metal_right and t.place is not None and not t.struck for t in self.measures
        )
        return () if measured else placed


@dataclass(frozen=True)
class ValveState:
    """Everything done at one valve, stage by stage; the first stage is as found.

    ``spot`` are readings of the spot-check that agreed with what was left.
    """

    stages: tuple[Stage, ...] = (Stage(StageKind.FOUND),)
    spot: tuple[Reading, ...] = ()
    memo: dict[object, object] = field(default_factory=dict, init=False, compare=False, repr=False)

    @property
    def shim(self) -> Length | None:
        """The stamp of the shim that is in now, as last told; None where nobody has."""
        return next((s.shim for s in reversed(self.stages) if s.shim is not None), None)

    @property
    def shim_measured(self) -> Length | None:
        """What a micrometer said of it, if it was asked."""
        return next((s.shim_measured for s in reversed(self.stages) if s.shim is not None), None)

    @property
    def found(self) -> Stage:
        """As found, before anything was touched."""
        return self.stages[0]

    @property
    def current(self) -> Stage:
        """The stage in hand."""
        return self.stages[-1]

    @property
    def touched(self) -> bool:
        """Whether anything was turned, locked or swapped."""
        untouched = (StageKind.FOUND, StageKind.AGAIN, StageKind.REFITTED)
        return any(s.kind not in untouched for s in self.stages)

    def with_current(self, stage: Stage) -> ValveState:
        """The same with another stage in hand."""
        return replace(self, stages=(*self.stages[:-1], stage))

    def begun(self, stage: Stage) -> ValveState:
        """The same with a new stage begun."""
        return replace(self, stages=(*self.stages, stage))
