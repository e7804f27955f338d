"""With the cams out the tall letters name the valve that the shim goes to, whichever was in hand."""

from __future__ import annotations

from benchtui.domain.session.next_step.kinds import FitShim
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.valve.shims import shim_plan
from benchtui.text.words.told import told_of
from benchtui.text.words.valve_words import aside_of
from benchtui.tui.present_setting import setting_of
from tests.next_step.written import written

IN = {"I": "0.15 free\n{0} 0.24 refuses\n", "E": "0.20 free\n{0} 0.30 refuses\n"}


def in_range(*valves: str) -> str:
    return "".join(f"{valve} {IN[valve[1]].format(valve)}" for valve in valves)


OUT = (
    "sheet ferry-tender\nblades hundredths\nmetal 19 C\nposition 1 mark lobes\n"
    "1I-left 0.25 free\n1I-left 0.25 free\n1I-left 0.26 refuses\n"
    f"{in_range('1I-right', '1E-left', '1E-right')}position 2 mark lobes\n"
    f"{in_range('2I-left', '2I-right', '2E-left', '2E-right')}cams out\n1I-left shim found 2.70\n"
)


def test_the_valve_that_the_shim_goes_to_is_named() -> None:
    state = written(OUT).state
    told = told_of(state, "2E-left")
    assert isinstance(told.step, FitShim)
    assert told.step.valve == "1I-left"
    view = look(state, "2E-left")
    shown = setting_of(state, view, told, aside_of(state, view), shim_plan(state))
    assert shown.big.first.text == "1I-LEFT"
    assert shown.big.second.text.startswith("FIT")
