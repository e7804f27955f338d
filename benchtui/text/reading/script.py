"""A session written down as text, one step a line: what ``benchtui replay`` reads.

The form is described in the README. Parsing knows no engine: names of valves and blades are
resolved by whoever plays the steps.

Long, because every word of the form is in one table with its reader beside it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import TypeVar

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import MOST_STACKED
from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.measured import MEASURED_ERROR
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import CloseSession, Command, ConfirmPosition, Undo
from benchtui.domain.spelling import meant, or_meant
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.amend_file import AMEND
from benchtui.text.reading.checked import MOST_FAULTS, too_many

MOST_STEPS = 5000
"""The most steps that are read: ten times those of a day at a large engine (design value)."""


@dataclass(frozen=True, slots=True)
class UseSheet:
    """The engine's sheet, by name."""

    name: str


@dataclass(frozen=True, slots=True)
class UseBlades:
    """The blade set, by name."""

    name: str


@dataclass(frozen=True, slots=True)
class OnDay:
    """The day of the session; None for today."""

    day: date | None


@dataclass(frozen=True, slots=True)
class ByStops:
    """Whether the plan with the fewest stops is wanted."""

    fewest: bool


@dataclass(frozen=True, slots=True)
class TryBlades:
    """Leaves with these stamps were tried; ``forced`` if they went only by force."""

    valve: str
    marks: tuple[Length, ...]
    answer: Answer
    forced: bool = False
    whole: bool = False
    """Whether they were tried in the whole free play of an opener and closer pair."""


@dataclass(frozen=True, slots=True)
class SetOnMarks:
    """The screw was set on a leaf with this stamp, held in."""

    valve: str
    marks: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class SpotBlades:
    """Leaves with these stamps were tried once more at a valve that is done."""

    valve: str
    marks: tuple[Length, ...]
    answer: Answer


@dataclass(frozen=True, slots=True)
class StrikeBlades:
    """The last reading with these leaves, or (None) the last of all, is struck."""

    valve: str
    marks: tuple[Length, ...] | None
    whole: bool = False
    """Whether it is one of the whole free play of an opener and closer pair."""
    measured: bool = False
    """Whether it is the measured value instead."""


Header = UseSheet | UseBlades | OnDay | ByStops
Deed = Header | TryBlades | StrikeBlades | SpotBlades | SetOnMarks | Command


@dataclass(frozen=True, slots=True)
class ScriptLine:
    """One line: its number in the file, its text, and what it asks for."""

    line: int
    text: str
    deed: Deed


TODAY = "today"

ANSWERS_TOO = {"refuse": "refuses", "refused": "refuses", "drags": "drag", "force": "forced"}
"""Other forms of the answers, as they stand on paper."""

T = TypeVar("T")


class _Wrong(Exception):  # never leaves this module
    def __init__(self, found: str, wanted: str) -> None:
        super().__init__(found, wanted)
        self.found = found
        self.wanted = wanted


def parse_script(text: str, file: str) -> tuple[ScriptLine, ...]:
    """The steps of a written-down session.

    Raises:
        FaultyInput: with every line that cannot be read.
    """
    steps, faults = lines_of(text, file)
    if faults:
        raise FaultyInput(faults)
    return steps


def lines_of(text: str, file: str) -> tuple[tuple[ScriptLine, ...], tuple[Fault, ...]]:
    """The lines of a written-down session that can be read, and what is wrong with the others."""
    steps: list[ScriptLine] = []
    faults: list[Fault] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        line = re.sub(r"(^|\s)#.*", "", raw).strip()
        if not line:
            continue
        if len(steps) == MOST_STEPS:
            found, wanted = f"more than {MOST_STEPS} steps", "one session, which has some hundreds"
            faults.append(Fault(file, number, "", found, wanted))
        if len(faults) == MOST_FAULTS:
            faults.append(too_many(file))
        if len(steps) == MOST_STEPS or len(faults) > MOST_FAULTS:
            break
        try:
            steps.append(ScriptLine(number, line, _deed(line)))
        except _Wrong as wrong:
            faults.append(Fault(file, number, line.split()[0], wrong.found, wrong.wanted))
        except FaultyQuantity as wrong:
            faults.append(Fault(file, number, line.split()[0], wrong.found, wrong.wanted))
    if not steps and not faults:
        faults.append(Fault(file, None, "", "no step", "a line such as: sheet NAME"))
    return tuple(steps), tuple(faults)


def deed_of(line: str) -> Deed:
    """What one line of a written-down session asks for.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    try:
        return _deed(line)
    except _Wrong as wrong:
        raise FaultyQuantity(wrong.found, wrong.wanted) from None


def is_word(word: str) -> bool:
    """Whether a line about the whole engine begins with this word."""
    return word.casefold() in _BY_WORD


def _deed(line: str) -> Deed:
    word, _, rest = line.partition(" ")
    rest = rest.strip()
    if word == AMEND:
        raise _Wrong(_quoted(line), "what puts a stored session right in a file of its own")
    known = _BY_WORD.get(word) or _BY_WORD.get(word.casefold())
    return known(rest) if known is not None else _at_valve(word, rest)


def _one_name(rest: str) -> str:
    if not re.fullmatch(r"[\w.-]+", rest):
        raise _Wrong(_quoted(rest), "one name of letters, digits, - and _")
    return rest


def _filed_name(rest: str) -> str:
    """The name a file goes by, or the one printed in it, which may have spaces."""
    return _one_name(rest) if not rest or {*rest} & {*"/\\"} else rest


def _day(rest: str) -> OnDay:
    if rest == TODAY:
        return OnDay(None)
    try:
        return OnDay(date.fromisoformat(rest))
    except ValueError:
        raise _Wrong(_quoted(rest), "a date, as in 2026-05-01, or today") from None


def _among(options: dict[str, T], rest: str) -> T:
    word = meant(rest, options)
    if word is None:
        raise _Wrong(
            _quoted(rest),
            or_meant(" or ".join(o or "nothing more" for o in options), rest, options),
        )
    return options[word]


def _position(rest: str) -> Command:
    cylinder, *words = rest.split() or [""]
    if not cylinder or not words:
        raise _Wrong(_quoted(rest), "a cylinder and two pieces of evidence, or: doubt")
    if words == ["doubt"]:
        return facts.PositionDoubted(cylinder)
    signs = {s.value: s for s in (facts.Sign.TIGHT, facts.Sign.MOVES, facts.Sign.OPEN)}
    if words[0] in signs:
        return facts.SignSeen(cylinder, signs[words[0]], tuple(words[1:]))
    angle = Fraction(0)
    if words[0].startswith("+"):
        angle = measure.angle(words.pop(0)[1:])
    options = {e.value: e for e in facts.Evidence}
    return ConfirmPosition(cylinder, tuple(_among(options, w) for w in words), angle)


def _look(rest: str) -> Command:
    """``look 1 opens``: what 45 degrees on, past the mark, has shown."""
    cylinder, _, word = rest.partition(" ")
    return facts.SignSeen(
        cylinder, _among({"opens": facts.Sign.OPENS, "still": facts.Sign.STAYS}, word.strip())
    )


def _count(rest: str) -> Command:
    found = re.fullmatch(r"(in|out)\s+(\d{1,4})\s+(.+)", rest)
    if not found:
        raise _Wrong(_quoted(rest), "in or out, how many, and of what, as in: count in 4 rags")
    return facts.ItemCounted(found[3], int(found[2]), found[1] == "in")


def _text(rest: str) -> str:
    if not rest:
        raise _Wrong("nothing", "some words")
    return rest


def _nothing(made: Callable[[], T]) -> Callable[[str], T]:
    def bare(rest: str) -> T:
        if rest:
            raise _Wrong(_quoted(rest), "nothing more on this line")
        return made()

    return bare


_BY_WORD: dict[str, Callable[[str], Deed]] = {
    "sheet": lambda rest: UseSheet(_filed_name(rest)),
    "blades": lambda rest: UseBlades(_filed_name(rest)),
    "date": _day,
    "stops": lambda rest: ByStops(_among({"fewest": True, "single": False}, rest)),
    "odometer": lambda rest: facts.ParticularsEntered(
        facts.Particulars(odometer_km=measure.distance_km(rest))
    ),
    "hours": lambda rest: facts.ParticularsEntered(
        facts.Particulars(hours=measure.hours(rest, bare=True))
    ),
    "metal": lambda rest: facts.ParticularsEntered(
        facts.Particulars(metal_c=measure.temperature(rest))
    ),
    "stood": lambda rest: facts.ParticularsEntered(
        facts.Particulars(stood_hours=measure.hours(rest, bare=True))
    ),
    "running": lambda rest: facts.ParticularsEntered(
        facts.Particulars(at_heat=_among({"hot": True, "cold": False}, rest))
    ),
    "who": lambda rest: facts.ParticularsEntered(facts.Particulars(who=_text(rest))),
    "figure": _nothing(facts.FigureChosen),
    "band": lambda rest: facts.BandChosen(measure.length(rest, bare_mm=True)),
    "rule": lambda rest: facts.RuleChosen(_among({r.value: r for r in DecisionRule}, rest)),
    "position": _position,
    "look": _look,
    "forward": lambda rest: facts.CrankTurned(measure.angle(rest)),
    "count": _count,
    "cams": lambda rest: facts.CamsStepDone(_among({s.value: s for s in facts.CamsStep}, rest)),
    "set": lambda rest: facts.WayChosen(_among({"by blade": True, "by degrees": False}, rest)),
    "spare": lambda rest: facts.SpareTold(*spare_of(rest)),
    "ticked": lambda rest: facts.CautionAcknowledged(_text(rest)),
    "torque": lambda rest: facts.TorqueDone(_text(rest)),
    "turned": lambda rest: facts.AfterStepDone(_among({"over": facts.AfterStep.TURNED_OVER}, rest)),
    "first": lambda rest: facts.AfterStepDone(_among({"run": facts.AfterStep.FIRST_RUN}, rest)),
    "no": lambda rest: facts.AfterStepDone(_among({"leaks": facts.AfterStep.NO_LEAKS}, rest)),
    "note": lambda rest: facts.Noted(_text(rest)),
    "pause": _nothing(facts.Paused),
    "resume": lambda rest: facts.Resumed(_among({c.value: c for c in facts.Crank}, rest)),
    "undo": _nothing(Undo),
    "close": _nothing(CloseSession),
}


def _blind(valve: str, rest: str) -> Command:
    if rest not in ("", "end"):
        raise _Wrong(_quoted(rest), "nothing more, or end, as in: 1E blind end")
    return facts.RepeatEnded(valve) if rest else facts.RepeatBegun(valve)


def _strike(valve: str, blade: str) -> StrikeBlades:
    if blade == "measured":
        return StrikeBlades(valve, None, measured=True)
    return StrikeBlades(valve, _marks(blade) if blade else None)


def _at_valve(valve: str, rest: str) -> Deed:  # noqa: C901, PLR0912  # one case a word
    word, _, more = rest.partition(" ")
    more = more.strip()
    match word.casefold():
        case "strike":
            return _strike(valve, more)
        case "move":
            return facts.ReadingsMoved(valve, _one_name(more))
        case "turn":
            way, angle = _turn(more)
            return facts.ScrewTurned(valve, way, angle)
        case "lock":
            torqued = _among({"": False, "torqued": True}, more)
            return facts.Locked(valve, torqued)
        case "set":
            return SetOnMarks(valve, _marks(more))
        case "looked":
            return _nothing(lambda: facts.LookedOver(valve))(more)
        case "measured":
            return facts.ClearanceMeasured(valve, *measured_of(more))
        case "shim":
            return facts.ShimFitted(valve, *shim_of(more))
        case "pad":
            return facts.WoundBack(valve, measure.angle(more))
        case "whole":
            word, _, blade = more.partition(" ")
            struck = word == "strike"
            deed = _strike(valve, blade.strip()) if struck else _reading(valve, more)
            return replace(deed, whole=True)
        case "spot":
            again = _reading(valve, more)
            return SpotBlades(valve, again.marks, again.answer)
        case "blind":
            return _blind(valve, more)
        case "note":
            return facts.Noted(_text(more), valve)
        case _:
            return _reading(valve, rest)


def answer_of(text: str) -> tuple[tuple[Length, ...], Answer, bool]:
    """A blade and its answer as people write them: ``0.20 free``, ``0.20+0.05 forced``.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    try:
        tried = _reading("", text.strip())
    except _Wrong as wrong:
        raise FaultyQuantity(wrong.found, wrong.wanted) from None
    return tried.marks, tried.answer, tried.forced


def measured_of(text: str) -> tuple[Length, Length]:
    """A measured clearance as people write it: ``0.11``, ``0.11 +-0.01 mm``, ``4.5 +-0.5 thou``.

    The figure and the most it may be off; a unit at the end goes for both.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    figure, given, error = (part.strip() for part in text.replace("±", "+-").partition("+-"))
    if not given:
        return measure.length(figure, bare_mm=True, zero=True), MEASURED_ERROR
    unit = re.search(r"[a-zA-Z\"]+\s*$", error)
    if unit is not None and re.fullmatch(r"[\d.]+", figure):
        figure = f"{figure} {unit[0]}"
    return (measure.length(figure, bare_mm=True, zero=True), measure.length(error, bare_mm=True))


def spare_of(text: str) -> tuple[Length, Length | None]:
    """A shim in the drawer as people write it: ``2.80``, ``2.80 measured 2.79``.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    size, measured, found = shim_of(text)
    if found:
        raise FaultyQuantity(measure.quoted(text), "a size, as in 2.80 or 2.80 measured 2.79")
    return size, measured


def shim_of(text: str) -> tuple[Length, Length | None, bool]:
    """A shim as people write it: ``2.80``, ``2.80 measured 2.79``, ``found 2.80``.

    The stamp, what a micrometer said if it was asked, and whether it was in all along.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    rest = text.strip()
    found = rest.startswith("found ")
    stamp, word, micrometer = rest.removeprefix("found ").partition(" measured ")
    measured = measure.length(micrometer.strip(), bare_mm=True) if word else None
    return measure.length(stamp.strip(), bare_mm=True), measured, found


def _reading(valve: str, rest: str) -> TryBlades:
    blade, _, answer = rest.rpartition(" ")
    answers = {a.value: a for a in Answer}
    known = (*answers, "forced")
    answer = ANSWERS_TOO.get(answer.casefold()) or meant(answer, known) or answer
    if answer not in (*answers, "forced"):
        raise _Wrong(
            _quoted(f"{valve} {rest}".strip()),
            or_meant(
                "a valve with a blade and free, drag, refuses or forced; or a word such as position, "
                "measured, turn, lock, strike, close",
                answer,
                known,
            ),
        )
    forced = answer == "forced"
    counts_as = Answer.REFUSES if forced else answers[answer]
    return TryBlades(valve, _marks(blade), counts_as, forced)


def turn_of(text: str) -> tuple[Way, Fraction]:
    """A turn as people write it: ``out 22``, ``in 0.25 turn``.

    Raises:
        FaultyQuantity: it cannot be read.
    """
    try:
        return _turn(text.strip())
    except _Wrong as wrong:
        raise FaultyQuantity(wrong.found, wrong.wanted) from None


def _turn(text: str) -> tuple[Way, Fraction]:
    way, _, degrees = text.partition(" ")
    return _among({w.value: w for w in Way}, way), measure.angle(degrees)


def marks_of(text: str) -> tuple[Length, ...]:
    """The stamps of a blade or stack as people write them: ``0.15``, ``0.20+0.05``, ``4 thou``.

    Raises:
        FaultyQuantity: it cannot be read, or more leaves than may be stacked.
    """
    try:
        return _marks(text)
    except _Wrong as wrong:
        raise FaultyQuantity(wrong.found, wrong.wanted) from None


def _marks(text: str) -> tuple[Length, ...]:
    parts = text.split("+")
    if len(parts) > MOST_STACKED:
        raise _Wrong(f"a stack of {len(parts)}", f"at most {MOST_STACKED} leaves together")
    return tuple(measure.length(part.strip(), bare_mm=True) for part in parts)


def _quoted(text: str) -> str:
    return measure.quoted(text) if text else "nothing"
