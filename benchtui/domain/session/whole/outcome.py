"""A practice session held against what was true."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged
from benchtui.domain.sheet import Band


class Fit(Enum):
    """How what was said goes with what was true."""

    RIGHT = "right"
    WRONG = "WRONG"
    NOTHING_SAID = "no verdict"


def fit_of(gauged: Gauged | None, true: Length, setting: Band | None) -> Fit:
    """Whether a verdict was right; in range by feel counts as said."""
    if gauged is None or setting is None:
        return Fit.NOTHING_SAID
    verdict = gauged.verdict
    if verdict.kind is VerdictKind.IN or verdict.by_feel:
        right = setting.low <= true <= setting.high
    elif verdict.kind is VerdictKind.TIGHT:
        right = true < setting.low
    elif verdict.kind is VerdictKind.WIDE:
        right = true > setting.high
    else:
        return Fit.NOTHING_SAID
    return Fit.RIGHT if right else Fit.WRONG


@dataclass(frozen=True, slots=True)
class Outcome:
    """One valve: what was said of it as found and as left, and the true clearances then."""

    valve: str
    setting: Band | None
    touched: bool
    found: Gauged | None
    found_true: Length
    left: Gauged | None
    left_true: Length

    @property
    def found_fit(self) -> Fit:
        """Whether the verdict on what was found was right."""
        return fit_of(self.found, self.found_true, self.setting)

    @property
    def left_fit(self) -> Fit:
        """Whether the verdict on what was left was right."""
        return fit_of(self.left, self.left_true, self.setting)
