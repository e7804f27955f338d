"""One valve, or a whole record, as plain JSON data: what ``replay --json`` prints.

Lengths are millimetres, angles degrees. Other programs read this: fields are only ever added.
"""

from __future__ import annotations

from typing import Any

from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import Verdict
from benchtui.domain.history.due import Due, sentence
from benchtui.domain.length import Length
from benchtui.domain.session.advise import Advice
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.record import Gauged, SessionRecord
from benchtui.text.say import view_message


def step_document(view: ValveView | None, advice: Advice) -> dict[str, Any]:
    """What is known of the valve that a step was about; the same keys for every step."""
    if view is None:
        return {
            "bracket_mm": None,
            "widened_mm": None,
            "verdict": "none",
            "proved": False,
            "at_limit": False,
            "next": None,
            "turn": None,
            "message": "",
        }
    return {
        **_gauged_document(view.bracket, view.verdict),
        "next": _next_document(advice),
        "turn": _turn_document(view.turn),
        "message": view_message(view, advice),
    }


def summary_document(record: SessionRecord, due: Due | None) -> dict[str, Any]:
    """The last line of a replay: found and left per valve, complete or not, next due."""
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
                "locked": v.locked,
                "read_after": v.read_after,
            }
            for v in record.valves
        },
        "next_due": _due_document(due),
    }


def _both(gauged: Gauged | None) -> dict[str, Any] | None:
    return None if gauged is None else _gauged_document(gauged.bracket, gauged.verdict)


def _gauged_document(bracket: Bracket, verdict: Verdict) -> dict[str, Any]:
    return {
        "bracket_mm": [_mm(bracket.low), _mm(bracket.high)],
        "widened_mm": [_mm(bracket.wide_low), _mm(bracket.wide_high)],
        "verdict": verdict.kind.value,
        "proved": verdict.proved,
        "at_limit": verdict.at_limit is not None,
    }


def _next_document(advice: Advice) -> dict[str, Any] | None:
    if not isinstance(advice, NextBlade):
        return None
    blades = [_mm(leaf.marked) for leaf in advice.feeler.leaves]
    return {
        "blades_mm": blades,
        "reason": advice.why,
        "if_goes": advice.if_goes,
        "if_refuses": advice.if_refuses,
    }


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
        "sentence": sentence(due),
    }


def _mm(length: Length | None) -> float | None:
    return None if length is None else length.in_mm
