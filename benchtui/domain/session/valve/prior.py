"""What past checks let one expect of a valve, and how sure that makes a verdict."""

from __future__ import annotations

import math
from dataclasses import replace

from benchtui.domain.gauging.prior import Prior, from_left
from benchtui.domain.gauging.risk import false_accept
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import reckoned
from benchtui.domain.session.valve.lock_shift import shift_known
from benchtui.domain.session.valve.pad import hollow


def expected(state: State, view: ValveView) -> Prior | None:
    """What was left last time, moved by the drift since; None for a valve touched since then.

    With the nut slack, where the gap stands by reckoning.
    """
    if view.stage is StageKind.TURNED:
        here = reckoned(state.valves[view.valve.name].stages, state.opened.sheet.adjuster)
        return None if here.high is None or here.clash else from_left(here.low, here.high)
    if view.stage is not StageKind.FOUND:
        return None
    last = next((k for k in state.opened.left_last if k.valve == view.valve.name), None)
    if last is None or last.high is None:
        return None
    if last.drift_low is None or last.drift_high is None:
        return from_left(last.low, last.high)
    return from_left(last.low, last.high, last.drift_low, last.drift_high)


def landed(state: State, view: ValveView) -> Prior | None:
    """Where the last turn and its lock were meant to leave this valve; None where that is not known.

    What was read before the turn, moved by the turn with the hand's error, and by what locking is known
    to take, as an interval. This lock's own reading takes no part in that: it would be used twice. None
    where nothing is known of the locknut yet: any spread put there would be our own invention. None too
    for shims (they are mostly fitted where no stamp's error is known) and eccentrics (their rate is
    learned from the readings themselves).
    """
    history = state.valves[view.valve.name]
    before = history.stages[:-1]
    if view.stage is not StageKind.LOCKED or before[-1].kind is not StageKind.TURNED:
        return None
    here = reckoned(before, state.opened.sheet.adjuster)
    unread = replace(history, stages=before)
    shift = shift_known(replace(state, valves={**state.valves, view.valve.name: unread}))
    if shift is None or here.high is None or here.clash:
        return None
    return from_left(here.low, here.high, shift.low, shift.high)


def chance_wrong(state: State, view: ValveView) -> float | None:
    """The chance, 0 to 1, that a valve called in range is out of it all the same (false accept).

    What is known beforehand is what was left last time, or where the valve was turned and locked
    to (see ``landed``). None where it is not called in range, or nothing is known beforehand:
    without a prior there is no such chance to speak of (JCGM 106:2012, 9.3). None too where the
    readings and what was expected rule each other out, or where the pad was found hollow: what the
    blades miss there is no error of theirs.
    """
    if hollow(state, view.valve.name) is not None:
        return None
    prior = expected(state, view) or landed(state, view)
    if prior is None or view.verdict.kind is not VerdictKind.IN or view.judged is None:
        return None
    chance = false_accept(counted(state.valves[view.valve.name].current), view.judged, prior)
    return None if math.isnan(chance) else max(0.0, chance)
