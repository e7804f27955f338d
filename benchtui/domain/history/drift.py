"""How far each valve has moved since it was last left, as the past checks have proved or let one guess."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchtui.domain.gauging.prior import INSIDE
from benchtui.domain.history.course import courses, meter_of, real, usage_of
from benchtui.domain.history.engine_trend import estimated_of
from benchtui.domain.history.estimate import Estimate
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Usage, unrolled
from benchtui.domain.history.wear import ProvedTrend, Wear
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import SessionRecord

Drift = tuple[Length, Length]
"""From the least to the most; below zero where it closes up."""


def drifts_since(records: Sequence[SessionRecord], now: Usage) -> dict[str, Drift]:
    """For each valve with a known drift, what that makes of the way done since the last check.

    Args:
        records: the engine's sessions in any order.
        now: what its counters read today.

    A drift counts where the brackets prove that it closes up or opens, and bound it on both sides;
    one proved before the valve was last set is carried on, as the forecast does. Else, where the
    estimate claims one, that counts, between the slopes that hold as much of the chance as a prior
    has on its plateau: it only aims the first blade. Without the counter's reading today, or at the
    last check, the way since is not known.
    """
    mine = real(records)
    checks = [r for r in mine if r.complete]
    meter = meter_of(mine)
    if meter is None or not checks or now.of(meter) is None:
        return {}
    if usage_of(checks[-1]).of(meter) is None:
        return {}
    # Only what was read from the last check on counts; a counter replaced since is joined up.
    after = mine[mine.index(checks[-1]) :]
    since = unrolled([*(usage_of(r) for r in after), now], meter)[-1].done
    found = {}
    every = courses(mine, meter)
    estimated = estimated_of(every, only_claims=True)
    for course in every:
        slope = _proved(course.runs)
        if slope is None or slope.low is None or slope.high is None:
            slope = _claimed(estimated.get(course.valve))
        if slope is not None and slope.low is not None and slope.high is not None:
            found[course.valve] = (_moved(slope.low, since), _moved(slope.high, since))
    return found


def _claimed(estimate: Estimate | None) -> Slope | None:
    if estimate is None or estimate.trend is ProvedTrend.NONE:
        return None
    side = float(1 - INSIDE) / 2
    return Slope(Fraction(estimate.slope(side)), Fraction(estimate.slope(1 - side)))


def _proved(runs: tuple[Wear, ...]) -> Slope | None:
    last = runs[-1]
    if last.trend in (ProvedTrend.CLOSING, ProvedTrend.OPENING):
        return last.slope
    return runs[-2].slope if last.carried else None


def _moved(slope: Fraction, way: Fraction) -> Length:
    return Length(round(slope * way))
