"""A step that the bench will not take: its kind, and what it is about; ``text.words.refusals`` words it."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length

About = str | int | Fraction | Enum | Length | Feeler | tuple[str, ...]


Why = Enum(
    "Why",
    # The adjuster and how far it goes
    "ECCENTRIC_OPEN ECCENTRIC_PASSED ECCENTRIC_UNKNOWN ECCENTRIC_UNTOLD ECCENTRIC_NO_PITCH "
    "EITHER_SIDE CONTRADICTORY BACK_OFF NO_PITCH TURN_CLASH TURN_OPEN TOO_WIDE STANDS_AT_AIM "
    "TOO_FAR SET_BY_SHIMS NO_SCREW NO_SCREW_FOR_BLADE TURN_SIZE STACK_HELD NO_LOCKNUT "
    "LOCKED_ALREADY NUT_SLACK "
    # Shims, and the cams out for them
    "SHIM_OPEN SHIM_CLASH SHIM_NO_BLADE_GOES NOT_BY_SHIMS SHIM_SIZE SHIM_WORN SHIM_UNKNOWN "
    "SHIM_UNKNOWN_THERE SHIM_UNDECIDED NOT_GAUGED NO_TOLERANCE METAL_WRONG CAMS_STAY "
    "CAMS_NOT_OUT CAMS_OUT "
    # The engine
    "HYDRAULIC NO_CYLINDER NO_VALVE NOT_OF_CYLINDER ONE_GAP FAULTY_PLAN NO_PRACTICE NO_TORQUE "
    # The crank
    "POSITION_NOT_CONFIRMED NO_SLACK NO_BLADE_WENT NOT_BY_THE_TURN ONE_TURN_OUT "
    "EVIDENCE_AGAINST NO_TURN_LEADS_HERE NO_COMPANION FELT_TELLS_NOTHING ONE_PIECE "
    "NO_VALVE_HERE CRANK_SIZE "
    # Readings
    "NO_READING_TO_STRIKE NO_MEASURE_TO_STRIKE SAME_VALVE NONE_TO_MOVE CLEARANCE_SIZE "
    "ERROR_SIZE REPEAT_OPEN NOTHING_TO_REPEAT NO_REPEAT NOT_DONE NOT_TURNED_OVER BAND_WIDTH "
    "NOT_PRACTISED NOBODY_NAMED "
    # The session, and what is put right after it
    "PAUSED PAUSED_SLACK NOT_PAUSED NOTHING_TO_UNDO EMPTY_NOTE COUNT_NOTHING MORE_THAN_INSIDE STILL_INSIDE "
    "BELOW_ZERO NOT_CLOSED CLOSED YEAR ALREADY_SO MEASURED_NOTHING OTHER_VALVES NO_REASON "
    "NO_VALVE_THERE NOTHING_PUT_RIGHT "
    # Torques and cooling
    "WRENCH_LENGTH EXTENSION_LENGTH EXTENSION_ANGLE FOLDED_BACK WRENCH_TOO_BIG "
    "WRENCH_TOO_SMALL COLD_ALREADY READ_TOO_SOON AIR_TOO_WARM NOT_COOLING TOO_LONG_TO_TELL ",
)
"""Why a step is not taken."""


class Refusal(BenchError):
    """A step not taken; nothing has changed. ``told`` is what it is about, by name."""

    def __init__(self, why: Why, **told: About) -> None:
        super().__init__(why, told)
        self.why = why
        self.told = told
