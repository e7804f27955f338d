"""The shim to fit at a valve, as the session stands."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from benchtui.domain.adjusting.shims import Shim, ShimFit, pick, shim_fit, why_none
from benchtui.domain.errors import Refusal
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.gates import check_touchable
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.state import State
from benchtui.domain.sheet import AdjusterKind


@dataclass(frozen=True, slots=True)
class ShimAdvice:
    """Which sizes are sure to land in range, the one to fit (None: none offered), and why not."""

    fit: ShimFit
    size: Length | None
    sentence: str


def advise_shim(state: State, view: ValveView) -> ShimAdvice | None:
    """The shim for a valve that is out of range; None where none is called for.

    Raises:
        Refusal: it may not be touched, the size fitted now is not known, or the bracket is open.
    """
    adjuster = state.opened.sheet.adjuster
    wanted = view.verdict.kind.out or view.verdict.at_limit is not None
    if adjuster.kind is not AdjusterKind.SHIM or view.setting is None or not wanted:
        return None
    check_touchable(state, view.valve.name)
    fitted = state.valves[view.valve.name].shim
    if fitted is None:
        raise Refusal(
            f"The size fitted at {view.valve.name} is not known.",
            "Read its stamp, or better a micrometer, and enter it.",
        )
    fit = shim_fit(view.bracket, view.setting.band, Shim(fitted), adjuster.lever)
    offered = adjuster.shim_sizes
    size = pick(fit, offered)
    if size is not None:
        return ShimAdvice(fit, size, f"Fit {size}: sure to land in range.")
    if not offered and fit.sure:
        return ShimAdvice(
            fit, None, f"Any size from {fit.low} to {fit.high} is sure to land in range."
        )
    return ShimAdvice(fit, None, why_none(fit, _step(offered)))


def _step(offered: tuple[Length, ...]) -> Length:
    gaps = [b - a for a, b in pairwise(offered)]
    return min(gaps, default=ZERO)
