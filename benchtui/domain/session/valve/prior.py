"""What past checks let one expect of a valve, and how sure that makes a verdict."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from benchtui.domain.gauging.bracket import bracket_of
from benchtui.domain.gauging.feel import USUAL_BAND
from benchtui.domain.gauging.likely_gap import likely_gap
from benchtui.domain.gauging.prior import Prior, from_left, from_setting
from benchtui.domain.gauging.risk import false_accept
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length, midpoint
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import reckoned
from benchtui.domain.session.valve.lock_shift import shift_known
from benchtui.domain.session.valve.pad import hollow
from benchtui.domain.sheet import Valve, setting_range

SHIFT_STEP = Length.um(5)
"""Shifts of a kind are told to so much; a leaf is seldom nearer to the next (own choice)."""

LEAST_WIDTH = Length.um(20)
"""A bracket no wider than this tells where a valve was found, however narrow its range (own choice)."""


def expected(state: State, view: ValveView) -> Prior | None:
    """Where this valve's clearance is looked for; an estimate, that orders the blades and settles nothing.

    As found: what was left last time moved by the drift since, or about the setting range, and that
    shifted as the others of its kind were found (see ``shift_of_kind``). With the nut slack, where the
    gap stands by reckoning. None where nothing is known beyond the setting range.
    """
    if view.stage is StageKind.TURNED:
        here = reckoned(state.valves[view.valve.name].stages, state.opened.sheet.adjuster)
        return None if here.high is None or here.clash else from_left(here.low, here.high)
    if view.stage is not StageKind.FOUND:
        return None
    past = left_last(state, view.valve.name)
    shift = shift_of_kind(state, view.valve)
    if shift and past is None and view.setting is not None:
        past = from_setting(view.setting.band)
    return past if past is None or not shift else _moved(past, shift)


def left_last(state: State, name: str) -> Prior | None:
    """What was left last time, moved by the drift since; None where that is not known."""
    last = next((k for k in state.opened.left_last if k.valve == name), None)
    if last is None or last.high is None:
        return None
    if last.drift_low is None or last.drift_high is None:
        return from_left(last.low, last.high)
    return from_left(last.low, last.high, last.drift_low, last.drift_high)


def shift_of_kind(state: State, valve: Valve) -> Length:
    """How far off the others of its kind were found in this session, on the mean; an estimate.

    Each as found against the middle of where it was looked for; drawn in by n / (n + 1) for n of them,
    and told to whole ``SHIFT_STEP``, so that sisters share their plans. Opener and closer are kinds of
    their own. A valve counts once it is read as closely as one turn wants it.
    """
    off = [
        found
        for other in state.opened.sheet.layout.valves
        if other.name != valve.name and (other.kind, other.role) == (valve.kind, valve.role)
        if (found := _off(state, other)) is not None
    ]
    shift = Fraction(sum(o.nm for o in off), len(off) + 1)  # the mean times n / (n + 1)
    return SHIFT_STEP * round(shift / SHIFT_STEP.nm)


def _off(state: State, valve: Valve) -> Length | None:
    """As found, less where it was looked for; None while it is not read closely enough."""
    readings = counted(state.valves[valve.name].found)
    setting = setting_range(state.opened.sheet, valve, state.band)
    bracket = bracket_of(readings)
    if setting is None or bracket.high is None or bracket.clash:
        return None
    band = setting.band
    if bracket.high - bracket.low > max(band.width, LEAST_WIDTH):
        return None
    past = left_last(state, valve.name)
    likely = likely_gap(tuple(readings), feel_of(state) or USUAL_BAND)
    found = midpoint(bracket.low, bracket.high) if likely is None else likely.centre
    return found - (band.middle if past is None else midpoint(past.low, past.high))


def _moved(prior: Prior, shift: Length) -> Prior:
    low, high = (max(ZERO, end + shift) for end in (prior.low, prior.high))
    return replace(prior, low=low, high=high)


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
    prior = _known_before(state, view) or landed(state, view)
    if prior is None or view.verdict.kind is not VerdictKind.IN or view.judged is None:
        return None
    chance = false_accept(counted(state.valves[view.valve.name].current), view.judged, prior)
    return None if math.isnan(chance) else max(0.0, chance)


def _known_before(state: State, view: ValveView) -> Prior | None:
    """What is known of this valve by itself; that its sisters were found elsewhere is no evidence of it."""
    if view.stage is StageKind.FOUND:
        return left_last(state, view.valve.name)
    return expected(state, view)
