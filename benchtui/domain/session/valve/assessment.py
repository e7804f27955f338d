"""What may be said of each valve as the session stands: bracket, verdict, doubts.

Everything here is derived from the state; nothing is stored.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.pad import PadFinding
from benchtui.domain.gauging.bracket import Bracket, Measured, Reading, bracket_of
from benchtui.domain.gauging.measured import Apart, apart, bracket_measured
from benchtui.domain.gauging.verdict import (
    DecisionRule,
    Verdict,
    VerdictKind,
    judge_measured,
    no_verdict,
)
from benchtui.domain.length import ZERO
from benchtui.domain.session.evidence.cams import cams_out_since
from benchtui.domain.session.evidence.clash import Clash, clash_of
from benchtui.domain.session.evidence.counting import (
    counted,
    gap_of,
    gauged,
    gauged_afresh,
    leading,
    leading_gap,
    leading_measure,
    measured_in,
    metal_fault,
    set_aside,
    valve_of,
    would_count,
)
from benchtui.domain.session.evidence.decision_rule import feel_in_force, rule_of
from benchtui.domain.session.evidence.metal import (
    how_warm,
    metal_now,
    metal_words,
    read_in,
    touched_in_wrong_metal,
)
from benchtui.domain.session.evidence.setting import judged as judged_by
from benchtui.domain.session.evidence.setting import on_figure, setting_of
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.facts.valve_history import Stage, StageKind, Taken
from benchtui.domain.session.valve.lock_shift import shift_known
from benchtui.domain.session.valve.pad import hollow, set_by_thread
from benchtui.domain.sheet import Band, SettingRange, Valve

CAMS_OUT = "the cams have been out since this was read: gauge it again"


@dataclass(frozen=True, slots=True)
class ValveView:
    """One valve as it stands.

    ``setting`` is None where one figure is printed without tolerance and the owner has named none.
    ``judged`` is the band that the stage in hand is judged by: the setting range, moved off by
    what the locknut is known to take while the nut is still slack. ``done`` means measured in range
    with everything locked, and ``cams_out`` that the cams have been out since what is in hand was read:
    that ends nothing.
    ``clash`` is what must be settled first; ``aside`` are readings that stand alone against two.
    ``bracket`` is that of the blades or of ``measured``, whichever tells more closely; ``apart`` says
    that the two do not agree. ``unread``: nothing was tried or measured in the stage in hand.
    """

    valve: Valve
    stage: StageKind
    setting: SettingRange | None
    judged: Band | None
    bracket: Bracket
    verdict: Verdict
    shift: Shift | None
    readings: tuple[Taken, ...]
    done: bool
    cams_out: bool = False
    clash: Clash | None = None
    aside: tuple[Reading, ...] = ()
    measured: Measured | None = None
    apart: Apart | None = None
    unread: bool = True

    @property
    def slack_nut(self) -> bool:
        """Whether the locknut is slack now."""
        return self.stage is StageKind.TURNED

    @property
    def unread_after_lock(self) -> bool:
        """Whether the compulsory reading after locking, or after a new shim, is missing."""
        return self.stage in (StageKind.LOCKED, StageKind.SHIMMED) and self.unread


def look(state: State, name: str) -> ValveView:
    """One valve as it stands, worked out once a state.

    Raises:
        Refusal: the sheet has no such valve.
    """
    return remembered(state, ("look", name), lambda: _looked(state, name))


def _looked(state: State, name: str) -> ValveView:
    sheet = state.opened.sheet
    valve = valve_of(sheet, name)
    stage = state.valves[name].current
    setting = setting_of(state, valve)
    shift = shift_known(state) if sheet.adjuster.threaded else None
    judged = _judged(setting, stage, shift)
    verdict = _verdict_now(state, name, judged)
    cams_out = cams_out_since(state, name)
    by_thread = _by_thread(state, name, judged) is not None
    clash = clash_of(stage.counting, judged)
    return ValveView(
        valve=valve,
        stage=stage.kind,
        setting=setting,
        judged=judged,
        bracket=_gap_in_hand(state, name),
        verdict=verdict,
        shift=shift,
        readings=stage.live,
        measured=leading_measure(state, name),
        done=stage.kind is not StageKind.TURNED
        and not cams_out
        and clash is None
        and (enough(verdict, rule_of(state)) or by_thread),
        cams_out=cams_out,
        clash=clash,
        aside=set_aside(stage),
        apart=apart(bracket_of(leading(state, name)), leading_measure(state, name)),
        unread=stage.unread,
    )


def left_of(state: State, name: str) -> tuple[Bracket, Verdict]:
    """The bracket and the verdict of ``look`` and no more: ten thousand stored sessions ask for them.

    None from before the cams were out, while it is not gauged again.
    """
    if cams_out_since(state, name):
        return bracket_of([]), no_verdict(CAMS_OUT)
    sheet = state.opened.sheet
    stage = state.valves[name].current
    setting = setting_of(state, valve_of(sheet, name))
    aims_off = stage.kind is StageKind.TURNED and sheet.adjuster.threaded
    judged = _judged(setting, stage, shift_known(state) if aims_off else None)
    return _gap_in_hand(state, name), _verdict_now(state, name, judged)


def _gap_in_hand(state: State, name: str) -> Bracket:
    measured = leading_measure(state, name)
    if measured is not None and hollow(state, name) is not None:
        return bracket_measured(measured)
    return leading_gap(state, name)


def gap_told(state: State, name: str, stage: Stage) -> Bracket:
    """Where the gap stood in a stage; over a dished pad only a measured value tells."""
    measured = measured_in(stage)
    if measured is not None and hollow(state, name) is not None:
        return bracket_measured(measured)
    return gap_of(stage)


def _verdict_now(state: State, name: str, judged: Band | None) -> Verdict:
    stage = state.valves[name].current
    if gauged_afresh(state, name):
        return no_verdict(CAMS_OUT)
    thread = _by_thread(state, name, judged)
    if thread is not None:
        return no_verdict(f"pad dished: set by the thread, {thread.made}; have the pad dressed")
    return _unread(state, name, stage) or verdict_of(state, name, stage, judged)


def _by_thread(state: State, name: str, judged: Band | None) -> PadFinding | None:
    """What the thread makes where a valve with a dished pad was set by it into its range; else None."""
    thread = set_by_thread(state, name)
    if thread is None or judged is None or state.valves[name].current.measure is not None:
        return None
    shift = shift_known(state)
    locked = thread.expected + (ZERO if shift is None else shift.middle)
    return thread if judged.low <= locked <= judged.high else None


def _judged(setting: SettingRange | None, stage: Stage, shift: Shift | None) -> Band | None:
    if setting is None:
        return None
    if stage.kind is StageKind.TURNED and shift is not None:
        return setting.band.moved(-shift.middle)
    return setting.band


def _unread(state: State, name: str, stage: Stage) -> Verdict | None:
    """Why nothing is said while a stage is not read, and what to do; None once it is.

    A gap that is set in warm metal is set wrong, so that is said as soon as it is touched.
    """
    if not stage.unread:
        return None
    because = {
        StageKind.LOCKED: "locked: measure it again, tightening the nut may have moved it",
        StageKind.SHIMMED: "shim fitted: measure it again",
        StageKind.REFITTED: "the cams have been out: gauge it again",
        StageKind.TURNED: "turned, the nut slack: not known until it is locked and measured",
    }.get(stage.kind)
    if because is None:
        return no_verdict("not measured yet")
    if hollow(state, name) is not None:
        because = "pad dished: no blade tells what it stands at"
    elif stage.backed_off is not None:
        because = "backed off from zero: measure it now"
    now = metal_now(state)
    wrong = touched_in_wrong_metal(state, name)
    if wrong is not None and stage.kind is StageKind.LOCKED:
        # A gap that is set in wrong metal is set wrong: said also once the metal is right.
        again = f"measure it again {'hot' if wrong.hot_set else 'cold'}"
        in_metal = f"at {how_warm(wrong)}" if now.right else f"while {wrong.kind.value}"
        because = f"set {in_metal}: {again}"
    fault = metal_words(now)
    return no_verdict(f"{because}; {fault}" if fault else because)


def verdict_of(state: State, name: str, stage: Stage, judged: Band | None) -> Verdict:
    """What the readings of a stage say against ``judged``; none where they do not count, and why.

    Over a pad that was found hollow no blade tells anything; what was measured there does.
    """
    afresh = ": measure it again" if would_count(state, name) else ""
    if not gauged(stage):
        return no_verdict(f"the crank position was not confirmed when this was read{afresh}")
    wrong = metal_fault(stage)
    if wrong is not None:
        return no_verdict(f"{read_in(wrong)}{afresh}" if afresh else metal_words(wrong))
    if judged is None:
        return no_verdict("no tolerance printed: name your own band for this single figure")
    measured, feel = measured_in(stage), feel_in_force(state)
    missed = hollow(state, name)
    if missed is not None and measured is None:
        return no_verdict(missed.blades_lie)
    if missed is not None and measured is not None:
        return judge_measured(measured, judged)

    valve = valve_of(state.opened.sheet, name)
    key = ("verdict", judged, feel, on_figure(state, valve))
    return remembered(
        stage, key, lambda: judged_by(state, valve, counted(stage), judged, feel, measured)
    )


def enough(verdict: Verdict, rule: DecisionRule) -> bool:
    """Whether a verdict puts a valve in range by the grade that the rule asks for."""
    if verdict.by_feel or verdict.on_figure:  # only ever set where its owner has chosen that grade
        return True
    return verdict.kind is VerdictKind.IN and (verdict.proved or rule is not DecisionRule.PROVED)
