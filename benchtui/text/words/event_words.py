"""Everything that happened at the bench, in words: one plain line an event."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Measured
from benchtui.domain.session.facts import events as facts
from benchtui.text.quantities.show import angle, distance, hours, length, temperature
from benchtui.text.words.amendment_words import changes
from benchtui.text.words.crank_words import place_told
from benchtui.text.words.evidence_words import seen_words
from benchtui.text.words.stamped import blade_both

_CRANK = {
    facts.Crank.UNMOVED: "the crank has not moved",
    facts.Crank.MOVED: "the crank has moved",
    facts.Crank.UNSURE: "the crank may have moved",
}


CAMS_WORDS = {
    facts.CamsStep.OUT: "taken out",
    facts.CamsStep.CAPS_IN_STEPS: "back in, caps tightened in steps",
    facts.CamsStep.TIMING_MARKS: "timing marks line up",
    facts.CamsStep.CHAIN_AND_TENSIONER: "chain and tensioner seen to",
    facts.CamsStep.TWO_SLOW_TURNS: "turned twice, slowly, nothing resisted",
}


def event_lines(events: Iterable[facts.Event]) -> tuple[str, ...]:
    """One line an event; what is struck or taken back is named by what it was."""
    earlier: dict[int, facts.Fact] = {}
    lines = []
    for event in events:
        earlier[event.number] = event.fact
        lines.append(event_words(event.fact, earlier))
    return tuple(lines)


def event_words(fact: facts.Fact, earlier: dict[int, facts.Fact] | None = None) -> str:  # noqa: C901, PLR0912, PLR0915  # one case a fact is the point
    """One fact in words, as it came from the file: whoever shows it makes it inert.

    ``earlier`` are the facts before it by their numbers, for those that speak of another.
    """
    known = earlier or {}
    match fact:
        case facts.Opened(sheet=sheet, blades=blades, particulars=particulars):
            told = particulars_words(particulars)
            start = "Practice began" if fact.practice else "Session opened"
            return f"{start}: {sheet.name}, blades {blades.name}" + (f"; {told}" if told else "")
        case facts.ParticularsEntered(particulars):
            return f"Entered: {particulars_words(particulars) or 'nothing new'}"
        case facts.RuleChosen(rule):
            return f"Decision rule chosen: {rule.value}"
        case facts.BandChosen(tolerance):
            return f"Owner's own band: {length(tolerance)} either side of the single figure"
        case facts.FigureChosen():
            return "Single figures are set on the figure, as the handbook says"
        case facts.CautionAcknowledged(caution):
            return f"Caution read: {caution}"
        case facts.PositionConfirmed():
            return _position(fact)
        case facts.PositionDoubted(cylinder):
            return f"Cylinder {cylinder}: position doubted, what was read there no longer counts"
        case facts.SignSeen(cylinder, sign, valves):
            at = f" ({', '.join(valves)})" if valves else ""
            return f"Cylinder {cylinder}: {sign.meaning}{at}"
        case facts.CrankTurned(degrees):
            return f"Crank turned forward {angle(degrees)}"
        case facts.ReadingTaken(valve, feeler, answer, forced):
            by_force = " (went only by force)" if forced else ""
            return f"{valve}: {_blade(feeler)} {answer.value}{by_force}"
        case facts.ClearanceMeasured(valve, value, error):
            return f"{valve}: {Measured(value, error)}"
        case facts.ReadingStruck(number):
            return f"Struck out: {_which(number, known)}"
        case facts.ReadingsMoved(valve, to):
            return f"Readings of {valve} moved to {to}"
        case facts.ScrewTurned(valve, way, degrees):
            return f"{valve}: locknut slack, screw turned {way.value} {angle(degrees, 1)}"
        case facts.ScrewSetOn(valve, feeler):
            return f"{valve}: locknut slack, screw set to a light drag on {_blade(feeler)}"
        case facts.WayChosen(by_blade):
            return f"This engine is set {'on a blade held in' if by_blade else 'by degrees'}"
        case facts.LookedOver(valve):
            return f"{valve}: parts looked at, all sound"
        case facts.CamsStepDone(step):
            return f"Cams: {CAMS_WORDS[step]}"
        case facts.Locked(valve, torqued):
            figure = " to its figure" if torqued else ""
            return f"{valve}: locked{figure}; not known until it is measured again"
        case facts.ShimFitted(valve, size, measured, found):
            by_measure = "" if measured is None else f", which measures {length(measured)}"
            done = "was in" if found else "fitted"
            return f"{valve}: shim of {length(size)}{by_measure} {done}"
        case facts.SpareTold(size, measured):
            by_measure = "" if measured is None else f", which measures {length(measured)}"
            return f"In the drawer: a shim of {length(size)}{by_measure}"
        case facts.WoundBack(valve, degrees):
            return f"{valve}: wound to zero, then backed off {angle(degrees, 1)} for the pad test"
        case facts.WholePlayRead(valve, feeler, answer, forced):
            by_force = " (went only by force)" if forced else ""
            return f"{valve}: whole free play, {_blade(feeler)} {answer.value}{by_force}"
        case facts.ItemCounted(item, count, inwards):
            return f"Counted {'in' if inwards else 'out'}: {count} x {item}"
        case facts.TorqueDone(what):
            return f"Tightened to its figure: {what}"
        case facts.AfterStepDone(step):
            return f"Done: {step.meaning}"
        case facts.SpotChecked(valve, feeler, answer, fits):
            so = "fits what was left" if fits else "does not fit what was left: measure afresh"
            return f"Spot-check, {valve}: {_blade(feeler)} {answer.value}; {so}"
        case facts.RepeatBegun(valve):
            return f"{valve}: blind repeat begun; what is read in it is kept apart"
        case facts.RepeatEnded(valve):
            return f"{valve}: blind repeat ended"
        case facts.Noted(text, valve):
            return f"Note on {valve}: {text}" if valve else f"Note: {text}"
        case facts.Paused():
            return "Paused"
        case facts.Resumed(crank):
            return f"Went on; {_CRANK[crank]}"
        case facts.StepUndone(number):
            return f"Taken back: {_which(number, known)}"
        case facts.Closed(complete, missing):
            if complete:
                return "Closed, complete"
            lacking = "; ".join(missing)
            return "Closed in part" + (f"; missing: {lacking}" if lacking else "")
        case facts.Corrected(why=why):
            told = ", ".join(f"{what} {holds}" for what, holds, _ in changes(fact))
            return f"Put right: {told}: {why}"
        case facts.SetAside(why):
            return f"Set aside, it counts for nothing: {why}"
        case _:
            assert_never(fact)


def valve_of_fact(fact: facts.Fact, earlier: dict[int, facts.Fact]) -> str | None:
    """The valve that a fact is about, if it is about one."""
    if isinstance(fact, facts.ReadingStruck | facts.StepUndone):
        past = earlier.get(fact.number)
        return None if past is None else valve_of_fact(past, earlier)
    if isinstance(fact, facts.ReadingsMoved):
        return fact.to
    return getattr(fact, "valve", None) or None


def particulars_words(particulars: facts.Particulars) -> str:
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


def _position(fact: facts.PositionConfirmed) -> str:
    return f"{place_told(fact)}: {seen_words(fact.evidence)}"


def _which(number: int, known: dict[int, facts.Fact]) -> str:
    past = known.get(number)
    return f"step {number}" if past is None else event_words(past, known)


def _blade(feeler: Feeler) -> str:
    """``0.08 mm``, ``0.003 in``, as it is stamped."""
    stamped = blade_both(feeler, inch=False)
    return f"{stamped} mm" if stamped == feeler.bare else stamped
