"""What past checks and the sisters of its kind let one expect of a valve: it orders the blades only."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.gauging.bracket import bracket_of
from benchtui.domain.gauging.feel import USUAL_BAND
from benchtui.domain.gauging.likely_gap import likely_gap
from benchtui.domain.gauging.prior import Prior, from_left, from_setting
from benchtui.domain.length import ZERO, Length, midpoint
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import reckoned
from benchtui.domain.sheet import Valve

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
    setting = setting_of(state, valve)
    bracket = bracket_of(readings)
    if setting is None or bracket.high is None or bracket.clash:
        return None
    band = setting.band
    if bracket.high - bracket.low > max(band.width, LEAST_WIDTH):
        return None
    past = left_last(state, valve.name)
    likely = likely_gap(tuple(readings), feel_of(state) or USUAL_BAND)
    found = midpoint(bracket.low, bracket.high) if likely is None else likely
    return found - (band.middle if past is None else midpoint(past.low, past.high))


def _moved(prior: Prior, shift: Length) -> Prior:
    low, high = (max(ZERO, end + shift) for end in (prior.low, prior.high))
    return replace(prior, low=low, high=high)
