"""How a valve stands: one word and one sign for each state, the same on screen, map, card and replay."""

from __future__ import annotations

from enum import Enum

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.valve.assessment import ValveView


class Standing(Enum):
    """Word and sign; a sign is never alone, its word stands beside it or in the picture's key."""

    TO_DO = ("to do", "□", "not measured yet")
    UNDECIDED = ("undecided", "?", "one more blade is wanted")
    IN_RANGE = ("in range", "√", "nothing to set")
    AT_LIMIT = ("at limit", "≤", "in range; it may be set better")
    TIGHT = ("tight", "▼", "under its range")
    WIDE = ("wide", "▲", "over its range")
    NO_CLEARANCE = ("no clearance", "▬", "nothing goes in: no screw before the look")
    CLASH = ("clash", "≠", "readings contradict each other")
    NUT_SLACK = ("nut slack", "!", "lock it before the crank moves")
    AGAIN = ("again", "»", "set and locked: measure it now")
    NO_VERDICT = ("no verdict", "–", "too warm, no band named, or crank not sure")  # noqa: RUF001  the dash itself is meant

    @property
    def word(self) -> str:
        """In small letters, never shortened."""
        return self.value[0]

    @property
    def sign(self) -> str:
        """One character."""
        return self.value[1]

    @property
    def meaning(self) -> str:
        """What it says, in a few words."""
        return self.value[2]


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
    if view.unread_after_lock:
        return Standing.AGAIN
    if view.verdict.kind is VerdictKind.NONE and view.unread:
        return Standing.TO_DO
    if view.verdict.at_limit is not None:
        return Standing.AT_LIMIT
    if nothing_goes(view) and _asks_why_nothing_goes(step):
        return Standing.NO_CLEARANCE
    return _OF_VERDICT[view.verdict.kind]


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
