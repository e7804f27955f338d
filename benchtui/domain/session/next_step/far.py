"""A clearance that wear does not explain: stop and look before a screw is touched.

A bent or unseated pushrod, a lost cap, a collapsed follower, a loose nut or a sticking valve opens a
gap by far more than wear does; a burnt or sunk seat, or a stretched valve, closes one (common practice).
"""

from __future__ import annotations

from benchtui.domain.adjusting.turns import FULL_TURN, gap_per_turn
from benchtui.domain.gauging.bracket import Bracket, bracket_of
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.evidence.counting import counted
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step.kinds import FarWhy, StopAndLook
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.sheet import Band

FAR = Length.mm("0.50")
"""So far from the middle of the range no valve wears between two checks (design value)."""

TIMES = 3
"""Or above so many times the upper limit (design value)."""

SISTERS = 2
"""So many of a kind must have been measured before one can be far from them (design value)."""


def far(state: State, view: ValveView) -> StopAndLook | None:
    """Where a valve that is out stands further out than wear explains, and nobody has looked yet.

    As found: what a turn or a lock has done since is no wear. But no lock takes a valve half a
    millimetre from the blade that it was set on: then a part has given way.
    """
    name, setting = view.valve.name, view.setting
    history = state.valves[name]
    if setting is None or not view.verdict.kind.out or name in state.looked_over:
        return None
    if history.touched:
        return _given_way(state, view, setting.band)
    found, tight = view.bracket, view.verdict.kind is VerdictKind.TIGHT
    if _far_out(state, found, setting.band, tight=tight):
        return StopAndLook(name, FarWhy.FAR_OUT, found, setting.band, tight)
    wide = setting.band.width
    last = _left_last(state, name)
    if last is not None and _apart(found, last, wide):
        return StopAndLook(name, FarWhy.FAR_FROM_LAST, found, last, tight)
    kin = _sisters(state, view)
    if len(kin) >= SISTERS and (
        all(_above(found, k, wide) for k in kin) or all(_above(k, found, wide) for k in kin)
    ):
        nearest = (
            max(kin, key=lambda k: k.high or k.low) if not tight else min(kin, key=lambda k: k.low)
        )
        return StopAndLook(name, FarWhy.FAR_FROM_KIND, found, nearest, tight)
    return None


def _given_way(state: State, view: ValveView, band: Band) -> StopAndLook | None:
    """Locked, and ``FAR`` above the blade that was held in."""
    *_, before, now = (None, *state.valves[view.valve.name].stages)
    held = (
        None if before is None or now is None or now.kind is not StageKind.LOCKED else before.held
    )
    if held is None or view.bracket.low - held.nominal < FAR:
        return None
    return StopAndLook(view.valve.name, FarWhy.FAR_OUT, view.bracket, band, tight=False)


def _far_out(state: State, found: Bracket, band: Band, *, tight: bool) -> bool:
    off = band.middle - (found.high or band.middle) if tight else found.low - band.middle
    if off >= FAR or (not tight and found.low > band.high * TIMES and found.low > band.high):
        return True
    adjuster = state.opened.sheet.adjuster
    if not adjuster.reckoned:
        return False
    return off.nm * FULL_TURN > FULL_TURN * gap_per_turn(adjuster)


def _left_last(state: State, name: str) -> Bracket | None:
    """What was left last time, with the drift since; None where nobody knows."""
    last = next((k for k in state.opened.left_last if k.valve == name), None)
    if last is None or last.high is None:
        return None
    low, high = last.low, last.high
    if last.drift_low is not None and last.drift_high is not None:
        low, high = max(ZERO, low + last.drift_low), high + last.drift_high
    return Bracket(low, max(low, high))


def _sisters(state: State, view: ValveView) -> list[Bracket]:
    valve = view.valve
    found = []
    for other in state.opened.sheet.layout.valves:
        same = (other.kind, other.role) == (valve.kind, valve.role)
        if other.name == valve.name or not same:
            continue
        readings = counted(state.valves[other.name].found)
        bracket = bracket_of(readings)
        if readings and bracket.high is not None and not bracket.clash:
            found.append(bracket)
    return found


def _apart(a: Bracket, b: Bracket, by: Length) -> bool:
    return _above(a, b, by) or _above(b, a, by)


def _above(a: Bracket, b: Bracket, by: Length) -> bool:
    return b.high is not None and a.low > b.high + by
