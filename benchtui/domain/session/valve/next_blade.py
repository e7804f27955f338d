"""The blade to try next at a valve, as the session stands."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.feel import USUAL_BAND, bracket_by_feel
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade, next_blade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length, midpoint
from benchtui.domain.session.evidence.cams import cams_back
from benchtui.domain.session.evidence.counting import (
    leading,
    no_slack,
    slack_unseen,
    thinnest_leaf,
    would_count,
)
from benchtui.domain.session.evidence.decision_rule import feel_of, rule_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.before_lock import before_locking, reckoned, stands_right
from benchtui.domain.session.valve.blind_repeat import next_blind
from benchtui.domain.session.valve.prior import expected
from benchtui.domain.sheet import AdjusterKind, Band

Advice = NextBlade | CannotDecide | None


def advise(state: State, view: ValveView) -> Advice:
    """The next blade; None where none is needed, or where no reading would count.

    A contradiction, a missing range, metal too warm, or no slack at all ask for something else first:
    the verdict says what.
    """
    name = view.valve.name
    if state.repeat is not None:
        return next_blind(state) if state.repeat.valve == name else None
    if view.judged is None or view.verdict.kind is VerdictKind.CONTRADICTION:
        return None
    if view.cams_out and not cams_back(state):
        return None
    if not would_count(state, name) or no_slack(state, name):
        return None
    if view.slack_nut and _nothing_to_plan(state, view):
        return _before_locking(state, view)
    if view.verdict.at_limit is not None:
        return _inside(state, view) if view.turn is None else None
    if view.verdict.by_feel:
        return None
    planned = next_blade(
        view.bracket,
        state.opened.blades,
        view.judged,
        goal=rule_of(state),
        prior=expected(state, view),
        window=_window(state, view),
        tried=frozenset(reading.feeler for reading in leading(state, name)),
        felt=_felt(state, name),
    )
    return _thinnest(state) if planned is None and slack_unseen(state, name) else planned


def _felt(state: State, name: str) -> Bracket | None:
    """Where drag lets one look for the clearance; it orders the blades and decides nothing.

    Of single leaves only, for the oil in a stack makes a drag worthless. None where it tells nothing.
    """
    singles = [r for r in leading(state, name) if len(r.feeler.leaves) == 1]
    felt = bracket_by_feel(singles, feel_of(state) or USUAL_BAND)
    return None if felt.high is not None and felt.high <= felt.low else felt


def _nothing_to_plan(state: State, view: ValveView) -> bool:
    """Whether the turn, and one blade at most, tell enough of where the gap stands."""
    stages = state.valves[view.valve.name].stages
    adjuster = state.opened.sheet.adjuster
    if not leading(state, view.valve.name):
        here = reckoned(stages, adjuster)
        # Far beside the range, after a turn that was not the one advised, it is measured as any other.
        return _meets(here, view.judged)
    assert view.judged is not None
    return view.turn is not None or stands_right(stages, view.judged, adjuster)


def _meets(here: Bracket, judged: Band | None) -> bool:
    """Whether a gap reckoned to be ``here`` may be in range; False where nothing is known of it."""
    if here.high is None or here.clash or judged is None:
        return False
    return here.low <= judged.high and judged.low <= here.high


def _before_locking(state: State, view: ValveView) -> NextBlade | None:
    """One blade, where it pays, between turning and locking; None: turn as shown, or lock it."""
    if leading(state, view.valve.name) or view.judged is None:
        return None
    opened = state.opened
    stages = state.valves[view.valve.name].stages
    return before_locking(stages, view.judged, opened.sheet.adjuster, opened.blades)


def _inside(state: State, view: ValveView) -> NextBlade | None:
    """At a limit, with a bracket too wide to tell the turn: the leaf nearest its middle.

    Where nothing has refused yet, the next thicker one: it closes the bracket.
    """
    low, high = view.bracket.low, view.bracket.high
    leaves = [leaf for leaf in state.opened.blades.leaves if low < leaf.thickness]
    if high is None:
        leaf = min(leaves, key=lambda leaf: leaf.thickness, default=None)
    else:
        middle = midpoint(low, high)
        inside = (leaf for leaf in leaves if leaf.thickness < high)
        leaf = min(inside, key=lambda leaf: abs(leaf.thickness - middle), default=None)
    if leaf is None:
        return None
    feeler = Feeler((leaf,))
    if high is None:
        why, goes = "the next thicker; if it refuses, the turn can be told", "wide"
    else:
        why = "inside the bracket; it tells how far it is from the limit"
        goes = "in range, not at the limit"
    return NextBlade(feeler, f"{feeler.bare}: {why}", goes, "at the limit: set it", Fraction(1))


def _thinnest(state: State) -> NextBlade:
    """Nothing has gone in yet: no screw is touched before something has."""
    feeler = Feeler((thinnest_leaf(state),))
    return NextBlade(
        feeler,
        f"{feeler.bare}: the thinnest; if it goes, there is slack and the screw may be turned",
        "tight: open it up",
        "no slack: overlap, or the clearance is gone",
        Fraction(1),
    )


def _window(state: State, view: ValveView) -> Length | None:
    """The widest bracket that one turn, or one shim, brings wholly into range."""
    adjuster = state.opened.sheet.adjuster
    swapped_or_learned = adjuster.kind in (AdjusterKind.SHIM, AdjusterKind.ECCENTRIC)
    settable = adjuster.turned or swapped_or_learned
    return view.judged.width if settable and view.judged is not None else None
