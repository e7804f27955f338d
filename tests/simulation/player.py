"""A whole session played through the bench, step by step as a careful mechanic would.

The player does what ``next_step`` says and sees what a person sees. What is true goes into the log only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from benchtui.bench import Bench, KeepsEvents
from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.blades import Feeler
from benchtui.domain.crank.plan import Stop
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.next_blade import HALVES
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.commands import CloseSession, ConfirmPosition, StrikeReading
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import (
    ConfirmCrank,
    LockIt,
    LookPast,
    NextStep,
    SetOnBlade,
    Settle,
    StopAndLook,
    TryBlade,
    TurnBy,
)
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.turning import turning
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

Aim = Callable[[State, ValveView], Turn | None]
"""How far to turn: as the bench says, or otherwise."""


def by_the_bench(state: State, view: ValveView) -> Feeler | None:
    """The blade that the bench advises."""
    advice = advise(state, view)
    return advice.feeler if isinstance(advice, TryBlade) else None


def as_told(state: State, view: ValveView) -> Turn | None:
    """The turn that the bench shows."""
    return turning(state, view).turn


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

    def __init__(
        self, bench: Bench, metal: Metal, choose: Choice, aim: Aim, *, by_blade: bool = False
    ) -> None:
        self.bench, self.metal = bench, metal
        self.choose, self.aim, self.by_blade = choose, aim, by_blade
        self.overlaps = self.overlaps_seen = 0

    def play(self) -> Played:
        """Stop by stop as the session plans them, then close."""
        logs: dict[str, ValveLog] = {}
        self.bench.do(facts.WayChosen(by_blade=self.by_blade))
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
            shown = (facts.Evidence.MARK, facts.Evidence.SLACK)
        else:
            here = next(a for a in stops_ahead(self.bench.state) if a.stop == stop)
            if here.forward:
                self.bench.do(facts.CrankTurned(here.forward))
            shown = (facts.Evidence.MARK, evidence_for(self.bench.state, stop)[-1])
        self.bench.do(ConfirmPosition(stop.cylinder, shown, stop.angle))

    def _valve(self, name: str, stop: Stop) -> ValveLog:
        view = self.bench.look(name)
        if view.setting is None:
            raise ValueError(f"{name}: a rehearsal wants a range, or the owner's band on the sheet")
        log = ValveLog(name, view.setting.band)
        for _ in range(MOST_STEPS):
            if not self._follow(next_step(self.bench.state, name), name, stop, log):
                break
        log.done = self.bench.look(name).done
        return log

    def _follow(self, step: NextStep, name: str, stop: Stop, log: ValveLog) -> bool:
        """Do what the next step says; False where it leads away from this valve."""
        view = self.bench.look(name)
        match step:
            case LookPast() | ConfirmCrank():
                self._check_stroke(stop)
            case Settle():
                self._settle(step, view, log)
            case StopAndLook():
                self.bench.do(facts.LookedOver(name))
            case TryBlade():
                return self._blade(view, log)
            case TurnBy() | SetOnBlade():
                self._note(view, log)
                return len(log.locks) < MOST_TURNS and self._set(step, view)
            case LockIt(valve=slack) if slack is not None:
                self._lock(slack, log)
            case _ if view.slack_nut:  # no blade decides: as it stands
                self._lock(name, log)
            case _:  # the next valve, the closing, a borrowed blade, a shim: no more to do here
                self._note(view, log)
                return False
        return True

    def _blade(self, view: ValveView, log: ValveLog) -> bool:
        """Try what the bench, or a rival, chooses; who wants none locks, or leaves the valve."""
        name = view.valve.name
        feeler = self.choose(self.bench.state, view)
        if feeler is not None:
            self._try(name, feeler, view, log)
            return True
        if view.slack_nut:
            self._lock(name, log)
            return True
        self._note(view, log)
        state = self.bench.state
        turn = self.aim(state, view) if turning(state, view).turn is not None else None
        return turn is not None and len(log.locks) < MOST_TURNS and self._turn(name, turn)

    def _lock(self, name: str, log: ValveLog) -> None:
        self.bench.do(facts.Locked(name))
        self.metal.lock(name)
        if name == log.name:
            log.locks.append(self.metal.gaps[name])

    def _settle(self, step: Settle, view: ValveView, log: ValveLog) -> None:
        """One against one: the doubted blade again; two against two: all of them struck."""
        if step.clash.how is Settling.TRY_AGAIN:
            self._try(view.valve.name, step.clash.doubted.feeler, view, log)
            return
        for taken in view.readings:
            self.bench.do(StrikeReading(view.valve.name, taken.reading.feeler))
            log.struck += 1

    def _check_stroke(self, stop: Stop) -> None:
        """Not even the thinnest goes: overlap, or the clearance is gone. Turn on and watch."""
        cylinder = stop.cylinder
        if self.metal.turn_on():
            self.overlaps_seen += 1
            self.bench.do(facts.PositionDoubted(cylinder))
            self._strike_all(stop)
            self.bench.do(ConfirmPosition(cylinder, (facts.Evidence.MARK, facts.Evidence.INLET)))
        else:
            self.bench.do(facts.SignSeen(cylinder, facts.Sign.STAYS))
            self.bench.do(ConfirmPosition(cylinder, (facts.Evidence.MARK, facts.Evidence.STILL)))

    def _strike_all(self, stop: Stop) -> None:
        """What was read at overlap tells nothing."""
        for name in stop.valves:
            for taken in self.bench.look(name).readings:
                if taken.place is None:
                    self.bench.do(StrikeReading(name, taken.reading.feeler))

    def _try(self, name: str, feeler: Feeler, view: ValveView, log: ValveLog) -> None:
        answer = self.metal.feel(name, feeler)
        self.bench.do(facts.ReadingTaken(name, feeler, answer))
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

    def _set(self, step: TurnBy | SetOnBlade, view: ValveView) -> bool:
        """As the step says; by degrees as far as ``aim`` has it. False where nothing is turned."""
        name = view.valve.name
        if isinstance(step, SetOnBlade):
            self.bench.do(facts.ScrewSetOn(name, step.feeler))
            self.metal.set_on(name, step.feeler)
            return True
        turn = step.turn if self.aim is as_told else self.aim(self.bench.state, view)
        return turn is not None and turn.degrees > 0 and self._turn(name, turn)

    def _turn(self, name: str, turn: Turn) -> bool:
        try:
            self.bench.do(facts.ScrewTurned(name, turn.way, turn.degrees))
        except Refusal:
            return False
        self.metal.turn(name, turn.way, turn.degrees)
        return True


def _miss(bracket: Bracket, gap: int) -> int:
    """By how many nanometres the widened bracket misses the truth."""
    over = 0 if bracket.wide_high is None else gap - bracket.wide_high.nm
    return max(0, bracket.wide_low.nm - gap, over)


def play(
    opened: facts.Opened,
    metal: Metal,
    *,
    choose: Choice = by_the_bench,
    aim: Aim = as_told,
    by_blade: bool = False,
    journal: KeepsEvents | None = None,
    clock: Clock | None = None,
) -> Played:
    """Play one session from its opening to its close; ``by_blade``: set on a blade held in the gap."""
    bench = Bench.open(
        MemoryJournal() if journal is None else journal,
        clock_from(date(2026, 1, 5)) if clock is None else clock,
        opened,
    )
    return Player(bench, metal, choose, aim, by_blade=by_blade).play()
