"""Everything that happened at the bench, in words: one plain line an event."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Measured
from benchtui.domain.session.facts.events import (
    AfterStepDone,
    BandChosen,
    CamsStep,
    CamsStepDone,
    CautionAcknowledged,
    ClearanceMeasured,
    Closed,
    Corrected,
    Crank,
    CrankTurned,
    Event,
    Fact,
    FigureChosen,
    ItemCounted,
    Locked,
    LookedOver,
    Noted,
    Opened,
    Particulars,
    ParticularsEntered,
    Paused,
    PositionConfirmed,
    PositionDoubted,
    ReadingsMoved,
    ReadingStruck,
    ReadingTaken,
    RepeatBegun,
    RepeatEnded,
    Resumed,
    RuleChosen,
    ScrewSetOn,
    ScrewTurned,
    SetAside,
    ShimFitted,
    SignSeen,
    SpareTold,
    SpotChecked,
    StepUndone,
    TorqueDone,
    WayChosen,
    WholePlayRead,
    WoundBack,
)
from benchtui.text.quantities.show import angle, distance, hours, length, temperature
from benchtui.text.words.amendment_words import changes
from benchtui.text.words.evidence_words import seen_words
from benchtui.text.words.stamped import blade_both

_CRANK = {
    Crank.UNMOVED: "the crank has not moved",
    Crank.MOVED: "the crank has moved",
    Crank.UNSURE: "the crank may have moved",
}


CAMS_WORDS = {
    CamsStep.OUT: "taken out",
    CamsStep.CAPS_IN_STEPS: "back in, caps tightened in steps",
    CamsStep.TIMING_MARKS: "timing marks line up",
    CamsStep.CHAIN_AND_TENSIONER: "chain and tensioner seen to",
    CamsStep.TWO_SLOW_TURNS: "turned twice, slowly, nothing resisted",
}


def event_lines(events: Iterable[Event]) -> tuple[str, ...]:
    """One line an event; what is struck or taken back is named by what it was."""
    facts: dict[int, Fact] = {}
    lines = []
    for event in events:
        facts[event.number] = event.fact
        lines.append(event_words(event.fact, facts))
    return tuple(lines)


def event_words(fact: Fact, earlier: dict[int, Fact] | None = None) -> str:  # noqa: C901, PLR0912, PLR0915  # one case a fact is the point
    """One fact in words, as it came from the file: whoever shows it makes it inert.

    ``earlier`` are the facts before it by their numbers, for those that speak of another.
    """
    known = earlier or {}
    match fact:
        case Opened(sheet=sheet, blades=blades, particulars=particulars):
            told = particulars_words(particulars)
            start = "Practice began" if fact.practice else "Session opened"
            return f"{start}: {sheet.name}, blades {blades.name}" + (f"; {told}" if told else "")
        case ParticularsEntered(particulars):
            return f"Entered: {particulars_words(particulars) or 'nothing new'}"
        case RuleChosen(rule):
            return f"Decision rule chosen: {rule.value}"
        case BandChosen(tolerance):
            return f"Owner's own band: {length(tolerance)} either side of the single figure"
        case FigureChosen():
            return "Single figures are set on the figure, as the handbook says"
        case CautionAcknowledged(caution):
            return f"Caution read: {caution}"
        case PositionConfirmed():
            return _position(fact)
        case PositionDoubted(cylinder):
            return f"Cylinder {cylinder}: position doubted, what was read there no longer counts"
        case SignSeen(cylinder, sign, valves):
            at = f" ({', '.join(valves)})" if valves else ""
            return f"Cylinder {cylinder}: {sign.meaning}{at}"
        case CrankTurned(degrees):
            return f"Crank turned forward {angle(degrees)}"
        case ReadingTaken(valve, feeler, answer, forced):
            by_force = " (went only by force)" if forced else ""
            return f"{valve}: {_blade(feeler)} {answer.value}{by_force}"
        case ClearanceMeasured(valve, value, error):
            return f"{valve}: {Measured(value, error)}"
        case ReadingStruck(number):
            return f"Struck out: {_which(number, known)}"
        case ReadingsMoved(valve, to):
            return f"Readings of {valve} moved to {to}"
        case ScrewTurned(valve, way, degrees):
            return f"{valve}: locknut slack, screw turned {way.value} {angle(degrees, 1)}"
        case ScrewSetOn(valve, feeler):
            return f"{valve}: locknut slack, screw set to a light drag on {_blade(feeler)}"
        case WayChosen(by_blade):
            return f"This engine is set {'on a blade held in' if by_blade else 'by degrees'}"
        case LookedOver(valve):
            return f"{valve}: parts looked at, all sound"
        case CamsStepDone(step):
            return f"Cams: {CAMS_WORDS[step]}"
        case Locked(valve, torqued):
            figure = " to its figure" if torqued else ""
            return f"{valve}: locked{figure}; not known until it is measured again"
        case ShimFitted(valve, size, measured, found):
            by_measure = "" if measured is None else f", which measures {length(measured)}"
            done = "was in" if found else "fitted"
            return f"{valve}: shim of {length(size)}{by_measure} {done}"
        case SpareTold(size, measured):
            by_measure = "" if measured is None else f", which measures {length(measured)}"
            return f"In the drawer: a shim of {length(size)}{by_measure}"
        case WoundBack(valve, degrees):
            return f"{valve}: wound to zero, then backed off {angle(degrees, 1)} for the pad test"
        case WholePlayRead(valve, feeler, answer, forced):
            by_force = " (went only by force)" if forced else ""
            return f"{valve}: whole free play, {_blade(feeler)} {answer.value}{by_force}"
        case ItemCounted(item, count, inwards):
            return f"Counted {'in' if inwards else 'out'}: {count} x {item}"
        case TorqueDone(what):
            return f"Tightened to its figure: {what}"
        case AfterStepDone(step):
            return f"Done: {step.meaning}"
        case SpotChecked(valve, feeler, answer, fits):
            so = "fits what was left" if fits else "does not fit what was left: measure afresh"
            return f"Spot-check, {valve}: {_blade(feeler)} {answer.value}; {so}"
        case RepeatBegun(valve):
            return f"{valve}: blind repeat begun; what is read in it is kept apart"
        case RepeatEnded(valve):
            return f"{valve}: blind repeat ended"
        case Noted(text, valve):
            return f"Note on {valve}: {text}" if valve else f"Note: {text}"
        case Paused():
            return "Paused"
        case Resumed(crank):
            return f"Went on; {_CRANK[crank]}"
        case StepUndone(number):
            return f"Taken back: {_which(number, known)}"
        case Closed(complete, missing):
            if complete:
                return "Closed, complete"
            lacking = "; ".join(missing)
            return "Closed in part" + (f"; missing: {lacking}" if lacking else "")
        case Corrected(why=why):
            told = ", ".join(f"{what} {holds}" for what, holds, _ in changes(fact))
            return f"Put right: {told}: {why}"
        case SetAside(why):
            return f"Set aside, it counts for nothing: {why}"
        case _:
            assert_never(fact)


def valve_of_fact(fact: Fact, earlier: dict[int, Fact]) -> str | None:
    """The valve that a fact is about, if it is about one."""
    if isinstance(fact, ReadingStruck | StepUndone):
        past = earlier.get(fact.number)
        return None if past is None else valve_of_fact(past, earlier)
    if isinstance(fact, ReadingsMoved):
        return fact.to
    return getattr(fact, "valve", None) or None


def particulars_words(particulars: Particulars) -> str:
    """``12 400 km, metal 19 C (66 F), M.``; what was not taken is left out."""
    told = []
    if particulars.odometer_km is not None:
        told.append(distance(particulars.odometer_km))
    if particulars.hours is not None:
        told.append(hours(particulars.hours))
    if particulars.metal_c is not None:
        told.append(f"metal {temperature(particulars.metal_c)}")
    if particulars.stood_hours is not None:
        told.append(f"stood {hours(particulars.stood_hours)}")
    if particulars.at_heat is not None:
        told.append("at running heat" if particulars.at_heat else "not at running heat")
    if particulars.who:
        told.append(particulars.who)
    return ", ".join(told)


def _position(fact: PositionConfirmed) -> str:
    place = "compression TDC"
    if fact.angle:
        place = f"{angle(fact.angle)} after compression TDC"
    seen = seen_words(fact.evidence)
    return f"Cylinder {fact.cylinder} at {place}: {seen}"


def _which(number: int, known: dict[int, Fact]) -> str:
    past = known.get(number)
    return f"step {number}" if past is None else event_words(past, known)


def _blade(feeler: Feeler) -> str:
    """``0.08 mm``, ``0.003 in``, as it is stamped."""
    stamped = blade_both(feeler, inch=False)
    return f"{stamped} mm" if stamped == feeler.bare else stamped
