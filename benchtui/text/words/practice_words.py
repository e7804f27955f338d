"""What a practice session said, beside what was true."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.whole.outcome import Fit, Outcome
from benchtui.domain.session.whole.record import Gauged
from benchtui.text.quantities.show import length
from benchtui.text.words.bracket_words import bracket_words
from benchtui.text.words.valve_words import verdict_words

KEPT = "Practice: nothing of it is kept, and it counts as no check."


_UM = 1_000


def feel_words(answer: Answer, over: int) -> str:
    """What a hand feels of a blade; the gap is ``over`` nanometres wider than it (own words)."""
    match answer:
        case Answer.REFUSES if over < -40 * _UM:
            return "its edge finds no way in at all"
        case Answer.REFUSES:
            return "its tip stops at the gap, and it is not forced"
        case Answer.DRAG if over < 3 * _UM:
            return "it goes with a steady, light pull"
        case Answer.DRAG:
            return "it goes, and comes out like a bookmark"
        case Answer.FREE if over < 40 * _UM:
            return "it slides as if oiled, and nothing holds it"
        case Answer.FREE:
            return "it falls in, and can be rocked up and down"
        case _:
            assert_never(answer)


def judged_words(said: Answer, felt: Answer, over: int) -> str:
    """What the practice hand says to an answer of the person's own."""
    if said is felt:
        return f"So says the practice hand: {felt.value}."
    return f"The practice hand says {felt.value}: {feel_words(felt, over)}. Backspace takes yours back."


def outcome_paragraphs(outcomes: Sequence[Outcome]) -> list[str]:
    """How many were right, then each valve."""
    fits = [o.left_fit for o in outcomes]
    right, wrong = fits.count(Fit.RIGHT), fits.count(Fit.WRONG)
    total = f"As left: {right} right, {wrong} wrong, {len(fits) - right - wrong} without a verdict."
    return [KEPT, total, *(outcome_words(o) for o in outcomes)]


def outcome_words(outcome: Outcome) -> str:
    """``1E: found tight, 0.05 to 0.06; it was 0.052 mm: right. Left ...``."""
    found = _said(outcome.found, outcome.found_true, outcome.found_fit)
    text = f"{outcome.valve}: found {found}."
    if outcome.touched:
        text += f" Left {_said(outcome.left, outcome.left_true, outcome.left_fit)}."
    return text


def _said(gauged: Gauged | None, true: Length, fit: Fit) -> str:
    # A micrometre is finer than any blade tells.
    was = f"it was {length(true, places=3)}"
    if gauged is None:
        return f"not measured; {was}"
    said = f"{verdict_words(gauged.verdict)}, {bracket_words(gauged.bracket)}"
    return f"{said}; {was}: {fit.value}"
