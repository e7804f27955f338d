"""A step that the bench will not take: its kind, and what it is about; ``text.words.refusals`` words it."""

from __future__ import annotations

from enum import Enum, auto
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length

About = str | int | Fraction | Enum | Length | Feeler | tuple[str, ...]


class Why(Enum):
    """Why a step is not taken."""

    # The adjuster and how far it goes
    ECCENTRIC_OPEN = auto()
    ECCENTRIC_PASSED = auto()
    ECCENTRIC_UNKNOWN = auto()
    ECCENTRIC_UNTOLD = auto()
    ECCENTRIC_NO_PITCH = auto()
    EITHER_SIDE = auto()
    CONTRADICTORY = auto()
    BACK_OFF = auto()
    NO_PITCH = auto()
    TURN_CLASH = auto()
    TURN_OPEN = auto()
    TOO_WIDE = auto()
    STANDS_AT_AIM = auto()
    TOO_FAR = auto()
    SET_BY_SHIMS = auto()
    NO_SCREW = auto()
    NO_SCREW_FOR_BLADE = auto()
    TURN_SIZE = auto()
    STACK_HELD = auto()
    NO_LOCKNUT = auto()
    LOCKED_ALREADY = auto()
    NUT_SLACK = auto()

    # Shims, and the cams out for them
    SHIM_OPEN = auto()
    SHIM_CLASH = auto()
    SHIM_NO_BLADE_GOES = auto()
    NOT_BY_SHIMS = auto()
    SHIM_SIZE = auto()
    SHIM_WORN = auto()
    SHIM_UNKNOWN = auto()
    SHIM_UNKNOWN_THERE = auto()
    SHIM_UNDECIDED = auto()
    NOT_GAUGED = auto()
    NO_TOLERANCE = auto()
    METAL_WRONG = auto()
    CAMS_STAY = auto()
    CAMS_NOT_OUT = auto()

    # The engine
    HYDRAULIC = auto()
    NO_CYLINDER = auto()
    NO_VALVE = auto()
    NOT_OF_CYLINDER = auto()
    ONE_GAP = auto()
    FAULTY_PLAN = auto()
    NO_PRACTICE = auto()
    NO_TORQUE = auto()

    # The crank
    POSITION_NOT_CONFIRMED = auto()
    NO_SLACK = auto()
    NO_BLADE_WENT = auto()
    NOT_BY_THE_TURN = auto()
    ONE_TURN_OUT = auto()
    EVIDENCE_AGAINST = auto()
    NO_TURN_LEADS_HERE = auto()
    NO_COMPANION = auto()
    FELT_TELLS_NOTHING = auto()
    ONE_PIECE = auto()
    NO_VALVE_HERE = auto()
    CRANK_SIZE = auto()

    # Readings
    NO_READING_TO_STRIKE = auto()
    NO_MEASURE_TO_STRIKE = auto()
    SAME_VALVE = auto()
    NONE_TO_MOVE = auto()
    CLEARANCE_SIZE = auto()
    ERROR_SIZE = auto()
    REPEAT_OPEN = auto()
    NOTHING_TO_REPEAT = auto()
    NO_REPEAT = auto()
    NOT_DONE = auto()
    NOT_TURNED_OVER = auto()
    BAND_WIDTH = auto()
    NOT_PRACTISED = auto()
    NOBODY_NAMED = auto()

    # The session, and what is put right after it
    PAUSED = auto()
    NOT_PAUSED = auto()
    NOTHING_TO_UNDO = auto()
    EMPTY_NOTE = auto()
    COUNT_NOTHING = auto()
    MORE_THAN_INSIDE = auto()
    STILL_INSIDE = auto()
    BELOW_ZERO = auto()
    NOT_CLOSED = auto()
    CLOSED = auto()
    YEAR = auto()
    ALREADY_SO = auto()
    MEASURED_NOTHING = auto()
    OTHER_VALVES = auto()
    NO_REASON = auto()
    NO_VALVE_THERE = auto()
    NOTHING_PUT_RIGHT = auto()

    # Torques and cooling
    WRENCH_LENGTH = auto()
    EXTENSION_LENGTH = auto()
    EXTENSION_ANGLE = auto()
    FOLDED_BACK = auto()
    WRENCH_TOO_BIG = auto()
    WRENCH_TOO_SMALL = auto()
    COLD_ALREADY = auto()
    READ_TOO_SOON = auto()
    AIR_TOO_WARM = auto()
    NOT_COOLING = auto()
    TOO_LONG_TO_TELL = auto()


class Refusal(BenchError):
    """A step not taken; nothing has changed. ``told`` is what it is about, by name."""

    def __init__(self, why: Why, **told: About) -> None:
        super().__init__(why, told)
        self.why = why
        self.told = told
