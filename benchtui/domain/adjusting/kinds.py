"""The kinds of adjuster: callers ask what they need to know of one, and never which it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

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


SCREW = SetBy("screw", locked=True, threaded=True, keys=frozenset({"pitch", "thread", "left_hand"}))
"""A screw with a locknut, at either end of a rocker."""

SHIM = SetBy(
    "shim", shims=True, no_turn=Why.SET_BY_SHIMS, keys=frozenset({"shims", "under_bucket"})
)
"""A shim on a bucket or under a follower, that is swapped with the cams in place."""

KINDS = {
    "screw": SCREW,
    # A nut on the pillar that a rocker pivots on: a thread, turned at its hexagon, on pushrod gear.
    "pillar nut": replace(SCREW, part="nut", pushrods=True),
    # A bush or pin, clamped: it lifts by a sine of its angle, so that no pitch tells how far.
    "eccentric": SetBy("eccentric", locked=True, no_turn=Why.ECCENTRIC_NO_PITCH),
    "shim": SHIM,
    # It takes up the clearance itself: there is none to measure or to set.
    "hydraulic": SetBy("adjuster", measured=False, no_turn=Why.HYDRAULIC),
}
"""By the name that stands on a sheet."""


def set_by(name: str, *, under_bucket: bool) -> SetBy:
    """The kind that a sheet names; under a bucket the cams come out for it."""
    kind = KINDS[name]
    return replace(kind, cams_out=True) if kind.shims and under_bucket else kind
