"""One valve, or a whole record, as plain JSON data: what ``replay --json`` prints.

Lengths are millimetres, angles degrees. Other programs read this: fields are only ever added.
"""

from __future__ import annotations

import re
from typing import Any

from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.gauging.bracket import Bracket, Measured
from benchtui.domain.gauging.lacking import inches
from benchtui.domain.gauging.verdict import Verdict
from benchtui.domain.history.due import Due
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.clash import Clash
from benchtui.domain.session.next_step.kinds import Borrow, NextStep, TryBlade
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.shims import ShimAdvice, ShimPlan
from benchtui.domain.session.whole.record import Gauged, SessionRecord
from benchtui.domain.sheet import Sheet, Torque
from benchtui.domain.torque import LBF_FT, LBF_IN
from benchtui.text.words.due_words import due_sentence
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.told import Told
from benchtui.text.words.torque_words import torque_notes
from benchtui.text.words.valve_words import NO_ASIDE, Aside, view_message


def step_document(
    view: ValveView | None, told: Told | None = None, aside: Aside = NO_ASIDE
) -> dict[str, Any]:
    """What is known of the valve that a step was about; the same keys for every step."""
    do = {
        "do": None if told is None else tag_of(told.step),
        "tall": None if told is None else told.tall.words,
        "sentence": None if told is None else told.sentence,
    }
    if view is None:
        nothing = (
            "bracket_mm",
            "widened_mm",
            "service",
            "next",
            "turn",
            "shim",
            "blind",
            "lacking",
        )
        no = ("proved", "by_feel", "on_figure", "at_limit", "nut_slack")
        return {
            **do,
            **dict.fromkeys((*nothing, "clash", "measured")),
            **dict.fromkeys(no, False),
            "verdict": "none",
            "doubts": [],
            "set_aside": [],
            "message": " ".join(aside.sentences),
        }
    return {
        **do,
        **_gauged_document(view.bracket, view.verdict),
        # Within range, beyond it within the service limit, beyond that; null where none is printed.
        "service": None if aside.service is None else aside.service.value,
        "next": _next_document(told),
        "turn": _turn_document(aside.turn),
        "shim": _shim_document(aside.shim),
        "doubts": list(aside.doubts),
        "blind": _blind_document(aside),
        "lacking": _lacking_document(told),
        "clash": _clash_document(view.clash),
        "measured": _measured_document(view.measured),
        "set_aside": [str(reading) for reading in view.aside],
        # With it, the verdict is on the range moved by what locking is known to take.
        "nut_slack": view.slack_nut,
        "message": view_message(view, told, aside),
    }


def summary_document(
    record: SessionRecord,
    due: Due | None,
    shims: ShimPlan | None = None,
    torques: tuple[Torque, ...] = (),
) -> dict[str, Any]:
    """The last line of a replay: found and left per valve, complete or not, next due.

    Shims to swap and to buy where shims set the engine; the sheet's torques in every unit.
    """
    return {
        "session": record.session,
        "engine": record.engine,
        "complete": record.complete,
        "missing": list(record.missing),
        "valves": {
            v.name: {
                "found": _both(v.found),
                "left": _both(v.left),
                "turned_degrees": float(v.turned),
                "locked": v.locked if v.touched else None,
                "read_after": v.read_after,
            }
            for v in record.valves
        },
        "next_due": _due_document(due),
        "shims": _shims_document(record, shims),
        "torques": [_torque_document(t) for t in torques],
    }


def nothing_document(sheet: Sheet) -> dict[str, Any]:
    """The same last line where no session was opened."""
    return {
        "session": None,
        "engine": sheet.key,
        "complete": False,
        "missing": [],
        "valves": {},
        "next_due": None,
        "shims": None,
        "torques": [_torque_document(t) for t in sheet.torques],
    }


def _shim_document(advice: ShimAdvice | None) -> dict[str, Any] | None:
    if advice is None:
        return None
    return {
        "fit_mm": _mm(advice.size),
        "low_mm": _mm(advice.fit.low),
        "high_mm": _mm(advice.fit.high),
        "sure": advice.sure,
        "sentence": advice.sentence,
    }


def _shims_document(record: SessionRecord, plan: ShimPlan | None) -> dict[str, Any] | None:
    if plan is None:
        return None
    return {
        "fitted": {
            v.name: {"stamp_mm": _mm(v.shim_left), "measured_mm": _mm(v.shim_left_measured)}
            for v in record.valves
            if v.shim_left is not None
        },
        "plan": [
            {
                "valve": placed.valve,
                "fit_mm": _mm(placed.shim.marked),
                "measured_mm": _mm(placed.shim.measured),
                "origin": placed.origin.value,
                "from": placed.taken_from or None,
            }
            for placed in plan.swap.placed
        ],
        "buy": [{"size_mm": _mm(size), "count": count} for size, count in plan.swap.buy],
        "lands_mm": {name: [_mm(fit.low), _mm(fit.high)] for name, fit in plan.fits.items()},
        "sure_mm": {
            name: None if fit.sure_ends is None else [_mm(end) for end in fit.sure_ends]
            for name, fit in plan.fits.items()
        },
        "unserved": list(plan.swap.unserved),
        "left_out": {name: refusal_words(why) for name, why in plan.left_out},
        "note": plan.note,
    }


def _torque_document(torque: Torque) -> dict[str, Any]:
    both = (torque.low, torque.high)
    return {
        "what": torque.what,
        "printed": torque.printed,
        "newton_metres": [round(float(t), 3) for t in both],
        "lbf_ft": [round(float(t / LBF_FT), 3) for t in both],
        "lbf_in": [round(float(t / LBF_IN), 3) for t in both],
        "notes": list(torque_notes(torque)),
    }


def _measured_document(measured: Measured | None) -> dict[str, Any] | None:
    if measured is None:
        return None
    return {
        "value_mm": _mm(measured.value),
        "error_mm": _mm(measured.error),
        "words": str(measured),
    }


def _clash_document(clash: Clash | None) -> dict[str, Any] | None:
    """The readings that clash, one against one or two against two, and which is doubted first."""
    if clash is None:
        return None
    return {
        "how": clash.how.value,
        "doubted": str(clash.doubted),
        "against": str(clash.against),
        "crank_moved": clash.crank_moved,
    }


def _both(gauged: Gauged | None) -> dict[str, Any] | None:
    return None if gauged is None else _gauged_document(gauged.bracket, gauged.verdict)


def _gauged_document(bracket: Bracket, verdict: Verdict) -> dict[str, Any]:
    return {
        "bracket_mm": [_mm(bracket.low), _mm(bracket.high)],
        "widened_mm": [_mm(bracket.wide_low), _mm(bracket.wide_high)],
        "verdict": verdict.kind.value,
        "proved": verdict.proved,
        "by_feel": verdict.by_feel,
        "on_figure": verdict.on_figure,
        "at_limit": verdict.at_limit is not None,
    }


def _blind_document(aside: Aside) -> dict[str, Any] | None:
    """Blind repeats of this gap: every bracket in turn, and how far apart they must, and may, lie."""
    told = aside.repeated
    if told is None:
        return {"open": True, "brackets_mm": [], "spread_mm": None} if aside.blind else None
    return {
        "open": aside.blind,
        "brackets_mm": [[_mm(b.low), _mm(b.high)] for b in told.brackets],
        "spread_mm": [_mm(told.spread.least), _mm(told.spread.most)],
    }


def _lacking_document(told: Told | None) -> dict[str, Any] | None:
    """What the set lacks where it cannot decide, and which size would help."""
    if told is None or not isinstance(told.step, Borrow):
        return None
    lack = told.step.lack
    return {
        "side": lack.side,
        "between_mm": [_mm(end) for end in lack.between],
        "best_mm": _mm(lack.best),
        "inch": None if lack.inch_size is None else inches(lack.inch_size),
        "wanted_mm": [_mm(size) for size in lack.wanted],
        "sentence": lack.sentence,
    }


def _next_document(told: Told | None) -> dict[str, Any] | None:
    if told is None or not isinstance(told.step, TryBlade):
        return None
    step = told.step
    leads = step.leads
    return {
        "blades_mm": [_mm(leaf.marked) for leaf in step.feeler.leaves],
        "purpose": step.purpose.value,
        "reason": told.sentence,
        "if_refuses": None if leads is None else leads.refuses.value,
        "if_drags": None if leads is None else leads.drags.value,
        "if_goes": None if leads is None else leads.free.value,
    }


def tag_of(step: NextStep) -> str:
    """The kind of a step as other programs read it: ``try-blade``, ``set-on-blade``."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", type(step).__name__).lower()


def _turn_document(turn: Turn | None) -> dict[str, Any] | None:
    if turn is None:
        return None
    return {
        "direction": turn.way.value,
        "rotation": turn.rotation.value,
        "degrees": round(float(turn.degrees), 3),
        "degrees_low": round(float(turn.degrees_low), 3),
        "degrees_high": round(float(turn.degrees_high), 3),
        "aim_mm": _mm(turn.aim),
    }


def _due_document(due: Due | None) -> dict[str, Any] | None:
    if due is None:
        return None
    return {
        "date": None if due.date is None else due.date.isoformat(),
        "odometer_km": None if due.at_km is None else float(due.at_km),
        "hours": None if due.at_hours is None else float(due.at_hours),
        "reason": due.reason,
        "sentence": due_sentence(due),
    }


def _mm(length: Length | None) -> float | None:
    return None if length is None else length.in_mm
