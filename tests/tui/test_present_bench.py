"""The one sentence of the bench, from a session that was written down."""

from __future__ import annotations

from benchtui.text.words.told import told_of
from benchtui.tui.present_bench import InHand, to_do
from tests.next_step.written import written

# Quay pump, 1I 0.06 to 0.10 mm: 0.10 to 0.12 before the lock, 0.05 to 0.08 after it.
SLIPPED = (
    "sheet quay-pump\nblades fine-metric\nmetal 19 C\nposition 1 mark slack\n1I 0.05 free\n"
    "1I 0.06 refuses\n1I 0.06 refuses\n1I turn out 25\n1I 0.10 free\n1I 0.12 refuses\n1I lock\n"
    "1I 0.05 free\n1I 0.08 refuses\n"
)


def test_that_the_screw_was_let_turn_stands_before_the_blade() -> None:
    _, sentence = to_do(InHand(told_of(written(SLIPPED).state, "1I")))
    assert sentence == "You let the screw turn: hold it. Try 0.06, the lower limit."
