"""What sets a clearance, as everybody asks it: the same questions of every kind of adjuster."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.refusal import Why


@dataclass(frozen=True, slots=True)
class SetBy:
    """One kind of adjuster.

    ``part`` is what is held and turned, or swapped, at the valve. ``measured``: there is a clearance for
    a blade. ``locked``: a nut is slackened for setting, tightened after it, and the valve measured
    again. ``threaded``: a thread moves the gap, so that a pitch tells how far to turn; ``no_turn`` is why
    none is told of the others. ``shims``: sizes are swapped, for which the one that is in must be known
    first. ``cams_out``: the cams come out for that. ``pushrods``: it sits at the pushrod end of a rocker.
    ``keys`` are those of a sheet that other kinds have no use for.
    """

    part: str
    measured: bool = True
    locked: bool = False
    threaded: bool = False
    shims: bool = False
    cams_out: bool = False
    pushrods: bool = False
    no_turn: Why | None = None
    keys: frozenset[str] = frozenset()

    @property
    def learned(self) -> bool:
        """Whether how far it moves the gap is learned at the engine, from two readings."""
        return self.locked and not self.threaded
