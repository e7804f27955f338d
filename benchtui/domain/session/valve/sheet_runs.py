"""The turns of a session that were gauged before and after, and those carried into the next one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol

from benchtui.domain.adjusting.screw_fit import ScrewRun, ScrewStep
from benchtui.domain.adjusting.turns import FULL_TURN, closing_way, gap_per_turn
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.evidence.counting import gap_of, gauged, measured_in
from benchtui.domain.session.facts.events import ScrewTurned
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.sheet import Adjuster, AdjusterKind, Rotation

PAST_RUNS = 40
"""So many of the latest valves that were turned are carried into a new session."""

TELLING = Length.um(20)
"""Turns that should move the gap by less tell nothing that the hand's error does not hide."""


@dataclass(frozen=True, slots=True)
class Thread:
    """What the sheet said of the adjuster when turns were made by it."""

    kind: AdjusterKind
    pitch: Length
    lever: Fraction
    closes: Rotation
    left_hand: bool


def thread_of(adjuster: Adjuster) -> Thread | None:
    """What turns are judged by; None where none can be worked out."""
    if not adjuster.threaded or adjuster.pitch is None:
        return None
    return Thread(
        adjuster.kind, adjuster.pitch, adjuster.lever, adjuster.closes, adjuster.left_hand
    )


class Kept(Protocol):
    """What a session's record keeps of its turns."""

    @property
    def counts(self) -> bool:
        """Whether it says anything of the engine: neither practice nor set aside."""

    @property
    def thread(self) -> Thread | None:
        """What they were judged by."""

    @property
    def runs(self) -> tuple[ScrewRun, ...]:
        """The turns, valve by valve."""


def carried(records: Iterable[Kept], adjuster: Adjuster) -> tuple[ScrewRun, ...]:
    """The latest turns of these records (oldest first) that were made by the sheet as it is now.

    Those of partial sessions count, those of practice, and those set aside, do not. A session that
    lies there twice, as a copy, counts once.
    """
    thread = thread_of(adjuster)
    if thread is None:
        return ()
    by_session: dict[str, tuple[ScrewRun, ...]] = {}
    for record in records:
        if record.runs and record.thread == thread and record.counts:
            session = record.runs[0].session
            by_session[session] = max(by_session.get(session, ()), record.runs, key=len)
    return latest(run for runs in by_session.values() for run in runs)


def latest(runs: Iterable[ScrewRun]) -> tuple[ScrewRun, ...]:
    """The last ``PAST_RUNS`` of them."""
    return tuple(runs)[-PAST_RUNS:]


def runs_seen(state: State) -> tuple[ScrewRun, ...]:
    """What was turned and read at each valve of this session, in the order it was last read."""
    if thread_of(state.opened.sheet.adjuster) is None:
        return ()
    found = [pair for name in state.valves for pair in _of_valve(state, name)]
    return tuple(run for _, run in sorted(found, key=lambda pair: pair[0]))


@dataclass(slots=True)
class _Since:
    """What was done at a valve since the bracket before."""

    made: list[ScrewTurned] = field(default_factory=list)
    slackened: int = 0
    tightened: int = 0


def _of_valve(state: State, name: str) -> Iterator[tuple[int, ScrewRun]]:
    """With the number of the last event that it was read by.

    A pad test parts a valve in two, and so does a screw set on a blade.
    """
    opened = state.opened
    start: Bracket | None = None
    steps: list[ScrewStep] = []
    since, slack, number = _Since(), False, 0
    for stage in state.valves[name].stages:
        # How far it went to zero, or to the blade held in, nobody knows.
        if stage.backed_off is not None or stage.held is not None:
            if start is not None and (told := _telling(steps, opened.sheet.adjuster)):
                yield number, ScrewRun(opened.session, name, start, told)
            start, steps = None, []
        if stage.kind is StageKind.TURNED:
            since.slackened += not slack
            slack = True
        elif stage.kind is StageKind.LOCKED:
            since.tightened += slack
            slack = False
        since.made += stage.turns
        read = gap_of(stage)
        if not gauged(stage) or read.clash:
            continue
        if start is not None:
            net = _opening(since.made, opened.sheet.adjuster)
            steps.append(ScrewStep(net, len(since.made), since.slackened, since.tightened, read))
        elif read.high is not None and read.low > ZERO:
            start = read
        measured = measured_in(stage)
        numbers = [t.reading.number for t in stage.counting]
        number = max([*numbers, *([] if measured is None else [measured.number])])
        since = _Since()
    if start is not None and (told := _telling(steps, opened.sheet.adjuster)):
        yield number, ScrewRun(opened.session, name, start, told)


def _telling(steps: Sequence[ScrewStep], adjuster: Adjuster) -> tuple[ScrewStep, ...]:
    """As far as the first locking after the last turn that tells anything.

    What is left out goes by what was ordered alone, never by what was read.
    """
    turns = [k for k, s in enumerate(steps) if _should_move(s, adjuster) >= TELLING.nm]
    if not turns:
        return ()
    end = next((k for k in range(turns[-1], len(steps)) if steps[k].tightened), len(steps) - 1)
    return tuple(steps[: end + 1])


def _should_move(step: ScrewStep, adjuster: Adjuster) -> Fraction:
    return abs(step.degrees) * gap_per_turn(adjuster) / FULL_TURN


def _opening(made: Iterable[ScrewTurned], adjuster: Adjuster) -> Fraction:
    closing = closing_way(adjuster)
    return sum((-t.degrees if t.way is closing else t.degrees for t in made), Fraction(0))
