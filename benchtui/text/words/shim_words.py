"""The shims to swap and to buy, in plain lines."""

from __future__ import annotations

from benchtui.domain.adjusting.shims import Shim
from benchtui.domain.adjusting.swap import Origin, Placed
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.shims import ShimPlan, fitted_shim, gauged_with, last_bracket
from benchtui.text.quantities.show import bare
from benchtui.text.words.bracket_words import bracket_cell
from benchtui.text.words.refusals import refusal_words


def shim_lines(plan: ShimPlan) -> tuple[str, ...]:
    """What goes where, what to buy, and what stands open; nothing where nothing is to be done.

    Names come from the sheet: whoever shows the lines makes them inert.
    """
    lines = [f"  {p.valve}: {placed_words(p)}" for p in plan.moves]
    if lines:
        lines.insert(0, "Shims to change:")
        lines.append(f"Order: {order_words(plan)}.")
        if plan.note:
            lines.append(plan.note)
    lines += [f"  {name}: {unserved_words(plan, name)}" for name in plan.swap.unserved]
    lines += [
        f"  {name}: no shim reckoned: {refusal_words(why)}"
        for name, why in plan.left_out
        if name in plan.wanting
    ]
    return tuple(lines)


def shim_rows(state: State, plan: ShimPlan) -> tuple[tuple[str, str, str, str, str], ...]:
    """Valve by valve: name, gap as last gauged, shim in now, sizes sure to land, and what to do."""
    placed = {p.valve: p for p in plan.swap.placed}
    left_out = dict(plan.left_out)
    rows = []
    for name, valve in state.valves.items():
        fit = plan.fits.get(name)
        now = fitted_shim(valve)
        stays = name in placed and placed[name].origin is Origin.KEPT
        sure = (
            ""
            if fit is None or stays
            else "none"
            if fit.sure_ends is None
            else " to ".join(bare(end) for end in fit.sure_ends)
        )
        if name in placed:
            do = placed_words(placed[name])
            if now is not None and now != gauged_with(valve):
                do = "changed: measure it again" if now == placed[name].shim else do
        else:
            why = left_out.get(name)
            do = unserved_words(plan, name) if why is None else _left_out_words(plan, name, why)
        known = last_bracket(valve) if fit is None else fit.bracket
        gauged = "" if known is None else bracket_cell(known)
        rows.append((name, gauged, _in_now(now), sure, do))
    return tuple(rows)


def _left_out_words(plan: ShimPlan, name: str, why: Refusal) -> str:
    """One line of the table each, where all that lacks is the stamp."""
    if why.why is not Why.SHIM_UNKNOWN_THERE:
        return refusal_words(why)
    return "out: read its stamp" if name in plan.wanting else "in range; read its stamp"


def unserved_words(plan: ShimPlan, name: str) -> str:
    """What to do at a valve for which there is no shim to be had."""
    fit = plan.fits[name]
    if fit.possible:
        return f"fit {bare(fit.low)} to {bare(fit.high)}: find one"
    return "no size will do: measure finer"


def _in_now(shim: Shim | None) -> str:
    if shim is None:
        return "not known"
    if shim.measured is None:
        return bare(shim.marked)
    return f"{bare(shim.marked)} ({bare(shim.measured)})"


def placed_words(placed: Placed) -> str:
    """``fit 3.00 from 2E``: millimetres, by the stamp."""
    match placed.origin:
        case Origin.KEPT:
            return f"{bare(placed.shim.marked)} stays"
        case Origin.SWAPPED:
            return f"fit {bare(placed.shim.marked)} from {placed.taken_from}"
        case Origin.SPARE:
            return f"fit {bare(placed.shim.marked)} from the stock"
        case Origin.BOUGHT:
            return f"fit {bare(placed.shim.marked)}, to buy"


def order_words(plan: ShimPlan) -> str:
    """``2 of 2.75 mm, 1 of 2.90 mm``, or ``nothing``."""
    buy = ", ".join(f"{count} of {size}" for size, count in plan.swap.buy) or "nothing"
    none = ", ".join(plan.swap.unserved)
    return f"{buy}; none fits {none}" if none else buy
