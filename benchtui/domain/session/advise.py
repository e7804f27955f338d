"""The blade to try next at a valve, as the session stands."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade, bare, next_blade
from benchtui.domain.gauging.prior import Prior, from_left
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length, midpoint
from benchtui.domain.session.gates import no_slack, slack_unseen, thinnest_leaf
from benchtui.domain.session.look import ValveView, rule_of
from benchtui.domain.session.state import StageKind, State
from benchtui.domain.sheet import AdjusterKind

Advice = NextBlade | CannotDecide | None


def advise(state: State, view: ValveView) -> Advice:
    """The next blade; None where none is needed, or where no reading would count.

    A contradiction, a missing range, metal too warm, or no slack at all ask for something else first:
    the verdict says what.
    """
    name = view.valve.name
    place = state.place
    asks_else = view.verdict.kind is VerdictKind.CONTRADICTION or (
        view.verdict.kind is VerdictKind.NONE and view.readings
    )
    if view.judged is None or asks_else or place is None or name not in place.confirmed.valves:
        return None
    if no_slack(state, name):
        return None
    if view.verdict.at_limit is not None:
        return _inside(state, view) if view.turn is None else None
    planned = next_blade(
        view.bracket,
        state.opened.blades,
        view.judged,
        goal=rule_of(state),
        prior=_prior(state, view),
        window=_window(state, view),
        tried=frozenset(t.reading.feeler for t in view.readings),
    )
    return _thinnest(state) if planned is None and slack_unseen(state, name) else planned


def _inside(state: State, view: ValveView) -> NextBlade | None:
    """At a limit, with a bracket too wide to tell the turn: the leaf nearest its middle."""
    low, high = view.bracket.low, view.bracket.high
    if high is None:
        return None
    middle = midpoint(low, high)
    inside = [leaf for leaf in state.opened.blades.leaves if low < leaf.thickness < high]
    leaf = min(inside, key=lambda leaf: abs(leaf.thickness - middle), default=None)
    if leaf is None:
        return None
    feeler = Feeler((leaf,))
    return NextBlade(
        feeler,
        f"{bare(feeler)}: inside the bracket; it tells how far it is from the limit",
        "in range, not at the limit",
        "at the limit: set it",
        Fraction(1),
    )


def _thinnest(state: State) -> NextBlade:
    """Nothing has gone in yet: no screw is touched before something has."""
    feeler = Feeler((thinnest_leaf(state),))
    return NextBlade(
        feeler,
        f"{bare(feeler)}: the thinnest; if it goes, there is slack and the screw may be turned",
        "tight: open it up",
        "no slack: overlap, or the clearance is gone",
        Fraction(1),
    )


def _window(state: State, view: ValveView) -> Length | None:
    """The widest bracket that one turn, or one shim, brings wholly into range."""
    adjuster = state.opened.sheet.adjuster
    settable = adjuster.turned or adjuster.kind is AdjusterKind.SHIM
    return view.judged.width if settable and view.judged is not None else None


def _prior(state: State, view: ValveView) -> Prior | None:
    """What was left last time, for a valve that has not been touched since."""
    if view.stage is not StageKind.FOUND:
        return None
    last = next((k for k in state.opened.left_last if k.valve == view.valve.name), None)
    if last is None or last.high is None:
        return None
    return from_left(last.low, last.high)
