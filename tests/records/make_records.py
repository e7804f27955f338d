"""Makes the frozen session files beside it; run once for each, never again over an old one.

A record, once made, is never changed: it stands for the files that people have on their disks. A new
kind of fact, or a new version of one, gets a new record under a new name.
"""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import (
    CloseSession,
    Command,
    ConfirmPosition,
    StrikeReading,
    Undo,
)
from benchtui.store.codec import encoded
from benchtui.store.journal import SUFFIX, MemoryJournal
from benchtui.store.library import library
from benchtui.store.paths import DataFolder

HERE = Path(__file__).parent
START = datetime(2026, 5, 4, 9, tzinfo=UTC)


def mm(value: str) -> Length:
    return Length.mm(value)


BLADES = BladeSet(
    "Record set",
    (
        Leaf(mm("0.15"), measured=mm("0.151"), error=Length.um(2)),
        Leaf(mm("0.20")),
        Leaf(mm("0.25")),
        Leaf(mm("0.35")),
        Leaf(Length.inch("0.0015")),
    ),
)
HAND = FeelBand(Length.um(-5), Length.um(-4), Length.um(9), Length.um(10))
MARK_SLACK = (facts.Evidence.MARK, facts.Evidence.SLACK)


def reading(valve: str, *blades: str, answer: Answer, forced: bool = False) -> Command:
    return facts.ReadingTaken(valve, BLADES.feeler(*(mm(b) for b in blades)), answer, forced)


SCREWS: tuple[Command, ...] = (
    facts.CautionAcknowledged("cold"),
    facts.ParticularsEntered(facts.Particulars(metal_c=Fraction(37, 2))),
    facts.RuleChosen(DecisionRule.PROVED),
    facts.BandChosen(mm("0.03")),
    facts.ItemCounted("rags", 3, inwards=True),
    ConfirmPosition("1", MARK_SLACK),
    reading("1E", "0.25", answer=Answer.REFUSES),
    reading("1E", "0.20", answer=Answer.FREE),
    StrikeReading("1E", BLADES.feeler(mm("0.20"))),
    facts.PositionDoubted("1"),
    StrikeReading("1E"),
    ConfirmPosition("1", (facts.Evidence.MARK, facts.Evidence.INLET, facts.Evidence.STILL)),
    reading("1I", "0.15", answer=Answer.DRAG),
    reading("1I", "0.20", "0.04", answer=Answer.REFUSES, forced=True),
    facts.ReadingsMoved("1I", "1E"),
    facts.ScrewTurned("1E", Way.OUT, Fraction(43, 2)),
    facts.Locked("1E"),
    Undo(),
    facts.Locked("1E"),
    facts.Noted("öl, \u201cwiped\u201d", "1E"),
    facts.TorqueDone("rocker cover bolts"),
    facts.Paused(),
    facts.Resumed(facts.Crank.UNSURE),
    facts.ItemCounted("rags", 2, inwards=False),
    CloseSession(),
)

SHIMS: tuple[Command, ...] = (
    ConfirmPosition("1", MARK_SLACK),
    facts.ShimFitted("1I-left", mm("2.80")),
    reading("1I-left", "0.15", answer=Answer.REFUSES),
    facts.ShimFitted("1I-left", mm("2.70")),
    reading("1I-left", "0.20", answer=Answer.FREE),
    reading("1I-left", "0.25", answer=Answer.REFUSES),
)


LATER: tuple[facts.Fact, ...] = (
    facts.SignSeen("1", facts.Sign.MOVES, ("1E",)),
    facts.SignSeen("1", facts.Sign.OPENS, ("1I",)),
    facts.CrankTurned(Fraction(45)),
    facts.WoundBack("1E", Fraction(181, 2)),
    facts.WholePlayRead("1E", BLADES.feeler(mm("0.20")), Answer.DRAG),
    facts.WholePlayRead("1E", BLADES.feeler(mm("0.25")), Answer.REFUSES, forced=True),
    *(facts.AfterStepDone(step) for step in facts.AfterStep),
    facts.SpotChecked("1E", BLADES.feeler(mm("0.25"), mm("0.05")), Answer.FREE, fits=True),
)
"""Facts that came later, as they are kept; whether a bench would decide them is not asked here."""

BY_FEEL: tuple[Command, ...] = (
    ConfirmPosition("1", MARK_SLACK),
    reading("1I", "0.15", answer=Answer.DRAG),
    reading("1I", "0.20", answer=Answer.REFUSES),
    facts.RepeatBegun("1I"),
    reading("1I", "0.20", answer=Answer.DRAG),
    facts.RepeatEnded("1I"),
    facts.RuleChosen(DecisionRule.FEEL),
)

SETTING: tuple[facts.Fact, ...] = (
    facts.WayChosen(by_blade=True),
    facts.LookedOver("1E"),
    facts.ScrewSetOn("1E", BLADES.feeler(mm("0.30"))),
    facts.Locked("1E", torqued=True),
    *(facts.CamsStepDone(step) for step in facts.CamsStep),
)

CORRECTIONS: tuple[facts.Fact, ...] = (
    facts.Closed(complete=False, missing=("1I: not measured",)),
    facts.Corrected("the year was mistyped", day=date(2026, 5, 3)),
    facts.Corrected(
        "a nought too many, and whose hand it was",
        particulars=facts.Particulars(
            Fraction(61_250), Fraction(1651), Fraction(21), "Asta", Fraction(8)
        ),
        sheet=library(DataFolder(HERE)).sheet("harbour-van"),
        ending=facts.Closed(complete=False, missing=("1I: not measured",)),
    ),
)

ASIDE: tuple[facts.Fact, ...] = (
    facts.Closed(complete=True),
    facts.SetAside("it was the other engine"),
)

SPARES: tuple[facts.Fact, ...] = (
    facts.SpareTold(mm("2.80")),
    facts.SpareTold(mm("2.75"), mm("2.74")),
)


MEASURED: tuple[facts.Fact, ...] = (
    facts.FigureChosen(),
    facts.PositionConfirmed(
        "1", Fraction(0), (facts.Evidence.MARK, facts.Evidence.SLACK), ("1I", "1E")
    ),
    facts.ClearanceMeasured("1I", mm("0.28")),
    facts.ClearanceMeasured("1E", mm("0.41"), mm("0.02")),
    facts.ReadingStruck(5),
)


def main() -> int:
    """Write the records that are not there yet."""
    make("screws-1", "harbour-van", SCREWS, fewest=True)
    make("shims-1", "ferry-tender", SHIMS, practice=True)
    make_of_facts("facts-2", LATER)
    make_of_facts("spares-4", SPARES)
    make_of_facts("setting-5", SETTING)
    make_of_facts("corrected-5", CORRECTIONS)
    make_of_facts("set-aside-6", ASIDE)
    make("chained-7", "harbour-van", SCREWS)  # the first whose lines vouch for those before them
    make_of_facts("measured-8", MEASURED)
    make("feel-3", "harbour-van", BY_FEEL, feel=HAND, drift=(Length.um(-9), Length.um(-4)))
    return 0


def make_of_facts(name: str, later: tuple[facts.Fact, ...]) -> None:
    path = HERE / f"{name}{SUFFIX}"
    if path.exists():
        print(f"{path.name} is frozen", file=sys.stderr)  # noqa: T201  # a script says what it does
        return
    sheet = library(DataFolder(HERE)).sheet("harbour-van")
    opened = facts.Opened(name, sheet, "record-set", BLADES, facts.Particulars())
    events = [facts.Event(n, START, fact) for n, fact in enumerate((opened, *later), start=1)]
    path.write_bytes(encoded(events))


def make(
    name: str,
    sheet: str,
    commands: tuple[Command, ...],
    *,
    fewest: bool = False,
    practice: bool = False,
    feel: FeelBand | None = None,
    drift: tuple[Length, Length] | tuple[None, None] = (None, None),
) -> None:
    path = HERE / f"{name}{SUFFIX}"
    if path.exists():
        print(f"{path.name} is frozen", file=sys.stderr)  # noqa: T201  # a script says what it does
        return
    ticks = iter(range(10_000))
    opened = facts.Opened(
        name,
        library(DataFolder(HERE)).sheet(sheet),
        "record-set",
        BLADES,
        facts.Particulars(Fraction(61_200), Fraction(3301, 2), Fraction(4), "M."),
        left_last=(
            facts.LeftLast("1I", mm("0.15"), mm("0.20"), *drift),
            facts.LeftLast("1E", mm("0.35"), None),
        ),
        past_shifts=(Shift(mm("-0.03"), mm("0.01")),),
        fewest=fewest,
        practice=practice,
        feel=feel,
    )
    bench = Bench.open(MemoryJournal(), lambda: START + timedelta(seconds=next(ticks)), opened)
    for command in commands:
        bench.do(command)
    path.write_bytes(encoded(bench.events))


if __name__ == "__main__":
    sys.exit(main())
