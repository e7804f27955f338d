"""Engines whose valves have moved since they were set: what the blades cost, beside one who knows how far.

The truth is not drawn from what the bench expects: each kind has moved off together by so much of its
range, and each valve by itself about that.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from random import Random

from benchtui.bench import Bench
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.next_blade import HALVES, NextBlade, next_blade
from benchtui.domain.gauging.prior import Prior
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.counting import leading
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import (
    CrankTurned,
    Evidence,
    Opened,
    Particulars,
    ReadingTaken,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.next_blade import narrower
from benchtui.domain.sheet import Band, Cylinder, Layout, Sheet, Valve, ValveKind
from benchtui.practice.hand import STORY_HAND, UM, Hand
from benchtui.practice.metal import Metal, true_leaves
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from tests.engines import band
from tests.simulation.fleet import HUNDREDTHS, engine
from tests.simulation.player import MOST_STEPS, Choice
from tests.simulation.rivals import as_choice, limits_first_on, stepping_on

SOFT_HAND = Hand(drag_above=-8 * UM, free_above=6 * UM)
"""Draws a blade through a gap 8 um narrower than it."""

STIFF_HAND = Hand(drag_above=2 * UM, free_above=20 * UM)
"""Wants room for a blade to go, and feels a drag in a gap 20 um wider."""

DAY = date(2026, 1, 5)

HANDS = {"usual": STORY_HAND, "soft": SOFT_HAND, "stiff": STIFF_HAND}


@dataclass(frozen=True, slots=True)
class Moved:
    """How far inlets and exhausts lie off on the mean, and how valves scatter, in widths of the range."""

    what: str
    inlets: Fraction
    exhausts: Fraction
    scatter: float


WELL_KEPT = Moved("well kept", Fraction(0), Fraction(0), 0.3)
CLOSING = Moved("exhausts closing", Fraction(0), Fraction(-3, 5), 0.3)
NEGLECTED = Moved("neglected", Fraction(-1), Fraction(-2), 0.4)
OPENING = Moved("opening", Fraction(1, 2), Fraction(1), 0.4)
WAYS = (WELL_KEPT, CLOSING, NEGLECTED, OPENING)


def sixteen() -> Sheet:
    """Four cylinders with two inlets and two exhausts each."""
    sheet = engine("sixteen", 4, band("0.15", "0.20"), band("0.25", "0.30"))
    cylinders = tuple(
        Cylinder(
            c.name,
            c.firing,
            tuple(
                Valve(f"{c.name}{kind.value[0].upper()}-{side}", c.name, kind)
                for kind in ValveKind
                for side in ("left", "right")
            ),
        )
        for c in sheet.layout.cylinders
    )
    return replace(sheet, layout=Layout(cylinders))


def off(moved: Moved, kind: ValveKind, asked: Band) -> int:
    """How far valves of this kind have moved on the mean, in nanometres."""
    parts = moved.inlets if kind is ValveKind.INLET else moved.exhausts
    return round(parts * asked.width.nm)


def gaps_of(sheet: Sheet, moved: Moved, random: Random) -> dict[str, int]:
    """Normal about the moved middle; none below zero."""
    gaps = {}
    for valve in sheet.layout.valves:
        asked = sheet.clearances.of(valve)
        mean = asked.middle.nm + off(moved, valve.kind, asked)
        gaps[valve.name] = max(0, round(random.gauss(mean, moved.scatter * asked.width.nm)))
    return gaps


def oracle(moved: Moved) -> Choice:
    """Who knows how far each kind has moved and how its valves scatter, and plans the best by that."""

    def choose(state: State, view: ValveView) -> Feeler | None:
        if view.judged is None:
            return None
        asked = view.judged
        middle = asked.middle.nm + off(moved, view.valve.kind, asked)
        half = round(moved.scatter * asked.width.nm)
        low, high = (max(0, middle + side * half) for side in (-1, 1))
        # About two in three lie within one standard deviation of a normal spread.
        known = Prior(Length(low), Length(high), Fraction(2, 3), Length(max(1, half)))
        readings = leading(state, view.valve.name)
        advice = next_blade(
            view.bracket,
            state.opened.blades,
            asked,
            prior=known,
            window=asked.width,
            tried=frozenset(r.feeler for r in readings),
        )
        return advice.feeler if isinstance(advice, NextBlade) else None

    return choose


def by_plan(state: State, view: ValveView) -> Feeler | None:
    """The bench's own plan, until in or out is known and one turn would do."""
    advice = narrower(state, view)
    return advice.feeler if isinstance(advice, NextBlade) else None


@dataclass(slots=True)
class Gauged:
    """So many valves gauged as found: insertions, and their cost in halves."""

    valves: int = 0
    insertions: int = 0
    halves: int = 0
    undecided: int = 0
    false_in: int = 0
    false_proved: int = 0


def gauge(
    moved: Moved,
    hand: Hand,
    seed: int,
    choose: Choice = by_plan,
    *,
    sessions: int = 4,
    sheet: Sheet | None = None,
    blades: BladeSet = HUNDREDTHS,
) -> Gauged:
    """Every valve of so many engines, cylinder by cylinder, until one turn would do."""
    found, on = Gauged(), sheet or sixteen()
    for session in range(sessions):
        random = Random(f"{seed}/{moved.what}/{session}")
        gaps, leaves = gaps_of(on, moved, random), true_leaves(blades, random)
        metal = Metal(on, blades, hand, random, gaps=gaps, leaves=leaves)
        particulars = Particulars(metal_c=Fraction(20))
        opened = Opened("drifted", on, blades.name, blades, particulars)
        _gauge_one(opened, metal, choose, found)
    return found


def _gauge_one(opened: Opened, metal: Metal, choose: Choice, found: Gauged) -> None:
    bench = Bench.open(MemoryJournal(), clock_from(DAY), opened)
    at = Fraction(0)
    for cylinder in opened.sheet.layout.firing_order:
        if cylinder.firing > at:
            bench.do(CrankTurned(cylinder.firing - at))
            at = cylinder.firing
        bench.do(ConfirmPosition(cylinder.name, (Evidence.MARK, Evidence.INLET)))
        for valve in cylinder.valves:
            _gauge_valve(bench, metal, valve, choose, found)


def _gauge_valve(bench: Bench, metal: Metal, valve: Valve, choose: Choice, found: Gauged) -> None:
    view = bench.look(valve.name)
    for _ in range(MOST_STEPS):
        feeler = choose(bench.state, view)
        if feeler is None or _ended(view):
            break
        found.insertions += 1
        found.halves += HALVES[len(feeler.leaves)]
        answer = metal.feel(valve.name, feeler)
        bench.do(ReadingTaken(valve.name, feeler, answer))
        view = bench.look(valve.name)
    asked = bench.state.opened.sheet.clearances.of(valve)
    wrong = not asked.low.nm <= metal.gaps[valve.name] <= asked.high.nm
    found.valves += 1
    found.undecided += not view.verdict.kind.settled
    found.false_in += wrong and view.verdict.kind is VerdictKind.IN
    found.false_proved += wrong and view.verdict.proved


def _ended(view: ValveView) -> bool:
    """At a limit it is known what it is; what the turn wants beyond that is the same for all."""
    return view.verdict.kind is VerdictKind.CONTRADICTION or view.verdict.at_limit is not None


def loss(ours: Gauged, best: Gauged) -> float:
    """How much dearer than the one who knows, stacks weighed."""
    return ours.halves / best.halves - 1


RIVALS: dict[str, Choice] = {
    "limits first": as_choice(limits_first_on),
    "stepping": as_choice(stepping_on),
}

HEAD_DRIFTED = """ENGINES THAT HAVE MOVED: sixteen valves; insertions a valve until one turn would do,
stacks weighed; how much dearer than one who knows how far each kind moved. No truth is its prior.
  hand   engine             knows  bench          limits first    stepping      in but out, and proved"""


@dataclass(frozen=True, slots=True)
class Row:
    """One engine and hand: who knows, the bench, and the rivals."""

    what: str
    best: Gauged
    ours: Gauged
    rivals: tuple[Gauged, ...]

    @property
    def loss(self) -> float:
        """The bench's, to who knows."""
        return loss(self.ours, self.best)

    def __str__(self) -> str:
        cells = "  ".join(
            f"{g.halves / g.valves / 2:5.2f} {loss(g, self.best):+7.1%}"
            for g in (self.ours, *self.rivals)
        )
        wrong = f"{self.ours.false_in} and {self.ours.false_proved} of {self.ours.valves}"
        return f"{self.what:18}{self.best.halves / self.best.valves / 2:6.2f}  {cells}  {wrong}"


def drifted_row(moved: Moved, hand: Hand, seed: int, *, sessions: int) -> Row:
    """The bench, who knows, and the rivals on the same engines."""
    best = gauge(moved, hand, seed, oracle(moved), sessions=sessions)
    ours = gauge(moved, hand, seed, sessions=sessions)
    rivals = (gauge(moved, hand, seed, rival, sessions=sessions) for rival in RIVALS.values())
    return Row(moved.what, best, ours, tuple(rivals))
