"""Shims: measured fine enough, ordered once, fitted; the cams out for them and back in."""

from __future__ import annotations

from benchtui.domain.adjusting.shims import ShimFit
from benchtui.domain.adjusting.swap import Origin
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.evidence.cams import STEPS_BACK
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.next_step.kinds import (
    Borrow,
    CamsBack,
    CamsOut,
    FitShim,
    NextStep,
    NextValve,
    Purpose,
    Remark,
    Tell,
    ToTell,
    TryBlade,
)
from benchtui.domain.session.next_step.leads import lead_of, leads_of
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.next_blade import narrower, shim_window
from benchtui.domain.session.valve.shims import (
    ShimAdvice,
    ShimPlan,
    advise_shim,
    fitted_shim,
    gauged_with,
    shim_plan,
)
from benchtui.domain.session.whole.next_valve import next_valve


def at_shim(state: State, view: ValveView) -> NextStep:
    """A valve that is out on a shim engine, the crank confirmed."""
    name, adjuster = view.valve.name, state.opened.sheet.adjuster
    finer = _finer(state, view)
    if finer is not None:
        return finer
    if adjuster.set_by.cams_out:
        other = next_valve(state, after=name)
        if other is not None:
            return NextValve(name, other, remark=Remark.WAITS_FOR_CAMS)
        return cams_out(state)
    if fitted_shim(state.valves[name]) is None:
        return Tell(name, ToTell.SHIM)
    return _fit(state, view)


def cams_out(state: State) -> NextStep:
    """Every valve measured: the order, then the cams come out; first whatever can be told finer."""
    for name in state.valves:
        view = look(state, name)
        if not view.verdict.kind.out:
            continue
        finer = _finer(state, view)
        here = state.place is not None and name in state.place.confirmed.valves
        if finer is not None and here:
            return finer
        if isinstance(finer, TryBlade):
            return NextValve(name, name, remark=Remark.OTHER_STOP)
    plan = _plan(state)
    if plan is None:
        return CamsOut((), ())
    unread = tuple(name for name, _ in plan.left_out if name in plan.wanting)
    return CamsOut(plan.swap.buy, plan.moves, unread=unread)


def with_cams_out(state: State) -> NextStep:
    """Shims to go in, one after the other; then what puts the cams back."""
    plan = _plan(state)
    for name in state.valves:
        if fitted_shim(state.valves[name]) is None and look(state, name).verdict.kind.out:
            return Tell(name, ToTell.SHIM)
    for placed in () if plan is None else plan.moves:
        valve = state.valves[placed.valve]
        now = fitted_shim(valve)
        if now is not None and now == placed.shim:
            continue
        fit = plan.fits[placed.valve] if plan is not None else None
        own = now is not None and now != gauged_with(valve)
        if own and fit is not None and now is not None and fit.low <= now.marked <= fit.high:
            continue  # another size than advised, and it lands in range as well
        low, high = (placed.shim.marked,) * 2 if fit is None else _ends(fit, placed.shim.marked)
        return FitShim(
            placed.valve,
            placed.shim.marked,
            low,
            high,
            from_valve=placed.taken_from or None,
            buy=placed.origin is Origin.BOUGHT,
            sure=fit is not None and fit.sure(placed.shim.marked),
        )
    for name in state.valves:
        if not look(state, name).verdict.kind.out:
            continue
        # No size of the stock lands in range, or nothing went in, so that none can be reckoned: then
        # a thinner one for now, and it is measured.
        fit = None if plan is None else plan.fits.get(name)
        low, high = (ZERO, ZERO) if fit is None else (fit.low, fit.high)
        return FitShim(name, None, low, high)
    return CamsBack(tuple(step for step in STEPS_BACK if step not in state.cams_done))


def _plan(state: State) -> ShimPlan | None:
    return remembered(state, "shim plan", lambda: shim_plan(state))


def _finer(state: State, view: ValveView) -> NextStep | None:
    """A blade that makes the shim sure; None where it is, or none of the set would."""
    name = view.valve.name
    if view.bracket.high is not None and view.bracket.low > ZERO and _sure(state, view):
        return None
    advice = narrower(state, view, shim_window(state, view))
    if isinstance(advice, NextBlade):
        leads = leads_of(state, view, advice.feeler)
        out = lead_of(state, view.verdict)
        return TryBlade(name, advice.feeler, Purpose.FOR_SHIM, leads, out=out)
    if isinstance(advice, CannotDecide) and not _possible(state, view):
        return Borrow(name, advice)
    return None


def _advice(state: State, view: ValveView) -> ShimAdvice | None:
    try:
        return advise_shim(state, view)
    except Refusal:
        return None


def _sure(state: State, view: ValveView) -> bool:
    advice = _advice(state, view)
    return advice is not None and advice.sure


def _possible(state: State, view: ValveView) -> bool:
    advice = _advice(state, view)
    return advice is not None and (advice.size is not None or advice.fit.possible)


def _fit(state: State, view: ValveView) -> NextStep:
    name = view.valve.name
    advice = _advice(state, view)
    if advice is None:
        # No clearance at all: a thinner one for now, whatever it is; then it can be measured.
        return FitShim(name, None, ZERO, ZERO)
    plan = _plan(state)
    moves = () if plan is None else plan.moves
    placed = next((p for p in moves if p.valve == name), None)
    fit = advice.fit
    size = placed.shim.marked if placed is not None else advice.size
    low, high = _ends(fit, size)
    return FitShim(
        name,
        size,
        low,
        high,
        from_valve=None if placed is None else placed.taken_from or None,
        buy=placed is not None and placed.origin is Origin.BOUGHT,
        sure=fit.sure(size) if size is not None else fit.sure_ends is not None,
    )


def _ends(fit: ShimFit, size: Length | None) -> tuple[Length, Length]:
    """The sizes that are sure to land in range where this one is, else those that should."""
    sure = fit.sure_ends is not None and (size is None or fit.sure(size))
    return fit.sure_ends if sure and fit.sure_ends is not None else (fit.low, fit.high)
