"""What past checks let one expect of a valve, and how sure that makes a verdict."""

from __future__ import annotations

import math

from benchtui.domain.gauging.prior import Prior, from_left
from benchtui.domain.gauging.risk import false_accept
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.gates import counted
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.stages import StageKind
from benchtui.domain.session.state import State


def expected(state: State, view: ValveView) -> Prior | None:
    """What was left last time, moved by the drift since; None for a valve touched since then."""
    if view.stage is not StageKind.FOUND:
        return None
    last = next((k for k in state.opened.left_last if k.valve == view.valve.name), None)
    if last is None or last.high is None:
        return None
    if last.drift_low is None or last.drift_high is None:
        return from_left(last.low, last.high)
    return from_left(last.low, last.high, last.drift_low, last.drift_high)


def chance_wrong(state: State, view: ValveView) -> float | None:
    """The chance, 0 to 1, that a valve called in range is out of it all the same (false accept).

    None where it is not called in range, or nothing is known of it beforehand: without a prior
    there is no such chance to speak of (JCGM 106:2012, 9.3). None too where the readings and what
    was expected rule each other out.
    """
    prior = expected(state, view)
    if prior is None or view.verdict.kind is not VerdictKind.IN or view.judged is None:
        return None
    chance = false_accept(counted(state.valves[view.valve.name].current), view.judged, prior)
    return None if math.isnan(chance) else max(0.0, chance)
