"""A written-down session played through the bench, step by step, without a screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from pathlib import PurePath
from typing import Protocol, TypeVar

from benchtui.bench import Bench
from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import (
    CheckSpot,
    Command,
    ConfirmPosition,
    StrikeReading,
)
from benchtui.domain.session.facts.events import (
    Particulars,
    ParticularsEntered,
    PositionDoubted,
    ReadingsMoved,
    ReadingTaken,
    RuleChosen,
    ScrewSetOn,
    SignSeen,
    WholePlayRead,
)
from benchtui.domain.sheet import Sheet
from benchtui.domain.spelling import meant, or_meant
from benchtui.text.quantities.show import bare, length
from benchtui.text.reading.checked import MOST_FAULTS, too_many
from benchtui.text.reading.script import (
    ByStops,
    Deed,
    OnDay,
    ScriptLine,
    SetOnMarks,
    SpotBlades,
    StrikeBlades,
    TryBlades,
    UseBlades,
    UseSheet,
    deed_of,
    lines_of,
)

T = TypeVar("T")
Named = UseSheet | UseBlades


class Shelf(Protocol):
    """Where sheets and blade sets are looked up by name."""

    def sheet(self, name: str) -> Sheet:
        """The sheet, or FaultyInput."""

    def blades(self, name: str) -> BladeSet:
        """The blade set, or FaultyInput."""


@dataclass(frozen=True, slots=True)
class Played:
    """One step and what came of it. ``refused`` says why it was not taken; then nothing changed.

    ``valve`` is the valve the step was about, after a move the one the readings went to.
    """

    step: ScriptLine
    valve: str | None
    refused: Refusal | None


@dataclass(frozen=True, slots=True)
class Script:
    """A script whose names are all known, ready to play.

    ``file`` is the name of the file it stands in, without its folder. ``day`` is None for today, which
    ``dated`` scripts say and the others only leave open.
    """

    steps: tuple[ScriptLine, ...]
    sheet: Sheet
    blades_key: str
    blades: BladeSet
    day: date | None
    fewest: bool
    file: str = ""
    dated: bool = True


def load_script(
    text: str, file: str, shelf: Shelf, named: Callable[[Named], Named] | None = None
) -> Script:
    """Parse a script and look up what it names.

    ``named`` puts the name that an engine, or a set, is filed under in the place of the one that is
    printed on its sheet. Valves and cylinders may be written in small letters.

    Raises:
        FaultyInput: with every fault of the script, or of the sheet or blade set that it names.
    """
    read, unread = lines_of(text, file)
    if not read:
        raise FaultyInput(unread)
    steps = tuple(_filed(step, named) for step in read)
    faults = list(unread)
    sheet_step = _only(steps, UseSheet, file, faults, "sheet NAME")
    blades_step = _only(steps, UseBlades, file, faults, "blades NAME")
    sheet = _looked_up(sheet_step, shelf.sheet, faults, file)
    blades = _looked_up(blades_step, shelf.blades, faults, file)
    if sheet is not None:
        steps = tuple(replace(step, deed=_spelled(step.deed, sheet)) for step in steps)
        faults += _unknown_names(steps, sheet, file)
    if blades is not None:
        faults += _inches_meant(steps, blades, file)
    if sheet is None or blades is None or blades_step is None or faults:
        raise FaultyInput(_in_order(faults, file))
    days = [s.deed.day for s in steps if isinstance(s.deed, OnDay)]
    return Script(
        steps=steps,
        sheet=sheet,
        blades_key=_named(blades_step),
        blades=blades,
        day=days[-1] if days else None,
        dated=bool(days),
        file=PurePath(file).name,
        fewest=any(isinstance(s.deed, ByStops) and s.deed.fewest for s in steps),
    )


class Player:
    """Plays a script; after each step ``bench`` stands as the session does (None: not opened).

    ``begin`` opens a session with the circumstances that the header told. ``check`` raises Refusal
    for a decision rule that such a session may not have; without it every rule may be asked for.
    """

    def __init__(
        self,
        script: Script,
        begin: Callable[[Particulars, DecisionRule], Bench],
        check: Callable[[Particulars, DecisionRule], None] | None = None,
    ) -> None:
        self._script, self._begin, self._check = script, begin, check
        self.bench: Bench | None = None

    def play(self) -> Iterator[Played]:
        """Each step in turn. Header lines are gathered until the first step at the bench."""
        header = Particulars()
        rule = self._script.sheet.clearances.rule or DecisionRule.PLAIN
        for step in self._script.steps:
            deed = step.deed
            refused: Refusal | None = None
            if self.bench is None and isinstance(deed, ParticularsEntered):
                header = header.updated(deed.particulars)
            elif self.bench is None and isinstance(deed, RuleChosen):
                # A rule that cannot be had costs its own line only: readings are always recorded.
                refused = self._refused_rule(deed.rule)
                rule = rule if refused is not None else deed.rule
            elif not isinstance(deed, UseSheet | UseBlades | OnDay | ByStops):
                try:
                    if self.bench is None:
                        self.bench = self._begin(header, rule)
                    self.bench.do(command_of(deed, self._script.blades))
                except Refusal as refusal:
                    refused = refusal
            yield Played(step, valve_of_deed(deed), refused)

    def _refused_rule(self, rule: DecisionRule) -> Refusal | None:
        """Why a session with the whole of this header may not go by this rule."""
        if self._check is None:
            return None
        header = Particulars()
        for step in self._script.steps:
            if isinstance(step.deed, ParticularsEntered):
                header = header.updated(step.deed.particulars)
            elif not isinstance(step.deed, UseSheet | UseBlades | OnDay | ByStops | RuleChosen):
                break
        try:
            self._check(header, rule)
        except Refusal as refusal:
            return refusal
        return None


def command_of(deed: Deed, blades: BladeSet) -> Command:
    """The command that a line asks for, its blades taken from the set (or borrowed)."""
    match deed:
        case TryBlades(valve, marks, answer, forced, whole):
            kind = WholePlayRead if whole else ReadingTaken
            return kind(valve, blades.feeler(*marks), answer, forced)
        case SpotBlades(valve, marks, answer):
            return CheckSpot(valve, blades.feeler(*marks), answer)
        case SetOnMarks(valve, marks):
            return ScrewSetOn(valve, blades.feeler(*marks))
        case StrikeBlades(valve, marks, whole, measured):
            feeler = None if marks is None else blades.feeler(*marks)
            return StrikeReading(valve, feeler, whole, measured)
        case UseSheet() | UseBlades() | OnDay() | ByStops():
            raise TypeError(f"{deed} is told before the bench, not at it")
        case _:
            return deed


def deed_at(line: str, sheet: Sheet) -> Deed:
    """What one line said at this engine asks for; its valves as the sheet spells them.

    Raises:
        FaultyQuantity: it cannot be read.
        FaultyInput: the engine has no such valve or cylinder.
    """
    deed = _spelled(deed_of(line), sheet)
    faults = _unknown_names((ScriptLine(0, line, deed),), sheet, "")
    if faults:
        raise FaultyInput(tuple(replace(fault, line=None, key="") for fault in faults))
    return deed


def valve_of_deed(deed: Deed) -> str | None:
    """The valve that a line is about."""
    if isinstance(deed, ReadingsMoved):
        return deed.to
    return getattr(deed, "valve", None) or None


def _in_order(faults: list[Fault], file: str) -> tuple[Fault, ...]:
    """By their lines, what the whole lacks first; of very many the first, and that there are more."""
    more = too_many(file)
    found = sorted((f for f in faults if f != more), key=lambda f: f.line or 0)
    cut = more in faults or len(found) > MOST_FAULTS
    return (*found[:MOST_FAULTS], *((more,) if cut else ()))


def _filed(step: ScriptLine, named: Callable[[Named], Named] | None) -> ScriptLine:
    if named is None or not isinstance(step.deed, Named):
        return step
    return replace(step, deed=named(step.deed))


def _spelled(deed: Deed, sheet: Sheet) -> Deed:
    """The same with valves and cylinders as the sheet spells them, where only one can be meant."""
    valves = [v.name for v in sheet.layout.valves]
    cylinders = [c.name for c in sheet.layout.cylinders]
    changed: dict[str, str | tuple[str, ...]] = {}
    for field, known in (("valve", valves), ("to", valves), ("cylinder", cylinders)):
        told = getattr(deed, field, None)
        if isinstance(told, str) and told:
            changed[field] = meant(told, known) or told
    if isinstance(deed, SignSeen):
        changed["valves"] = tuple(meant(v, valves) or v for v in deed.valves)
    return replace(deed, **changed) if changed else deed  # type: ignore[arg-type]  # its own fields


def _named(step: ScriptLine) -> str:
    if not isinstance(step.deed, Named):
        raise TypeError(f"line {step.line} names nothing")
    return step.deed.name


def _only(
    steps: tuple[ScriptLine, ...], kind: type[Named], file: str, faults: list[Fault], wanted: str
) -> ScriptLine | None:
    """The one line of this kind; none, or a second one, is a fault."""
    found = [s for s in steps if isinstance(s.deed, kind)]
    if not found and any(f.key == wanted.split(maxsplit=1)[0] for f in faults):
        return None  # it is there, and cannot be read
    if not found:
        faults.append(Fault(file, None, "", "no such line", f"a line: {wanted}"))
        return None
    faults += [
        Fault(file, s.line, s.text, "a second one", f"one line: {wanted}") for s in found[1:]
    ]
    return found[0]


def _looked_up(
    step: ScriptLine | None, look_up: Callable[[str], T], faults: list[Fault], file: str
) -> T | None:
    if step is None:
        return None
    try:
        return look_up(_named(step))
    except FaultyInput as error:
        first = error.faults[0]
        if first.line is None and first.key == "":
            faults.append(Fault(file, step.line, step.text, first.found, first.wanted))
        else:
            faults += error.faults
        return None


def _inches_meant(steps: tuple[ScriptLine, ...], blades: BladeSet, file: str) -> list[Fault]:
    """Bare figures that are no leaf of the set in millimetres but one in inches: never guessed at."""
    faults = []
    for step in steps:
        deed, words = step.deed, step.text.replace("+", " ").split()
        if (
            not isinstance(deed, TryBlades | SetOnMarks | SpotBlades | StrikeBlades)
            or "mm" in words
        ):
            continue
        for mark in deed.marks or ():
            inches = length(Length(round(mark.nm * _INCH)), "in")
            as_inches = any(leaf.marked.nm == mark.nm * _INCH for leaf in blades.leaves)
            if as_inches and not any(leaf.marked == mark for leaf in blades.leaves):
                wanted = f"its unit: {inches}, which is a leaf of {blades.name}, or {length(mark)}"
                faults.append(Fault(file, step.line, step.text, repr(bare(mark)), wanted))
    return faults


_INCH = Fraction(254, 10)


def _unknown_names(steps: tuple[ScriptLine, ...], sheet: Sheet, file: str) -> list[Fault]:
    """Valves and cylinders that the engine has not got."""
    valves = [v.name for v in sheet.layout.valves]
    cylinders = [c.name for c in sheet.layout.cylinders]
    faults = []
    for step in steps:
        deed = step.deed
        names = {getattr(deed, "valve", "") or "", getattr(deed, "to", "") or ""} - {""}
        names |= set(deed.valves) if isinstance(deed, SignSeen) else set()
        wrong = [(n, "a valve", valves) for n in sorted(names) if n not in valves]
        if isinstance(deed, ConfirmPosition | PositionDoubted | SignSeen):
            unknown = deed.cylinder not in cylinders
            wrong += [(deed.cylinder, "a cylinder", cylinders)] if unknown else []
        for name, what, known in wrong:
            wanted = or_meant(f"{what} of {sheet.name}: {', '.join(known)}", name, known)
            faults.append(Fault(file, step.line, step.text, repr(name), wanted))
    return faults
