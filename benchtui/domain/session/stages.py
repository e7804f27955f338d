"""What was read and done at one valve, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.length import Length
from benchtui.domain.session.events import ScrewTurned


class StageKind(Enum):
    """What state the adjuster was in while these readings were taken."""

    FOUND = "as found"
    TURNED = "turned, nut slack"
    LOCKED = "locked"
    SHIMMED = "shim fitted"
    AGAIN = "doubted by the spot-check"


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading with its circumstances.

    ``place`` is the number of the event that confirmed the crank position it was taken in, None
    where none was confirmed for this valve (or it was doubted since): then it counts for nothing.
    ``at`` is the position in force whatever the valve, for readings that turn out to be another's.
    """

    reading: Reading
    place: int | None
    metal_c: Fraction | None
    struck: bool = False
    at: int | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """Readings between two touches of the adjuster; ``turns`` are those that began the stage.

    ``backed_off`` are the degrees from zero clearance where the stage began with a pad test.
    """

    kind: StageKind
    taken: tuple[Taken, ...] = ()
    turns: tuple[ScrewTurned, ...] = ()
    shim: Length | None = None
    shim_measured: Length | None = None
    backed_off: Fraction | None = None

    @property
    def live(self) -> tuple[Taken, ...]:
        """The readings that were not struck."""
        return tuple(t for t in self.taken if not t.struck)


@dataclass(frozen=True, slots=True)
class ValveState:
    """Everything done at one valve, stage by stage; the first stage is as found.

    ``spot`` are readings of the spot-check that agreed with what was left.
    """

    stages: tuple[Stage, ...] = (Stage(StageKind.FOUND),)
    shim: Length | None = None
    spot: tuple[Reading, ...] = ()
    shim_measured: Length | None = None

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
        return any(s.kind not in (StageKind.FOUND, StageKind.AGAIN) for s in self.stages)

    def with_current(self, stage: Stage) -> ValveState:
        """The same with another stage in hand."""
        return replace(self, stages=(*self.stages[:-1], stage))

    def begun(self, stage: Stage) -> ValveState:
        """The same with a new stage begun."""
        return replace(self, stages=(*self.stages, stage))
