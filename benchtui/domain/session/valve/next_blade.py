"""The next blade by the plan; whether one is wanted at all is ``next_step``'s to say."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Bracket, bracket_of
from benchtui.domain.gauging.feel import USUAL_BAND, bracket_by_feel
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.counting import (
    leading,
    position_sure,
    slack_unseen,
    thinnest_leaf,
)
from benchtui.domain.session.evidence.decision_rule import feel_of, rule_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.prior import expected

Advice = NextBlade | CannotDecide | None


def deciding(state: State, view: ValveView) -> Advice:
    """The blade that tells in or out, or proof of in; None where that is told."""
    return _planned(state, view, None)


def narrower(state: State, view: ValveView, window: Length | None = None) -> Advice:
    """The blade that tells how far out; None where the bracket is narrow enough.

    ``window`` is the widest bracket that will do: by default the range's width, which one turn
    brings wholly into range. Where nothing has gone in yet, the thinnest leaf at last.
    """
    if view.judged is None:
        return None
    planned = _planned(state, view, view.judged.width if window is None else window)
    name = view.valve.name
    if planned is None and position_sure(state, name) and slack_unseen(state, name):
        return _thinnest(state)
    return planned


def shim_window(state: State, view: ValveView) -> Length:
    """How narrow a bracket must be for some shim of the stock to be sure to land in range."""
    assert view.judged is not None
    sizes = sorted(state.opened.sheet.adjuster.shim_sizes)
    step = min((b - a for a, b in pairwise(sizes)), default=Length(0))
    room = view.judged.width - step.scaled(state.opened.sheet.adjuster.lever)
    return room if room > Length(0) else step


def _planned(state: State, view: ValveView, window: Length | None) -> Advice:
    if view.judged is None:
        return None
    name = view.valve.name
    return next_blade(
        bracket_of(leading(state, name)) if window is None else view.bracket,
        state.opened.blades,
        view.judged,
        goal=rule_of(state),
        prior=expected(state, view),
        window=window,
        tried=frozenset(reading.feeler for reading in leading(state, name)),
        felt=_felt(state, name),
    )


def _felt(state: State, name: str) -> Bracket | None:
    """Where drag lets one look for the clearance; it orders the blades and decides nothing.

    Of single leaves only, for the oil in a stack makes a drag worthless. None where it tells nothing.
    """
    singles = [r for r in leading(state, name) if len(r.feeler.leaves) == 1]
    felt = bracket_by_feel(singles, feel_of(state) or USUAL_BAND)
    return None if felt.high is not None and felt.high <= felt.low else felt


def _thinnest(state: State) -> NextBlade:
    """Nothing has gone in yet: no screw is touched before something has."""
    return NextBlade(Feeler((thinnest_leaf(state),)), Fraction(1))
