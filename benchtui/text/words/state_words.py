"""Which of the states a valve stands in; their words and signs are in ``standing``."""

from __future__ import annotations

from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.length import ZERO
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.text.words.standing import Standing

_OF_VERDICT = {
    VerdictKind.IN: Standing.IN_RANGE,
    VerdictKind.TIGHT: Standing.TIGHT,
    VerdictKind.WIDE: Standing.WIDE,
    VerdictKind.UNDECIDED: Standing.UNDECIDED,
    VerdictKind.CONTRADICTION: Standing.CLASH,
    VerdictKind.NONE: Standing.NO_VERDICT,
}

WORDS = {kind: standing.word for kind, standing in _OF_VERDICT.items()}
"""The word of a verdict by itself."""


def standing_of(view: ValveView, step: k.NextStep | None = None) -> Standing:
    """How a valve stands; its ``step``, where it is given, tells a clearance that is not there."""
    if view.slack_nut:
        return Standing.NUT_SLACK
    if view.done and view.unread:
        return Standing.BY_THREAD
    if view.unread_after_lock or view.cams_out:
        return Standing.AGAIN
    if view.verdict.kind is VerdictKind.NONE and view.unread:
        return Standing.TO_DO
    if view.clash is not None:
        return _OF_VERDICT[VerdictKind.CONTRADICTION]
    if nothing_goes(view) and _asks_why_nothing_goes(step):
        return Standing.NO_CLEARANCE
    return standing_of_verdict(view.verdict)


def standing_of_verdict(verdict: Verdict) -> Standing:
    """The state that a verdict by itself comes to, on a card and in a past session."""
    if verdict.on_figure:
        return Standing.ON_FIGURE
    return _OF_VERDICT[verdict.kind] if verdict.at_limit is None else Standing.AT_LIMIT


def nothing_goes(view: ValveView) -> bool:
    """Whether blades have refused and none has gone in: only then may there be no clearance at all."""
    return not view.unread and view.bracket.low <= ZERO


def _asks_why_nothing_goes(step: k.NextStep | None) -> bool:
    match step:
        case k.LookPast() | k.SetOnBlade(no_clearance=True):
            return True
        case k.ConfirmCrank(why=k.CrankWhy.LOOKED):
            return True
        case k.TryBlade(purpose=k.Purpose.AFTER_DECOMPRESSOR):
            return True
        case _:
            return False
