"""How a valve's clearance changes from check to check, and when it may reach its limit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.history.slopes import Line, Seen, Slope, Wedge, slope_through, wedge
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band, GapRole

ENOUGH_FOR_A_JUMP = 4
"""With three brackets that fit no line, either gap between them could be the jump."""


@dataclass(frozen=True, slots=True)
class ValveCheck:
    """One check of one valve at one ``x``.

    ``found`` is None where it was not gauged before it was set; ``left`` is None where it was not
    set, or set and not gauged after that. Both stand at the same x. ``was_set``: it was touched all
    the same. ``moved`` is how far the setting moved the gap, from the least to the most, plus
    where it opened; None where that is not known.
    """

    found: Seen | None
    left: Seen | None = None
    was_set: bool = False
    moved: tuple[Length, Length] | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """What was seen from one setting to the next, in order; nobody touched the valve between.

    ``moved`` is how far the setting that began it moved the gap, from the least to the most, where
    that is known; the run before stood at the same valve until then.
    """

    seen: tuple[Seen, ...]
    moved: tuple[Length, Length] | None = None


def runs(checks: Iterable[ValveCheck]) -> tuple[Run, ...]:
    """A valve's history, cut wherever it was set.

    Give the checks in order of time. A setting ends a run with what was found and starts the next
    with what was left. Where x goes backwards (a replaced odometer that nobody joined up) a new
    run starts as well, for distances across it mean nothing.
    """
    done: list[Run] = []
    now: list[Seen] = []
    moved = pending = None  # what the setting before this run moved; what those since have moved

    def cut() -> None:
        nonlocal now, moved
        if now:
            done.append(Run(tuple(now), moved))
        now, moved = [], pending

    for check in checks:
        if check.found is not None:
            if now and check.found.x < now[-1].x:
                pending = None
                cut()
            now.append(check.found)
        if check.left is None and not check.was_set:
            continue
        # Set twice without a blade between: what both moved counts, if both are known.
        pending = _added(pending, check.moved) if not now and done else check.moved
        cut()
        if check.left is not None:
            now.append(check.left)
    cut()
    return tuple(done)


def _added(
    first: tuple[Length, Length] | None, then: tuple[Length, Length] | None
) -> tuple[Length, Length] | None:
    if first is None or then is None:
        return None
    return first[0] + then[0], first[1] + then[1]


class ProvedTrend(Enum):
    """What the brackets prove about one run."""

    TOO_FEW = "too few checks"
    NONE = "no trend shown"
    CLOSING = "closing up"
    OPENING = "opening"
    JUMP = "jumped"
    UNSTEADY = "not steady"


def trend(seen: Sequence[Seen], slope: Slope | None) -> ProvedTrend:
    """Closing or opening is claimed only where no line through all brackets is level.

    ``slope`` is what ``slope_through`` them is.
    """
    if len({s.x for s in seen}) < 2:  # noqa: PLR2004 - two places make a line
        return ProvedTrend.TOO_FEW
    if slope is None:
        return ProvedTrend.UNSTEADY if jump(seen) is None else ProvedTrend.JUMP
    if slope.falls:
        return ProvedTrend.CLOSING
    return ProvedTrend.OPENING if slope.rises else ProvedTrend.NONE


def jump(seen: Sequence[Seen]) -> tuple[Seen, Seen] | None:
    """The two brackets between which something moved at once, or None.

    Told only where no one line passes them all, one slope fits before and after one single cut,
    and no other cut does as well.
    """
    if len(seen) < ENOUGH_FOR_A_JUMP or slope_through(seen) is not None:
        return None
    cuts = []
    for k in range(1, len(seen)):
        before, after = slope_through(seen[:k]), slope_through(seen[k:])
        if before is not None and after is not None and before.overlaps(after):
            cuts.append((seen[k - 1], seen[k]))
    return cuts[0] if len(cuts) == 1 else None


@dataclass(frozen=True, slots=True)
class Forecast:
    """Where a limit is met: from ``earliest`` to ``latest`` in x; a latest of None may be never."""

    limit: Length
    earliest: Fraction
    latest: Fraction | None


def forecast(ahead: Wedge, band: Band, trend: ProvedTrend) -> Forecast | None:
    """When the clearance meets the end of ``band`` that it drifts towards.

    None unless closing up or opening has been claimed: a wedge that holds a level line foretells
    nothing. ``earliest`` is never before the last check, where it says "may be there already".
    """
    if trend is ProvedTrend.CLOSING:
        limit, first, late = band.low, ahead.lower, ahead.upper
    elif trend is ProvedTrend.OPENING:
        limit, first, late = band.high, ahead.upper, ahead.lower
    else:
        return None
    # Without bound on the near side it may be there already.
    earliest = ahead.last if first is None else _met(first, limit, ahead.last)
    if earliest is None:
        return None
    return Forecast(limit, earliest, _met(late, limit, ahead.last))


def _met(line: Line | None, limit: Length, last: Fraction) -> Fraction | None:
    met = None if line is None else line.meets(limit)
    return None if met is None else max(met, last)


@dataclass(frozen=True, slots=True)
class Wear:
    """All that one run says. ``slope`` is None where no line passes every bracket.

    ``carried``: the run is too short to show a drift, and the wedge and forecast take the one proved
    before the valve was last set ("if it goes on so").
    """

    run: Run
    trend: ProvedTrend
    slope: Slope | None
    ahead: Wedge | None
    forecast: Forecast | None
    carried: bool = False


def wear_of(run: Run, band: Band | None = None, before: Wear | None = None) -> Wear:
    """What a run says; without a ``band`` nothing is foretold.

    ``before`` is the same valve's run before it was last set; its drift is carried on where it was
    proved and this run is too short to have one of its own.

    Raises:
        ValueError: the run is empty.
    """
    slope = slope_through(run.seen)
    shown, ahead = trend(run.seen, slope), wedge(run.seen, slope)
    carried = shown is ProvedTrend.TOO_FEW and before is not None and _proved(before.trend)
    if carried and before is not None and before.slope is not None:
        ahead, towards = _carry(run.seen[-1], before.slope), before.trend
    else:
        towards = shown
    foretold = forecast(ahead, band, towards) if ahead is not None and band is not None else None
    return Wear(run, shown, slope, ahead, foretold, carried)


def wear_through(checks: Iterable[ValveCheck], band: Band | None = None) -> tuple[Wear, ...]:
    """Every run of a valve's history, oldest first."""
    told: list[Wear] = []
    for run in runs(checks):
        told.append(wear_of(run, band, told[-1] if told else None))
    return tuple(told)


def _proved(trend: ProvedTrend) -> bool:
    return trend in {ProvedTrend.CLOSING, ProvedTrend.OPENING}


def _carry(start: Seen, slope: Slope) -> Wedge:
    """What the old slope makes of the new start: the ends of one on the ends of the other."""
    lower = _through(start.x, start.low, slope.low)
    return Wedge(start.x, lower, _through(start.x, start.high, slope.high))


def _through(x: Fraction, height: Length | None, slope: Fraction | None) -> Line | None:
    return None if height is None or slope is None else Line(slope, height.nm - slope * x)


def likely_cause(trend: ProvedTrend, role: GapRole = GapRole.OPENER) -> str:
    """What may be behind it, as a possibility only; "" where nothing is claimed."""
    if trend is ProvedTrend.JUMP:
        return (
            "It moved at once: possibly a loose locknut, a screw that turned, or dirt or carbon "
            "on the seat. Check the locknut and measure again."
        )
    if trend is ProvedTrend.UNSTEADY:
        return (
            "It does not change steadily: possibly readings that differ from hand to hand, metal "
            "that was not cold, or a part that moves. Measure again with clean blades."
        )
    closing = trend is ProvedTrend.CLOSING
    if trend in (ProvedTrend.CLOSING, ProvedTrend.OPENING) and closing == (role is GapRole.OPENER):
        return "Possibly seat wear: the valve sinks into its seat (valve recession)."
    if trend is ProvedTrend.OPENING:
        return "Possibly wear of the stem tip, the pad, the cam or the rocker."
    if trend is ProvedTrend.CLOSING:
        return "Unusual for a closer: possibly a part that has shifted. Measure both gaps again."
    return ""


def apart(siblings: Mapping[str, Slope]) -> tuple[str, ...]:
    """The valves of one kind whose drift is proved to differ from all their siblings'.

    Two that differ are both named, for neither can be told to be the odd one. One valve alone has
    nothing to differ from.
    """
    return tuple(
        name
        for name, slope in siblings.items()
        if len(siblings) > 1
        and not any(slope.overlaps(other) for n, other in siblings.items() if n != name)
    )
