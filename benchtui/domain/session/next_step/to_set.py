"""How a valve that is out is set: on a blade held in, by degrees, by the thread alone.

Most of the trade sets a screw on a blade (common practice; NAVEDTRA 14264A p.3-26: slight drag, slacken,
turn, tighten, check again). It wants neither pitch nor rate nor a narrow bracket.
"""

from __future__ import annotations

from benchtui.domain.adjusting.before_lock import DRAG, GIVE
from benchtui.domain.adjusting.eccentric import turning_point
from benchtui.domain.adjusting.on_blade import NEAR, leaf_to_hold
from benchtui.domain.adjusting.pad import back_off_for
from benchtui.domain.adjusting.turns import Way, closing_way, gap_per_turn
from benchtui.domain.adjusting.while_slack import Weighing
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.chances import ANY_HAND
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length, midpoint
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import leading, thinnest_leaf
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import (
    Borrow,
    NextStep,
    Purpose,
    SetOnBlade,
    TryBlade,
    TurnBy,
    WindBack,
)
from benchtui.domain.session.next_step.leads import lead_of, leads_of
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.eccentric import stands
from benchtui.domain.session.valve.next_blade import narrower
from benchtui.domain.session.valve.turning import turning
from benchtui.domain.session.whole.completeness import locknut
from benchtui.domain.sheet import Band

ODD_LOCK = 12
"""Where one lock in fewer would be out of range by the leaf at hand, the turn comes first (own choice)."""


def to_set(state: State, view: ValveView) -> NextStep:
    """The way to set this valve now; ``view`` has a setting range.

    By blade where its owner set this engine so the last time or, until he chooses, wherever a leaf
    near the aim exists; else by degrees.
    """
    name, slacken = view.valve.name, not view.slack_nut
    aim = _aim(view)
    held = held_in(state, view)
    turned = _turned(state, view)
    if _open(state, view):
        return _narrow(state, view) or held or turned or _cannot(view, aim)
    by_blade = held is not None and state.by_blade is not False and _serves(state, view, held)
    if held is not None and by_blade:
        return replace(held, otherwise=turned) if turned is not None else held
    if turned is not None:
        if not turned.turn.small:
            return replace(turned, otherwise=held) if held is not None else turned
        return replace(held, touch=True) if held is not None else _cannot(view, aim)
    finer = _narrow(state, view) if slacken or leading(state, name) else None
    return finer or held or _cannot(view, aim)


def finer_first(state: State, view: ValveView) -> NextBlade | None:
    """Set by degrees, on a narrow range: the blade that halves what one turn would have to bring in.

    Where the turn alone, as the bracket stands, puts the valve in range but for one in ``ODD_LOCK``,
    or where it is set on a blade held in, none is wanted.
    """
    if turning(state, view).turn is None or view.setting is None or view.slack_nut:
        return None
    held = held_in(state, view)
    if held is not None and state.by_blade is not False and _serves(state, view, held):
        return None
    advice = narrower(state, view, Length(view.setting.band.width.nm // 2))
    return advice if isinstance(advice, NextBlade) else None


def wind_back(state: State, view: ValveView) -> WindBack | None:
    """By the thread alone, where blades lie; None where no turn can be worked out."""
    adjuster = state.opened.sheet.adjuster
    if view.setting is None or not adjuster.reckoned:
        return None
    band = view.setting.band if view.shift is None else view.setting.band.moved(-view.shift.middle)
    if not gap_per_turn(adjuster):
        return None
    return WindBack(view.valve.name, back_off_for(adjuster, band.middle))


def _open(state: State, view: ValveView) -> bool:
    """Whether the bracket still wants a blade that goes, or one that refuses."""
    if view.slack_nut:
        return False
    bracket = view.bracket
    if bracket.high is None:
        return True
    nothing_went = bracket.low <= ZERO
    return nothing_went and bracket.high > thinnest_leaf(state).thickness


def _aim(view: ValveView) -> Length:
    """Where the gap is wanted before the nut is locked."""
    assert view.setting is not None
    figure = view.setting.figure
    return (view.setting.band.middle if figure is None else figure) - _took(view)


def _took(view: ValveView) -> Length:
    return ZERO if view.shift is None else view.shift.middle


def _serves(state: State, view: ValveView, held: SetOnBlade) -> bool:
    """Whether a setting on this leaf is in range once it is locked, but for one in ``ODD_LOCK``."""
    assert view.setting is not None
    if view.setting.figure is not None:
        return True
    band, hand = view.setting.band.moved(-_took(view)), feel_of(state) or ANY_HAND
    weighing = Weighing(band, state.opened.sheet.adjuster, hand, held.feeler)
    return weighing.fails_held * ODD_LOCK <= 1


def held_in(state: State, view: ValveView) -> SetOnBlade | None:
    """The setting on a blade held in; None where no leaf of the set would land in range."""
    adjuster = state.opened.sheet.adjuster
    if view.setting is None or not (adjuster.threaded or adjuster.set_by.learned):
        return None
    band, took, aim = view.setting.band, _took(view), _aim(view)
    if (
        view.setting.figure is not None
    ):  # the leaf of the figure, wherever a light drag leaves the gap
        band = Band(band.low - GIVE, max(band.high, band.low + DRAG))
    feeler = leaf_to_hold(state.opened.blades, aim, band, took)
    by_hand = feeler is None
    if feeler is None:
        feeler = _leaf_for_the_hand(state, view)
    if feeler is None:
        return None
    high = view.bracket.high
    nothing_goes = high is not None and high <= thinnest_leaf(state).thickness
    no_clearance = view.verdict.kind is VerdictKind.TIGHT and nothing_goes
    return SetOnBlade(
        view.valve.name,
        feeler,
        _way(state, view, aim),
        slacken=not view.slack_nut,
        took=None if view.shift is None else took,
        no_clearance=no_clearance,
        turned_past=_turned_past(state, view.valve.name),
        torque=locknut(state),
        by_hand=by_hand,
    )


MOST_BY_HAND = 4
"""So often a valve is set on a leaf at most, where none allows for the lock; then one is borrowed (own
choice)."""


def _leaf_for_the_hand(state: State, view: ValveView) -> Feeler | None:
    """The leaf of a single figure, where locking takes the gap off it and no leaf allows for that.

    The trade leaves the blade a little looser then, or firmer (common practice).
    """
    figure = None if view.setting is None else view.setting.figure
    if figure is None or view.shift is None:
        return None
    leaf = next((leaf for leaf in state.opened.blades.leaves if leaf.thickness == figure), None)
    tried = sum(s.held is not None for s in state.valves[view.valve.name].stages)
    return None if leaf is None or tried >= MOST_BY_HAND else Feeler((leaf,))


def on_leaf(step: SetOnBlade, feeler: Feeler) -> SetOnBlade:
    """The same on a leaf that the person chose; the screw's way to it is not worked out."""
    if feeler == step.feeler:
        return step
    return replace(step, feeler=feeler, way=None, touch=False, by_hand=False)


def out_of_range(view: ValveView, feeler: Feeler) -> bool:
    """Whether a valve set on this leaf stands out of its range, but for what locking is known to take."""
    band = view.judged
    return band is not None and not band.low <= feeler.nominal <= band.high


def _turned_past(state: State, name: str) -> bool:
    if not state.opened.sheet.adjuster.set_by.learned:
        return False
    return turning_point(stands(state, name)) is not None


def _way(state: State, view: ValveView, aim: Length) -> Way | None:
    if not state.opened.sheet.adjuster.threaded:
        return None
    closing = closing_way(state.opened.sheet.adjuster)
    match view.verdict.kind:
        case VerdictKind.TIGHT:
            return closing.other
        case VerdictKind.WIDE:
            return closing
        case _ if view.bracket.high is not None and view.bracket.low:
            wider = midpoint(view.bracket.low, view.bracket.high) > aim
            return closing if wider else closing.other
        case _:
            return None


def _turned(state: State, view: ValveView) -> TurnBy | None:
    turn = turning(state, view).turn
    if turn is None:
        return None
    learn = state.opened.sheet.adjuster.set_by.learned and _learns(state, view)
    return TurnBy(
        view.valve.name,
        turn,
        slacken=not view.slack_nut,
        learn=learn,
        still_out=view.slack_nut and not view.unread,
        torque=locknut(state),
    )


def _learns(state: State, view: ValveView) -> bool:
    """Whether how far an eccentric moves the gap is not known yet."""
    return not any(stage.turns for stage in state.valves[view.valve.name].stages)


def _narrow(state: State, view: ValveView) -> NextStep | None:
    advice = narrower(state, view)
    if isinstance(advice, NextBlade):
        return TryBlade(
            view.valve.name,
            advice.feeler,
            Purpose.NARROW,
            leads_of(state, view, advice.feeler),
            out=lead_of(state, view.verdict),
        )
    if isinstance(advice, CannotDecide):
        return Borrow(view.valve.name, advice)
    return None


def _cannot(view: ValveView, aim: Length) -> Borrow:
    """A leaf near the aim is what is lacking."""
    between = (max(ZERO, aim - NEAR), aim + NEAR)
    lack = CannotDecide("aim", between, "", aim, None, (aim,))
    return Borrow(view.valve.name, lack)
