"""A whole session played through the bench, step by step as a careful mechanic would.

The player sees what a person sees: the advice, the verdicts, the turns, and what the metal answers.
What is true goes into the log only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from benchtui.bench import Bench, KeepsEvents
from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.blades import Feeler
from benchtui.domain.crank.plan import Stop
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.next_blade import HALVES
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.evidence.counting import no_slack
from benchtui.domain.session.facts.commands import (
    CloseSession,
    ConfirmPosition,
    DoubtPosition,
    LockNut,
    SeeSign,
    StrikeReading,
    TakeReading,
    TurnCrank,
    TurnScrew,
)
from benchtui.domain.session.facts.events import Evidence, LookedOver, Opened, Sign, WayChosen
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import StopAndLook, TryBlade
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.whole.next_stop import evidence_for, plan_of, stops_ahead
from benchtui.domain.sheet import Band
from benchtui.practice.metal import Metal
from benchtui.store.clock import Clock, clock_from
from benchtui.store.journal import MemoryJournal
from tests.asking import advise

MOST_STEPS = 60
"""At one valve; whoever has not come to an end by then gives up."""

MOST_TURNS = 6

Choice = Callable[[State, ValveView], Feeler | None]
"""Which blade to try next, None for none: the bench's advice, or a rival's way."""

Aim = Callable[[ValveView], Turn | None]
"""How far to turn: as the bench says, or otherwise."""


def by_the_bench(state: State, view: ValveView) -> Feeler | None:
    """The blade that the bench advises."""
    advice = advise(state, view)
    return advice.feeler if isinstance(advice, TryBlade) else None


def as_told(view: ValveView) -> Turn | None:
    """The turn that the bench shows."""
    return view.turn


@dataclass(slots=True)
class Said:
    """A verdict that ended a stage: what was said, and what was true (nanometres)."""

    kind: VerdictKind
    proved: bool
    at_limit: bool
    gap: int
    band: Band

    @property
    def truly_in(self) -> bool:
        """Whether the true clearance is in range."""
        return self.band.low.nm <= self.gap <= self.band.high.nm


@dataclass(slots=True)
class ValveLog:
    """One valve: ``insertions`` and ``halves`` (their cost in half insertions) while it was found.

    ``between`` counts readings with the nut slack. ``locks`` are the true clearances right after
    each locking. ``held`` and ``missed`` count widened brackets that held, or did not hold, the
    truth; ``worst_miss`` is by how much, in nanometres.
    """

    name: str
    band: Band
    insertions: int = 0
    halves: int = 0
    all_insertions: int = 0
    between: int = 0
    settled: bool = False
    done: bool = False
    said: list[Said] = field(default_factory=list)
    locks: list[int] = field(default_factory=list)
    held: int = 0
    missed: int = 0
    worst_miss: int = 0
    struck: int = 0

    @property
    def first_lock_in(self) -> bool | None:
        """Whether it was in range after the first locking; None if it was never locked."""
        if not self.locks:
            return None
        return self.band.low.nm <= self.locks[0] <= self.band.high.nm


@dataclass(frozen=True, slots=True)
class Played:
    """A session played to its end."""

    bench: Bench
    valves: tuple[ValveLog, ...]
    overlaps: int
    overlaps_seen: int


class Player:
    """Plays one session."""

    def __init__(self, bench: Bench, metal: Metal, choose: Choice, aim: Aim) -> None:
        self.bench, self.metal = bench, metal
        self.choose, self.aim = choose, aim
        self.overlaps = self.overlaps_seen = 0

    def play(self) -> Played:
        """Stop by stop as the session plans them, then close."""
        logs: dict[str, ValveLog] = {}
        self.bench.do(WayChosen(by_blade=False))
        for stop in plan_of(self.bench.state).stops:
            self._stand(stop)
            for name in stop.valves:
                if name not in logs:
                    logs[name] = self._valve(name, stop)
        self.bench.do(CloseSession())
        return Played(self.bench, tuple(logs.values()), self.overlaps, self.overlaps_seen)

    def _stand(self, stop: Stop) -> None:
        """Bring the crank there and say what shows it; at compression it may be one turn out."""
        if stop.angle == 0:
            self.metal.stand()
            self.overlaps += self.metal.one_turn_out
            shown = (Evidence.MARK, Evidence.SLACK)
        else:
            here = next(a for a in stops_ahead(self.bench.state) if a.stop == stop)
            if here.forward:
                self.bench.do(TurnCrank(here.forward))
            shown = (Evidence.MARK, evidence_for(self.bench.state, stop)[-1])
        self.bench.do(ConfirmPosition(stop.cylinder, shown, stop.angle))

    def _valve(self, name: str, stop: Stop) -> ValveLog:
        view = self.bench.look(name)
        if view.setting is None:
            raise ValueError(f"{name}: a rehearsal wants a range, or the owner's band on the sheet")
        log = ValveLog(name, view.setting.band)
        for _ in range(MOST_STEPS):
            view = self.bench.look(name)
            if no_slack(self.bench.state, name):
                self._check_stroke(stop)
                continue
            if view.verdict.kind is VerdictKind.CONTRADICTION:
                self._strike(view, log)
                continue
            if isinstance(next_step(self.bench.state, name), StopAndLook):
                self.bench.do(LookedOver(name))
                continue
            feeler = self.choose(self.bench.state, view)
            if feeler is not None:
                self._try(name, feeler, view, log)
            elif view.slack_nut:
                if not self._correct(view, log):
                    self.bench.do(LockNut(name))
                    self.metal.lock(name)
                    log.locks.append(self.metal.gaps[name])
            else:
                self._note(view, log)
                if not self._set(view, log):
                    break
        log.done = self.bench.look(name).done
        return log

    def _check_stroke(self, stop: Stop) -> None:
        """Not even the thinnest goes: overlap, or the clearance is gone. Turn on and watch."""
        cylinder = stop.cylinder
        if self.metal.turn_on():
            self.overlaps_seen += 1
            self.bench.do(DoubtPosition(cylinder))
            self._strike_all(stop)
            self.bench.do(ConfirmPosition(cylinder, (Evidence.MARK, Evidence.INLET)))
        else:
            self.bench.do(SeeSign(cylinder, Sign.STAYS))
            self.bench.do(ConfirmPosition(cylinder, (Evidence.MARK, Evidence.STILL)))

    def _strike_all(self, stop: Stop) -> None:
        """What was read at overlap tells nothing."""
        for name in stop.valves:
            for taken in self.bench.look(name).readings:
                if taken.place is None:
                    self.bench.do(StrikeReading(name, taken.reading.feeler))

    def _strike(self, view: ValveView, log: ValveLog) -> None:
        for reading in view.verdict.heals[0]:
            self.bench.do(StrikeReading(view.valve.name, reading.feeler))
            log.struck += 1

    def _try(self, name: str, feeler: Feeler, view: ValveView, log: ValveLog) -> None:
        answer = self.metal.feel(name, feeler)
        self.bench.do(TakeReading(name, feeler, answer))
        log.all_insertions += 1
        if view.stage is StageKind.FOUND:
            log.insertions += 1
            log.halves += HALVES[len(feeler.leaves)]
        elif view.slack_nut:
            log.between += 1
        if not self.metal.one_turn_out:
            miss = _miss(self.bench.look(name).bracket, self.metal.gaps[name])
            log.held += miss == 0
            log.missed += miss > 0
            log.worst_miss = max(log.worst_miss, miss)

    def _note(self, view: ValveView, log: ValveLog) -> None:
        verdict = view.verdict
        if view.stage is StageKind.FOUND:
            log.settled = verdict.kind.settled
        gap = self.metal.gaps[view.valve.name]
        at_limit = verdict.at_limit is not None
        log.said.append(Said(verdict.kind, verdict.proved, at_limit, gap, log.band))

    def _set(self, view: ValveView, log: ValveLog) -> bool:
        """Turn as the bench says; False where there is nothing (more) to turn."""
        turn = self.aim(view) if view.turn is not None else None
        if turn is None or turn.degrees <= 0 or len(log.locks) >= MOST_TURNS:
            return False
        return self._turn(view.valve.name, turn)

    def _correct(self, view: ValveView, log: ValveLog) -> bool:
        """With the nut slack: turn once more where what was read says so."""
        if not view.readings or log.between > MOST_TURNS:
            return False
        turn = self.aim(view) if view.turn is not None else None
        return turn is not None and turn.degrees > 0 and self._turn(view.valve.name, turn)

    def _turn(self, name: str, turn: Turn) -> bool:
        try:
            self.bench.do(TurnScrew(name, turn.way, turn.degrees))
        except Refusal:
            return False
        self.metal.turn(name, turn.way, turn.degrees)
        return True


def _miss(bracket: Bracket, gap: int) -> int:
    """By how many nanometres the widened bracket misses the truth."""
    over = 0 if bracket.wide_high is None else gap - bracket.wide_high.nm
    return max(0, bracket.wide_low.nm - gap, over)


def play(
    opened: Opened,
    metal: Metal,
    *,
    choose: Choice = by_the_bench,
    aim: Aim = as_told,
    journal: KeepsEvents | None = None,
    clock: Clock | None = None,
) -> Played:
    """Play one session from its opening to its close."""
    bench = Bench.open(
        MemoryJournal() if journal is None else journal,
        clock_from(date(2026, 1, 5)) if clock is None else clock,
        opened,
    )
    return Player(bench, metal, choose, aim).play()
