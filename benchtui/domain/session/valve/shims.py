"""The shims to fit, valve by valve and for the whole engine, as the session stands."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from benchtui.domain.adjusting.shims import UNDER_BUCKET, Shim, ShimFit, pick, shim_fit, why_none
from benchtui.domain.adjusting.swap import Origin, Placed, Seat, SwapPlan, plan_swap
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.evidence.counting import check_touchable, gap_of, gauged, metal_fault
from benchtui.domain.session.evidence.decision_rule import rule_of
from benchtui.domain.session.evidence.metal import metal_words
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, StageKind, ValveState
from benchtui.domain.session.valve.assessment import ValveView, enough, look, verdict_of
from benchtui.domain.sheet import Valve

SHOULD_LAND = "should land in range; the blades' own errors could put it out."


@dataclass(frozen=True, slots=True)
class ShimAdvice:
    """Which sizes land in range, the one to fit (None: none offered), and how sure it is or why not."""

    fit: ShimFit
    size: Length | None
    sentence: str

    @property
    def sure(self) -> bool:
        """Whether the size to fit, or where none is offered some size, is sure to land in range."""
        return self.fit.sure_ends is not None if self.size is None else self.fit.sure(self.size)


@dataclass(frozen=True, slots=True)
class ShimPlan:
    """Shims for the whole engine: what goes where and what to buy; ``note`` as it binds.

    Reckoned from what each valve was last gauged at, with the shim that was in then; so it stands
    while the shims are being changed. ``left_out`` names the valves that no shim can be reckoned for
    yet, with the reason; of these ``wanting`` are known to be out of range. ``fits`` are the sizes
    that land in range.
    """

    swap: SwapPlan
    fits: dict[str, ShimFit]
    left_out: tuple[tuple[str, Refusal], ...]
    note: str = ""
    wanting: frozenset[str] = frozenset()

    @property
    def moves(self) -> tuple[Placed, ...]:
        """What goes in, where it is not what is in already."""
        return tuple(p for p in self.swap.placed if p.origin is not Origin.KEPT)


def fitted_shim(valve: ValveState) -> Shim | None:
    """The shim in now, if its size is known: a micrometer's word counts above the stamp."""
    return None if valve.shim is None else Shim(valve.shim, valve.shim_measured)


def gauged_with(valve: ValveState) -> Shim | None:
    """The shim that was in when this valve was last gauged, if it was and its size is known."""
    gauged = _last_gauged(valve)
    return None if gauged is None else gauged[1]


def advise_shim(state: State, view: ValveView) -> ShimAdvice | None:
    """The shim for a valve that is out of range; None where none is called for.

    Raises:
        Refusal: it may not be touched, the size fitted now is not known, or the bracket is open.
    """
    adjuster = state.opened.sheet.adjuster
    wanted = view.verdict.kind.out or view.verdict.limit is not None
    if not adjuster.set_by.shims or view.setting is None or not wanted:
        return None
    check_touchable(state, view.valve.name)
    fitted = fitted_shim(state.valves[view.valve.name])
    if fitted is None:
        raise Refusal(Why.SHIM_UNKNOWN, valve=view.valve.name)
    fit = shim_fit(view.bracket, view.setting.band, fitted, adjuster.lever)
    offered = adjuster.shim_sizes
    size = pick(fit, offered)
    if size is not None:
        sure = "sure to land in range." if fit.sure(size) else SHOULD_LAND
        return ShimAdvice(fit, size, f"Fit {size}: {sure}")
    if not offered and fit.sure_ends is not None:
        low, high = fit.sure_ends
        return ShimAdvice(fit, None, f"Any size from {low} to {high} is sure to land in range.")
    if not offered and fit.possible:
        return ShimAdvice(fit, None, f"Any size from {fit.low} to {fit.high} {SHOULD_LAND}")
    return ShimAdvice(fit, None, why_none(fit, _step(offered)))


def shim_plan(state: State) -> ShimPlan | None:
    """What to swap between the valves and what to buy; None where no shims set this engine."""
    adjuster = state.opened.sheet.adjuster
    if not adjuster.set_by.shims:
        return None
    seats: list[Seat] = []
    fits: dict[str, ShimFit] = {}
    left_out: list[tuple[str, Refusal]] = []
    for valve in state.opened.sheet.layout.valves:
        try:
            seat = _seat(state, valve)
            fit = shim_fit(seat.bracket, seat.band, seat.fitted, seat.ratio)
        except Refusal as refusal:
            left_out.append((valve.name, refusal))
        else:
            seats.append(seat)
            fits[valve.name] = fit
    plan = plan_swap(seats, spares=_spares(state), buyable=adjuster.shim_sizes)
    note = UNDER_BUCKET if adjuster.set_by.cams_out else ""
    wanting = frozenset(name for name, _ in left_out if look(state, name).verdict.kind.out)
    return ShimPlan(plan, fits, tuple(left_out), note, wanting)


def _seat(state: State, valve: Valve) -> Seat:
    """The valve as it was last gauged, with the shim that was in then."""
    history = state.valves[valve.name]
    gauged = _last_gauged(history)
    setting = setting_of(state, valve)
    if gauged is None:
        raise Refusal(Why.NOT_GAUGED)
    if setting is None:
        raise Refusal(Why.NO_TOLERANCE)
    stage, fitted = gauged
    fault = metal_fault(stage)
    if fault:
        raise Refusal(Why.METAL_WRONG, fault=metal_words(fault))
    if fitted is None:
        raise Refusal(Why.SHIM_UNKNOWN_THERE)
    verdict = verdict_of(state, valve.name, stage, setting.band)
    in_range = verdict.kind is VerdictKind.IN or enough(verdict, rule_of(state))
    if verdict.kind is VerdictKind.UNDECIDED and not in_range:
        raise Refusal(Why.SHIM_UNDECIDED)
    lever = state.opened.sheet.adjuster.lever
    bracket = gap_of(stage)
    # What the rule in force does not accept yet, or stands at a limit, need not be left alone.
    settled = enough(verdict, rule_of(state)) and verdict.limit is None
    return Seat(valve.name, bracket, setting.band, fitted, lever, settled)


def _spares(state: State) -> list[Shim]:
    """What lies in the drawer, less what went in before a valve was last gauged.

    What has gone in since is still reckoned as lying there: so the plan stands while it is followed.
    """
    spares = [Shim(s.size, s.measured) for s in state.spares]
    for history in state.valves.values():
        read = [at for at, stage in enumerate(history.stages) if gauged(stage)]
        for stage in history.stages[: read[-1] + 1] if read else ():
            if stage.kind is StageKind.SHIMMED and stage.shim is not None:
                fitted = Shim(stage.shim, stage.shim_measured)
                lay = next((s for s in spares if s == fitted), None) or next(
                    (s for s in spares if _may_be(s, fitted)), None
                )
                if lay is not None:
                    spares.remove(lay)
    return spares


def _may_be(spare: Shim, fitted: Shim) -> bool:
    """One shim, told once by its stamp alone and once by a micrometer too."""
    return spare.marked == fitted.marked and None in (spare.measured, fitted.measured)


def last_bracket(valve: ValveState) -> Bracket | None:
    """The bracket it was last gauged at, whatever shim was in; None where it never was."""
    gauged = _last_gauged(valve)
    return None if gauged is None else gap_of(gauged[0])


def _last_gauged(history: ValveState) -> tuple[Stage, Shim | None] | None:
    """The last stage with readings that count, and the shim that was in during it."""
    shim: Shim | None = None
    last: tuple[Stage, Shim | None] | None = None
    for stage in history.stages:
        if stage.shim is not None:
            shim = Shim(stage.shim, stage.shim_measured)
        if gauged(stage):
            last = stage, shim
    return last


def _step(offered: tuple[Length, ...]) -> Length:
    gaps = [b - a for a, b in pairwise(offered)]
    return min(gaps, default=ZERO)
