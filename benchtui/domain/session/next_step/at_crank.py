"""The steps at the crank: turn on, confirm, look past the mark."""

from __future__ import annotations

from benchtui.domain.crank.windows import named_cylinder
from benchtui.domain.crank.words import LOOK, look_words
from benchtui.domain.session.facts.events import Sign
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import (
    ConfirmCrank,
    CrankWhy,
    LookPast,
    NextStep,
    TurnCrankTo,
)
from benchtui.domain.session.whole.next_stop import StopAhead, evidence_for, stops_ahead
from benchtui.domain.sheet import ValveKind


def at_crank(state: State, name: str | None) -> NextStep:
    """What to do at the crank so that ``name`` (None: the next stop) can be measured."""
    cylinder = _doubted(state)
    if cylinder is None:
        ahead = stops_ahead(state, wanted=name or "")[0]
        if ahead.forward is not None and not ahead.here:
            return _on_to(name, ahead)
        return ConfirmCrank(name, ahead.stop, evidence_for(state, ahead.stop), _why(state))
    signs = {s.sign for s in state.signs if s.cylinder == cylinder}
    ahead = _stop_at(state, cylinder)
    if signs & {Sign.OPENS, Sign.MOVES, Sign.OPEN}:
        return TurnCrankTo(name, ahead.stop, ahead.forward, (cylinder,), CrankWhy.OVERLAP)
    if Sign.TIGHT in signs:
        return look_past(state, name, cylinder)
    if state.turned and ahead.forward is not None and not ahead.here:
        return _on_to(name, ahead)
    if Sign.STAYS in signs:
        return ConfirmCrank(name, ahead.stop, evidence_for(state, ahead.stop), CrankWhy.LOOKED)
    return ConfirmCrank(name, ahead.stop, evidence_for(state, ahead.stop), CrankWhy.DOUBTED)


def _on_to(name: str | None, ahead: StopAhead) -> TurnCrankTo:
    return TurnCrankTo(name, ahead.stop, ahead.forward, ahead.stop.rocking, CrankWhy.NEXT_STOP)


def look_past(state: State, name: str | None, cylinder: str) -> NextStep:
    """Nothing goes in: 45 degrees on tells overlap from a clearance that is gone, if it can tell.

    Where a valve is open there after compression too, the look tells nothing: then the inlet is
    watched on the way round.
    """
    if look_words(state.opened.sheet, cylinder):
        own = named_cylinder(state.opened.sheet, cylinder).valves
        inlets = tuple(v.name for v in own if v.kind is ValveKind.INLET)
        return LookPast(name, cylinder, LOOK, inlets)
    ahead = _stop_at(state, cylinder)
    return ConfirmCrank(name, ahead.stop, evidence_for(state, ahead.stop), CrankWhy.DOUBTED)


def confirm_again(state: State, name: str, cylinder: str) -> ConfirmCrank:
    """The position has to be shown by what is seen in motion."""
    ahead = _stop_at(state, cylinder)
    return ConfirmCrank(name, ahead.stop, evidence_for(state, ahead.stop), CrankWhy.LOOKED)


def _doubted(state: State) -> str | None:
    """The cylinder whose position is in doubt; a turn made from where it was seen to stand ends that."""
    if state.place is not None:
        return None
    if state.doubted is not None and not state.turned:
        return state.doubted
    return next((s.cylinder for s in state.signs), None)


def _stop_at(state: State, cylinder: str) -> StopAhead:
    """The stop at this cylinder's compression TDC, else the first that names it, else the next."""
    ahead = stops_ahead(state)
    named = [a for a in ahead if a.stop.cylinder == cylinder]
    return next(iter([a for a in named if a.stop.angle == 0] + named), ahead[0])


def _why(state: State) -> CrankWhy:
    if state.cams_out is not None and all(n < state.cams_out for n in state.places):
        return CrankWhy.CAMS
    if state.cams_out is not None and max(state.places, default=0) < state.cams_out:
        return CrankWhy.CAMS
    if state.turned:
        return CrankWhy.NEXT_STOP
    return CrankWhy.MOVED if state.places else CrankWhy.FIRST
