"""What to do now at one valve: the first line that holds gives the answer."""

from __future__ import annotations

from dataclasses import replace

from benchtui.domain.adjusting.pad import PadVerdict
from benchtui.domain.adjusting.turns import FULL_TURN, gap_per_turn
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.gauging.finer_leaf import finer_leaf
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.cams import cams_back, steps_left
from benchtui.domain.session.evidence.counting import (
    leading,
    no_slack,
    position_sure,
    slack_unseen,
    thinnest_leaf,
    would_count,
)
from benchtui.domain.session.evidence.metal import metal_now
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import at_crank, at_shim
from benchtui.domain.session.next_step.ending import ending
from benchtui.domain.session.next_step.far import far
from benchtui.domain.session.next_step.kinds import (
    Borrow,
    EndRepeat,
    Limit,
    LockWhy,
    MeasureAgain,
    NextStep,
    NextValve,
    Purpose,
    Remark,
    SetOnBlade,
    Settle,
    Tell,
    ToTell,
    TryBlade,
    TurnBy,
    Wait,
    WindBack,
)
from benchtui.domain.session.next_step.leads import lead_of, leads_of, limit_at
from benchtui.domain.session.next_step.nut_slack import (
    holds_open,
    lock,
    lock_first,
    loose_nuts,
    with_nut_slack,
)
from benchtui.domain.session.next_step.to_set import finer_first, to_set, wind_back
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.blind_repeat import next_blind
from benchtui.domain.session.valve.next_blade import Advice, deciding, narrower
from benchtui.domain.session.valve.once_more import decides_alone
from benchtui.domain.session.valve.pad import hollow, pad_finding
from benchtui.domain.session.whole.next_valve import next_valve, onward
from benchtui.domain.session.whole.round_by_leaf import kept

TRIES = 2
"""The thinnest leaf refuses so often, the decompressor released between, before one looks further."""


def at_valve(state: State, name: str) -> NextStep:  # noqa: C901, PLR0912  # one line of the order a case
    """What to do now at this valve.

    Raises:
        Refusal: the sheet has no such valve.
    """
    view = look(state, name)
    sure = position_sure(state, name)
    metal = metal_step(state, name)
    untold = view.setting is None or isinstance(metal, Wait | Tell)
    if view.slack_nut and (not sure or untold):
        return lock(state, name, LockWhy.NO_VERDICT, back_off=holds_open(state, name))
    loose = loose_nuts(state)
    if loose:
        return lock_first(state, loose[0])
    if _cams_are_out(state):
        return at_shim.with_cams_out(state)
    if state.repeat is not None and state.repeat.valve != name:
        return NextValve(name, state.repeat.valve, remark=Remark.BLIND_ELSEWHERE)
    blind = state.repeat is not None
    if view.done and not blind and not _in_pad_test(state, name):
        return _finer(state, view) or _onwards(state, view)
    if not cams_back(state):
        return at_crank.at_crank(state, name)
    if not sure:
        return _to_its_stop(state, name)
    if isinstance(metal, Wait):
        return metal
    if blind:
        return _blind(state, name)
    if view.clash is not None:
        return Settle(name, view.clash)
    if view.apart is not None:
        return MeasureAgain(name, view.apart)
    if isinstance(metal, Tell):
        return metal
    if view.setting is None:
        return Tell(name, ToTell.BAND)
    return _judged(state, view)


def _judged(state: State, view: ValveView) -> NextStep:
    """The position, the metal and the range being sure."""
    name = view.valve.name
    unseen = slack_unseen(state, name)
    step = _pad(state, view)
    if step is None and view.slack_nut:
        step = with_nut_slack(state, view)
    if step is not None:
        touches = isinstance(step, SetOnBlade | TurnBy | WindBack)
        return _no_clearance_yet(state, view) if touches and unseen else step
    if no_slack(state, name):
        return _nothing_goes(state, view)
    if not view.verdict.kind.out:
        return _deciding(state, view)
    return _out(state, view)


def _deciding(state: State, view: ValveView) -> NextStep:
    advice = deciding(state, view)
    purpose = Purpose.LIMIT
    held = kept(state, view.valve.name)
    if isinstance(advice, NextBlade) and held is not None:
        advice = replace(advice, feeler=held)
    if view.verdict.kind is VerdictKind.IN:
        purpose = Purpose.PROOF
    elif view.unread_after_lock:
        purpose = Purpose.AFTER_LOCK
    return _blade_or_borrow(state, view, advice, purpose) or _onwards(state, view)


def _out(state: State, view: ValveView) -> NextStep:
    look_first = far(state, view)
    if look_first is not None:
        return look_first
    if slack_unseen(state, view.valve.name):
        return _no_clearance_yet(state, view)
    finer = finer_first(state, view)
    if finer is not None:
        step = _blade_or_borrow(state, view, finer, Purpose.NARROW)
        if step is not None:
            return step
    # A blade that tells how far out may say it a second time: so that comes first where one is wanted.
    closed = view.bracket.high is not None or narrower(state, view) is None
    alone = decides_alone(state, view.valve.name) if closed else None
    if alone is not None:
        return _once_more(state, view, alone)
    if state.opened.sheet.adjuster.set_by.shims:
        return at_shim.at_shim(state, view)
    return to_set(state, view)


def _once_more(state: State, view: ValveView, alone: Reading) -> TryBlade:
    """The reading that a setting would rest on alone, once more before anything is slackened."""
    return TryBlade(
        view.valve.name,
        alone.feeler,
        Purpose.ONCE_MORE,
        leads_of(state, view, alone.feeler),
        out=lead_of(state, view.verdict),
        shims=state.opened.sheet.adjuster.set_by.shims,
    )


def _blade_or_borrow(
    state: State, view: ValveView, advice: Advice, purpose: Purpose
) -> TryBlade | Borrow | None:
    match advice:
        case NextBlade(feeler):
            leads = leads_of(state, view, feeler)
            return TryBlade(
                view.valve.name,
                feeler,
                purpose,
                leads,
                out=lead_of(state, view.verdict),
                at=limit_at(view, feeler),
            )
        case CannotDecide():
            return Borrow(view.valve.name, advice)
        case None:
            return None


def _onwards(state: State, view: ValveView) -> NextStep:
    """Nothing more to do at this valve: the next that wants something, else the ending."""
    name = view.valve.name
    other = onward(state, name)
    if other is None:
        return ending(state)
    limit = None
    if view.verdict.limit is not None and view.judged is not None:
        upper = view.verdict.limit == view.judged.high
        limit = Limit.UPPER if upper else Limit.LOWER
    return NextValve(name, other, limit, _remark(state, name))


def _finer(state: State, view: ValveView) -> TryBlade | None:
    """In range, and the one valve that is read finely this time: a leaf more; None where it is fine."""
    name, finer = view.valve.name, state.opened.finer
    by_blades = view.verdict.kind is VerdictKind.IN and view.measured is None
    if finer is None or finer.valve != name or not by_blades or view.verdict.on_figure:
        return None
    if not would_count(state, name):
        return None
    leaf = finer_leaf(view.bracket, state.opened.blades, finer.enough)
    return None if leaf is None else TryBlade(name, leaf, Purpose.FINER)


def _remark(state: State, name: str) -> Remark | None:
    if hollow(state, name) is not None:
        return Remark.PAD_DISHED
    found = state.valves[name].found
    touched = state.valves[name].touched
    refused = touched and found.counting and not any(t.reading.answer.goes for t in found.counting)
    if refused:
        return Remark.HAD_NO_CLEARANCE
    return Remark.ON_FIGURE if look(state, name).verdict.on_figure else None


def _to_its_stop(state: State, name: str) -> NextStep:
    """The crank does not stand for this valve: those that it stands for first."""
    here = () if state.place is None else state.place.confirmed.valves
    other = next_valve(state, after=name)
    if other is not None and other in here:
        return NextValve(name, other, remark=Remark.OTHER_STOP)
    return at_crank.at_crank(state, name)


def metal_step(state: State, name: str) -> Wait | Tell | None:
    """The metal's heat told and wrong, or wanted and not told; None where all is well."""
    metal = metal_now(state)
    match metal.kind:
        case MetalKind.RIGHT | MetalKind.NOT_ASKED:
            return None
        case MetalKind.NOT_TOLD:
            return Tell(name, ToTell.METAL, metal)
        case MetalKind.TOO_WARM | MetalKind.TOO_COOL:
            return Wait(name, metal)


def _blind(state: State, name: str) -> NextStep:
    advice = next_blind(state)
    if advice is None:
        return EndRepeat(name)
    return TryBlade(name, advice.feeler, Purpose.BLIND)


def _cams_are_out(state: State) -> bool:
    return (
        state.opened.sheet.adjuster.set_by.cams_out
        and state.cams_out is not None
        and not cams_back(state)
        and bool(steps_left(state))
    )


def _in_pad_test(state: State, name: str) -> bool:
    return state.valves[name].current.backed_off is not None


def _pad(state: State, view: ValveView) -> NextStep | None:
    """A pad test that is running, or a pad found dished: by the thread alone."""
    name = view.valve.name
    stage = state.valves[name].current
    dished = hollow(state, name) is not None
    if stage.backed_off is not None and dished and stage.unread:
        return lock(state, name, LockWhy.IN_HAND)
    if stage.backed_off is not None:
        finding = pad_finding(state, name)
        if finding is None or finding.verdict is PadVerdict.UNDECIDED:
            # Where no leaf tells, the test is over, and by blades alone it is never near enough.
            return _pad_blade(state, view) or lock(state, name, LockWhy.NO_VERDICT)
    measured_out = view.measured is None or view.verdict.kind.out
    if not dished or not (stage.backed_off is not None or measured_out):
        return None
    return wind_back(state, view)


def _pad_blade(state: State, view: ValveView) -> NextStep | None:
    """The leaf nearest what the thread made, then nearer the middle of what is left."""
    name, stage = view.valve.name, state.valves[view.valve.name].current
    if stage.backed_off is None:
        return None
    made = Length(round(gap_per_turn(state.opened.sheet.adjuster) * stage.backed_off / FULL_TURN))
    low, high = view.bracket.low, view.bracket.high
    tried = {r.feeler for r in leading(state, name)}
    leaves = [
        Feeler((leaf,))
        for leaf in state.opened.blades.leaves
        if leaf.thickness > low
        and (high is None or leaf.thickness < high)
        and Feeler((leaf,)) not in tried
    ]
    best = min(leaves, key=lambda f: (abs(f.nominal - made), f.nominal), default=None)
    if best is None:
        return None
    return TryBlade(name, best, Purpose.PAD, made=made)


def _no_clearance_yet(state: State, view: ValveView) -> NextStep:
    """No blade has gone in, so no adjuster is touched: a thinner one; where none is, the valve is left.

    With its nut slack it is locked before one looks further, for that takes a turn of the crank.
    """
    name = view.valve.name
    if not no_slack(state, name):
        step = _blade_or_borrow(state, view, narrower(state, view), Purpose.SLACK)
        if step is not None:
            return step
    if view.slack_nut:
        return lock(state, name, LockWhy.NO_VERDICT, back_off=holds_open(state, name))
    return _nothing_goes(state, view)


def _nothing_goes(state: State, view: ValveView) -> NextStep:
    """Not even the thinnest leaf goes, and the stroke is not sure."""
    name = view.valve.name
    cylinder = view.valve.cylinder
    thinnest = Feeler((thinnest_leaf(state),))
    refused = sum(1 for r in leading(state, name) if r.feeler == thinnest and not r.answer.goes)
    if state.opened.sheet.layout.decompressor and refused < TRIES:
        return TryBlade(name, thinnest, Purpose.AFTER_DECOMPRESSOR)
    # At TDC of the cylinder that the position was shown by, a look tells; at another it tells nothing.
    if state.place is not None and state.place.confirmed.angle == 0:
        cylinder = state.place.confirmed.cylinder
    if state.place is not None and state.place.looked:
        return at_crank.confirm_again(state, name, cylinder)
    return at_crank.look_past(state, name, cylinder)
