"""Why a step is not taken, and what to do instead: the words of every refusal.

Long, because it is one table: a kind of refusal, its reason, and what to do instead.
"""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length
from benchtui.domain.refusal import About, Refusal, Why
from benchtui.text.quantities.show import length


def error_words(error: BenchError, *, inch: bool = False) -> str:
    """What went wrong, for whoever is at the bench; ``inch``: beside an inch set."""
    return refusal_words(error, inch=inch) if isinstance(error, Refusal) else str(error)


def refusal_words(refusal: Refusal, *, inch: bool = False) -> str:
    """The reason and what to do instead."""
    return " ".join(part for part in _parts(refusal, inch=inch) if part)


def reason_words(refusal: Refusal, *, inch: bool = False) -> str:
    """The reason alone."""
    return _parts(refusal, inch=inch)[0]


def _parts(refusal: Refusal, *, inch: bool) -> tuple[str, str]:
    told = {name: _word(value, inch=inch) for name, value in refusal.told.items()}
    reason, instead = WORDS[refusal.why]
    return reason.format(**told), instead.format(**told)


def _word(told: About, *, inch: bool) -> str:
    # The first picture and each command are ready to tell an error, and mostly have none to tell.
    from benchtui.domain.crank.angles import degrees
    from benchtui.text.words.stamped import blade_both, unit_of, units_of

    match told:
        case Length():
            return length(told, unit_of(told, inch=inch))
        case Feeler():
            return str(told) if units_of(told, inch=inch) == {"mm"} else blade_both(told, inch=inch)
        case Fraction():
            return degrees(told)
        case Enum():
            return str(told.value)
        case tuple():
            return ", ".join(told)
        case _:
            return str(told)


WORDS: dict[Why, tuple[str, str]] = {
    # The adjuster and how far it goes
    Why.ECCENTRIC_OPEN: (
        "No turn from an open bracket: no blade has refused yet.",
        "Find a blade that goes and one that refuses first.",
    ),
    Why.ECCENTRIC_PASSED: (
        "The eccentric has passed its turning point, between {start} and {end} degrees: beyond it the gap moves the other way.",
        "Turn back to the side where you began. If the range can't be reached there, something is worn or wrong.",
    ),
    Why.ECCENTRIC_UNKNOWN: (
        "How far this eccentric moves the gap is not known yet.",
        "Turn it by about {first} degrees, note the way and the angle, and gauge again.",
    ),
    Why.ECCENTRIC_UNTOLD: (
        "The readings do not show which way the gap moves: the turn was small for the blades, or the eccentric is near its turning point.",
        "Gauge finer, or go on the same way by as much again.",
    ),
    Why.ECCENTRIC_NO_PITCH: (
        "An eccentric has no pitch: how far it moves is learned from two readings.",
        "Turn it a little, note the degrees, and measure again.",
    ),
    Why.EITHER_SIDE: (
        "The clearance may lie on either side of {aim}, so no way to turn can be told.",
        "Try one more blade inside the bracket first.",
    ),
    Why.CONTRADICTORY: ("The readings contradict each other.", "Clean the blades and try again."),
    Why.BACK_OFF: (
        "Back off by more than a hand's error and no more than one turn.",
        "{degrees} degrees would make about {gap}.",
    ),
    Why.NO_PITCH: (
        "The sheet gives no pitch, so no turn can be worked out.",
        "Measure the thread and enter the pitch on the sheet.",
    ),
    Why.TURN_CLASH: (
        "No turn from blades that disagree.",
        "Clean them and the gap, and try both again.",
    ),
    Why.TURN_OPEN: (
        "No turn from an open bracket: no blade has refused yet.",
        "Find a blade that refuses first.",
    ),
    Why.TOO_WIDE: (
        "The bracket is {width} wide: at worst the turn would land out of range.",
        "Try one more blade inside the bracket first.",
    ),
    Why.STANDS_AT_AIM: (
        "It stands at {aim} already, which is what is aimed at before the nut is tightened.",
        "Slacken the nut and lock it again without a turn; then measure.",
    ),
    Why.TOO_FAR: (
        "That would take {turns} turns; more than one full turn points to a wrong reading, a wrong sheet or something loose.",
        "Check the pitch on the sheet, the crank position and the parts before turning.",
    ),
    Why.SET_BY_SHIMS: ("This engine is set by shims, not by a screw.", "See the shim to fit."),
    Why.NO_SCREW: ("This engine has no screw to turn: it is set by {set_by}s.", ""),
    Why.NO_SCREW_FOR_BLADE: (
        "This engine has no screw to set on a blade: it is set by {set_by}s.",
        "",
    ),
    Why.TURN_SIZE: (
        "A turn is above 0 and up to 360 degrees, not {degrees}.",
        "Turn less, measure, and turn again.",
    ),
    Why.STACK_HELD: (
        "A stack is springy: {feeler} is not held in to set a screw on.",
        "Hold one leaf in, the one nearest the size aimed at.",
    ),
    Why.NO_LOCKNUT: ("This engine has no locknut on its valves.", ""),
    Why.LOCKED_ALREADY: ("{valve} is locked already.", "Measure it again now."),
    Why.NUT_SLACK: (
        "The locknut of {valves} is slack: neither is the crank turned so, nor a valve measured blind.",
        "Lock it first.",
    ),
    # Shims, and the cams out for them
    Why.SHIM_OPEN: (
        "No shim from an open bracket: no blade has refused yet.",
        "Find a blade that goes and one that refuses first.",
    ),
    Why.SHIM_CLASH: (
        "No shim from readings that contradict each other.",
        "Find a blade that goes and one that refuses first.",
    ),
    Why.SHIM_NO_BLADE_GOES: (
        "No blade goes: the clearance may be gone altogether.",
        "Try the thinnest blade; if it refuses, fit a thinner shim for now and measure again.",
    ),
    Why.NOT_BY_SHIMS: ("This engine is not set by shims.", "Turn its adjuster instead."),
    Why.SHIM_SIZE: ("A shim is above 0 and up to {largest_shim}, not {size}.", ""),
    Why.SHIM_WORN: (
        "A shim stamped {size} does not measure {measured}.",
        "Read both again: more than {most_worn} apart is another shim.",
    ),
    Why.SHIM_UNKNOWN: (
        "The size fitted at {valve} is not known.",
        "Read its stamp, or better a micrometer, and enter it.",
    ),
    Why.SHIM_UNKNOWN_THERE: ("the size fitted is not known.", "Read its stamp and enter it."),
    Why.SHIM_UNDECIDED: ("undecided: one more blade tells whether its shim may stay.", ""),
    Why.NOT_GAUGED: ("not gauged yet.", ""),
    Why.NO_TOLERANCE: ("no tolerance printed, and no band of your own named.", ""),
    Why.METAL_WRONG: ("{fault}.", ""),
    Why.CAMS_STAY: ("No cams come out on this engine to set its valves.", ""),
    Why.CAMS_OUT: ("The cams are out: the crank is not turned.", "First: {left}."),
    Why.CAMS_NOT_OUT: ("The cams are not out.", "Say first that they were taken out."),
    # The engine
    Why.HYDRAULIC: (
        "This engine has hydraulic adjusters: they take up the clearance themselves and there is none to measure or set.",
        "Noise or wear here is a matter for the manual's own test of the adjusters, or a qualified mechanic.",
    ),
    Why.NO_CYLINDER: ("This engine has no cylinder {cylinder}.", "It has {known}."),
    Why.NO_VALVE: ("This engine has no valve {valve}.", "Its valves are {known}."),
    Why.NOT_OF_CYLINDER: ("{valve} is no valve of cylinder {cylinder}.", ""),
    Why.ONE_GAP: ("{valve} has no opener and closer, so it has one gap only.", ""),
    Why.FAULTY_PLAN: ("No plan is made from this sheet: {faults}.", "Put the sheet right first."),
    Why.NO_PRACTICE: (
        "Practice knows screws, pillar nuts and shims, not {set_by}s.",
        "Choose another engine.",
    ),
    Why.NO_TORQUE: ("The sheet lists no torque for {what}.", "It lists {listed}."),
    # The crank
    Why.POSITION_NOT_CONFIRMED: ("The crank position is not confirmed for {valve}.", "{instead}"),
    Why.NO_SLACK: (
        "No slack at all: either this is overlap, or the clearance is gone.",
        "{instead}",
    ),
    Why.NO_BLADE_WENT: (
        "No blade has gone in yet, so nothing shows that this valve has any slack.",
        "Find one that goes, down to the thinnest, {thinnest}, if need be.",
    ),
    Why.NOT_BY_THE_TURN: (
        "By the turn made, cylinder {cylinder} is {stands} now: the evidence contradicts it.",
        "Turn {ahead} degrees on, forward only, or take the turn back and tell it anew.",
    ),
    Why.ONE_TURN_OUT: (
        "By the turn made this is one turn out: cylinder {cylinder} is {stands}.",
        "Turn {ahead} degrees on, forward only, or take the turn back and tell it anew.",
    ),
    Why.EVIDENCE_AGAINST: ("{because}", "{instead}"),
    Why.NO_TURN_LEADS_HERE: (
        "No turn told from a confirmed stop leads here.",
        "Say how far the crank was turned, or show the position by something else.",
    ),
    Why.NO_COMPANION: (
        "No cylinder fires one turn apart from {cylinder}, so none rocks to show it.",
        "Show the position by something else.",
    ),
    Why.FELT_TELLS_NOTHING: (
        "No clearance was found here, so that something felt loose tells nothing.",
        "See the inlet open and close before the mark, or rock the crank: nothing moves.",
    ),
    Why.ONE_PIECE: (
        "A position is confirmed by two different pieces of evidence.",
        "The mark and both rockers slack; or the inlet seen to open and close, then the mark.",
    ),
    Why.NO_VALVE_HERE: (
        "No valve may be measured in this position.",
        "Use the positions of the sheet's own table, or compression TDC of a cylinder.",
    ),
    Why.CRANK_SIZE: (
        "The crank is turned forward, above 0 and up to {most_turned} degrees at a time, not {degrees}.",
        "If you passed the mark, do not turn back: go on two whole turns.",
    ),
    # Readings
    Why.NO_READING_TO_STRIKE: ("{valve} has no {what}{where} that could be struck.", ""),
    Why.NO_MEASURE_TO_STRIKE: ("{valve} has no measured value that could be struck.", ""),
    Why.SAME_VALVE: ("Readings cannot be moved to the valve they are on.", ""),
    Why.NONE_TO_MOVE: ("{valve} has no readings to move.", ""),
    Why.CLEARANCE_SIZE: ("A clearance is from 0 to {most_measured}, not {value}.", ""),
    Why.ERROR_SIZE: (
        "A measured value is good to more than 0 and at most {largest_error}, not {error}.",
        "Give the most it may be off, as in 0.11 +-0.01 mm.",
    ),
    Why.REPEAT_OPEN: ("{valve} is being measured again, blind.", "End the blind repeat first."),
    Why.NOTHING_TO_REPEAT: (
        "{valve} has not been measured yet, so there is nothing to repeat.",
        "Measure it first; then the program hides what was read and asks again.",
    ),
    Why.NO_REPEAT: ("No blind repeat of {valve} is open.", ""),
    Why.NOT_DONE: ("{valve} is not done yet.", "Measure it first; a spot-check comes after."),
    Why.NOT_TURNED_OVER: (
        "The spot-check comes after the engine was turned over twice by hand.",
        "Turn it over first.",
    ),
    Why.BAND_WIDTH: ("A band has a width above zero.", ""),
    Why.NOT_PRACTISED: (
        "{who} has not practised enough on a known gap, so nothing can be judged by feel.",
        "Practise first, then begin with that name; or choose plain or proved.",
    ),
    Why.NOBODY_NAMED: (
        "Nobody is named, and to judge by feel takes one practised hand.",
        "Begin with the name of somebody who has practised on a known gap, or choose plain or proved.",
    ),
    # The session, and what is put right after it
    Why.PAUSED: ("This session is paused.", "Resume it first: has the crank moved?"),
    Why.PAUSED_SLACK: (
        "This session is paused, and the locknut of {valves} is slack.",
        "Lock it first.",
    ),
    Why.NOT_PAUSED: ("The session is not paused.", ""),
    Why.NOTHING_TO_UNDO: ("There is no step to take back.", ""),
    Why.EMPTY_NOTE: ("An empty note says nothing.", ""),
    Why.COUNT_NOTHING: ("Count at least one of something.", ""),
    Why.MORE_THAN_INSIDE: ("Of {item}, only {there} can come out: no more are inside.", "{meant}"),
    Why.STILL_INSIDE: ("Not counted out yet: {items}.", "Count it out before the engine runs."),
    Why.BELOW_ZERO: ("The {what} shows zero or more, not {value}.", ""),
    Why.NOT_CLOSED: (
        "This session is not closed, so nothing of it is put right yet.",
        "Tell it at the bench, or file the session first.",
    ),
    Why.CLOSED: ("This session is closed.", "Open a new one."),
    Why.YEAR: ("No check was made in the year {year}.", ""),
    Why.ALREADY_SO: ("It stands so already.", ""),
    Why.MEASURED_NOTHING: ("{engine} has hydraulic adjusters: nothing was measured there.", ""),
    Why.OTHER_VALVES: (
        "The valves of {engine} are not those that were read here: {here}.",
        "Set the session aside, and write it down anew.",
    ),
    Why.NO_REASON: ("Say why: it stands beside the figure from now on.", ""),
    Why.NO_VALVE_THERE: ("{engine} has no valve {valve}.", ""),
    Why.NOTHING_PUT_RIGHT: ("Nothing was put right that could be taken back.", ""),
    # Torques and cooling
    Why.WRENCH_LENGTH: (
        "A wrench of {length} from square to grip cannot be right.",
        "Measure from the middle of the square to the middle of the grip.",
    ),
    Why.EXTENSION_LENGTH: (
        "An extension of {extension} on a wrench of {length} cannot be trusted.",
        "Use one that is shorter than the wrench, and measure it from nut to square.",
    ),
    Why.EXTENSION_ANGLE: ("The angle of an extension lies between 0 and 180 degrees.", ""),
    Why.FOLDED_BACK: (
        "Folded back so far, the extension leaves less than half of the wrench's arm.",
        "Set it straight on, or square to the wrench.",
    ),
    Why.WRENCH_TOO_BIG: (
        "The wrench would have to be set to {setting}, below its range from {low}: there it does not click in time.",
        "Use a smaller wrench, or set the extension square to it.",
    ),
    Why.WRENCH_TOO_SMALL: (
        "The wrench would have to be set to {setting}, above its range to {high}.",
        "Use a bigger wrench.",
    ),
    Why.COLD_ALREADY: ("At {later} it is at the sheet's {limit} or below already.", ""),
    Why.READ_TOO_SOON: (
        "The readings are {minutes} minutes apart, which tells too little.",
        "Wait {shortest_wait} minutes at least and read again.",
    ),
    Why.AIR_TOO_WARM: (
        "The air at {air} is not clearly below the sheet's {limit}.",
        "It will not get there by itself: a cooler place, or another time of day.",
    ),
    Why.NOT_COOLING: (
        "From {first} to {later} is within what a thermometer may be out.",
        "Read again later: the estimate wants a drop that is sure.",
    ),
    Why.TOO_LONG_TO_TELL: ("The readings leave more than a day open.", "Read again in an hour."),
}
