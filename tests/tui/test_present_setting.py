"""What Setting shows in tall letters beneath the step: what the hand does meanwhile."""

from __future__ import annotations

import pytest

from benchtui.domain.session.valve.assessment import look
from benchtui.text.words.told import told_of
from benchtui.text.words.valve_words import aside_of
from benchtui.tui.present_setting import Setting, setting_of
from tests.next_step.written import written

TIGHT = (
    "sheet quay-pump\nblades fine-metric\nmetal 19 C\nposition 1 mark slack\n"
    "1E 0.06 free\n1E 0.08 refuses\n1E 0.08 refuses\n"
)


def shown(script: str) -> Setting:
    state = written(script).state
    view = look(state, "1E")
    return setting_of(state, view, told_of(state, "1E"), aside_of(state, view), None)


@pytest.mark.parametrize(
    ("script", "tall", "beneath"),
    [
        (TIGHT, "SET 0.10", "HOLD IT IN"),
        (f"{TIGHT}1E set 0.10\n", "LOCK IT", "HOLD IT STILL"),
        # From 0.07, the middle, to 0.10: 0.03 of a pitch of 0.75 mm is 14.4 degrees.
        (f"set by degrees\n{TIGHT}", "OUT 14", ""),
    ],
)
def test_the_hand_is_told_what_it_holds(script: str, tall: str, beneath: str) -> None:
    """A blade let go of, or a screw that turns with its nut, spoils the setting (common practice)."""
    setting = shown(script)
    assert (setting.big.second.text, setting.beneath) == (tall, beneath)
