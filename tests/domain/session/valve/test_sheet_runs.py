from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.screw_check import Misfit
from benchtui.domain.adjusting.screw_fit import ScrewRun, ScrewStep
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Locked, ScrewTurned, WoundBack
from benchtui.domain.session.valve.doubts import doubts
from benchtui.domain.session.valve.sheet_check import doubted_at, pooled_finding
from benchtui.domain.session.valve.sheet_runs import (
    PAST_RUNS,
    Thread,
    carried,
    runs_seen,
    thread_of,
)
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.sheet import AdjusterKind, Rotation, ScrewEnd, Sheet


def turn(degrees: int, valve: str = "1E") -> ScrewTurned:
    return ScrewTurned(valve, Way.OUT if degrees > 0 else Way.IN, Fraction(abs(degrees)))


def test_a_run_says_what_was_done_between_two_brackets(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(turn(40), turn(-10))
    desk.read("1E", "0.10 refuses")
    desk.do(Locked("1E"))
    desk.read("1E", "0.06 free", "0.08 refuses")
    (run,) = runs_seen(desk.state)
    assert (run.valve, run.start.low, run.start.high) == ("1E", Length.um(50), Length.um(60))
    told = [(s.degrees, s.times, s.slackened, s.tightened) for s in run.steps]
    assert told == [(Fraction(30), 2, 1, 0), (Fraction(0), 0, 0, 1)]
    assert [(s.read.low, s.read.high) for s in run.steps] == [
        (Length(0), Length.um(100)),
        (Length.um(60), Length.um(80)),
    ]
    kept = record_of(desk.state)
    assert kept.runs == (run,)
    assert kept.thread == thread_of(desk.state.opened.sheet.adjuster)


def test_small_turns_at_the_end_are_left_out(desk: Any) -> None:
    """Geometry: 5 degrees of this thread are 0.01 mm, no more than a hand may be out."""
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(turn(5), Locked("1E"))
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert runs_seen(desk.state) == ()
    desk.do(turn(30), Locked("1E"))
    desk.read("1E", "0.10 free", "0.12 refuses")
    assert [len(r.steps) for r in runs_seen(desk.state)] == [2]
    desk.do(turn(5), Locked("1E"))
    desk.read("1E", "0.10 free", "0.12 refuses")
    assert [len(r.steps) for r in runs_seen(desk.state)] == [2]


def test_a_pad_test_parts_a_run(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(turn(30))
    desk.read("1E", "0.10 free", "0.12 refuses")
    desk.do(WoundBack("1E", Fraction(72)))
    desk.read("1E", "0.15 free", "0.20 refuses")
    desk.do(turn(-24))
    desk.read("1E", "0.09 free", "0.12 refuses")
    assert [r.start.low for r in runs_seen(desk.state)] == [Length.um(50), Length.um(150)]


def test_a_valve_that_was_never_closed_in_tells_nothing(desk: Any) -> None:
    desk.read("1E", "0.05 free")
    desk.do(turn(30))
    desk.read("1E", "0.10 free", "0.12 refuses")
    assert runs_seen(desk.state) == ()


@dataclass(frozen=True)
class Kept:
    thread: Thread | None
    runs: tuple[ScrewRun, ...]
    counts: bool = True


def run(session: str, valve: str, before: int, seen: int) -> ScrewRun:
    """From ``before`` to 0.11 mm by the sheet; the blades saw the gap move ``seen``, all in um."""

    def around(gap: int) -> Bracket:
        ends = gap - 5, gap + 5, gap - 8, gap + 8
        return Bracket(*(Length.um(n) for n in ends))

    degrees = Fraction(110 - before) * 360 / 750
    return ScrewRun(
        session, valve, around(before), (ScrewStep(degrees, 1, 1, 1, around(before + seen)),)
    )


def test_what_is_carried(make_twin: Callable[..., Sheet]) -> None:
    adjuster = make_twin().adjuster
    thread = thread_of(adjuster)
    assert thread is not None
    first = tuple(run("a", f"v{k}", 60, 50) for k in range(8))
    rest = [
        Kept(thread, tuple(run(s, f"v{k}", 60, 50) for k in range(8))) for s in ("b", "c", "d", "e")
    ]
    assert carried([Kept(thread, first)], adjuster) == first
    copied = [Kept(thread, first[:3]), Kept(thread, first), Kept(thread, first[:5])]
    assert carried(copied, adjuster) == first
    assert carried([Kept(thread, first, counts=False)], adjuster) == ()
    many = [Kept(thread, (run("0", "v", 60, 50),)), Kept(thread, first), *rest]
    latest = carried(many, adjuster)
    assert (len(latest), latest[0].session, latest[-1].session) == (PAST_RUNS, "a", "e")


@pytest.mark.parametrize(
    "change",
    [
        {"kind": AdjusterKind.PILLAR_NUT},
        {"pitch": Length.mm("1.0")},
        {"at": ScrewEnd.PUSHROD, "ratio": Fraction(3, 2)},
        {"closes": Rotation.ANTICLOCKWISE},
        {"left_hand": True},
    ],
)
def test_turns_by_another_sheet_do_not_count(
    make_twin: Callable[..., Sheet], change: dict[str, Any]
) -> None:
    adjuster = make_twin().adjuster
    kept = Kept(thread_of(adjuster), (run("a", "1E", 60, 50),))
    assert carried([kept], adjuster) == kept.runs
    assert carried([kept], replace(adjuster, **change)) == ()


def test_an_adjuster_that_is_not_turned_keeps_nothing(make_twin: Callable[..., Sheet]) -> None:
    shims = make_twin(AdjusterKind.SHIM).adjuster
    assert thread_of(shims) is None
    assert carried([Kept(None, (run("a", "1E", 60, 50),))], shims) == ()


PAST = tuple(
    run(session, f"v{k}", before, round(1.5 * (110 - before)) - 15)
    for session in ("a", "b")
    for k, before in enumerate((40, 190, 60, 230))
)
"""Geometry: a ratio of 1.5 that the sheet forgot, and 15 um that the nut takes each time."""


def test_past_turns_are_said_once_before_the_first_turn(desk: Any) -> None:
    taught = _taught(desk, PAST)
    view = taught.read("1E", "0.05 free", "0.06 refuses")
    finding = pooled_finding(taught.state)
    assert finding is not None
    assert (finding.turns, finding.sessions) == (8, 2)
    assert Misfit.RATIO_FORGOTTEN in finding.looks
    assert doubted_at(taught.state) is None
    (said,) = doubts(taught.state, view)
    assert said.startswith(
        "The turns do not fit the sheet, which says 0.75 mm a turn; 8 turns in 2"
    )
    assert "a lever ratio is missing" in said
    assert said.endswith("Nothing is corrected for it.")
    taught.do(turn(20))
    other = taught.read("1I", "0.05 free", "0.06 refuses")
    assert desk.turning(other).turn is not None
    assert doubts(taught.state, other) == ()


def test_a_doubt_of_this_session_is_said_where_it_arose(desk: Any) -> None:
    short = next(n for n in range(8) if pooled_finding(_taught(desk, PAST[: n + 1]).state))
    taught = _taught(desk, PAST[:short])
    view = taught.read("1I", "0.05 free", "0.06 refuses")
    assert doubts(taught.state, view) == ()
    taught.do(turn(40, "1I"), Locked("1I"))
    taught.read("1I", "0.15 free", "0.20 refuses")
    taught.read("1E", "0.20 free", "0.25 refuses")
    taught.do(turn(-50), Locked("1E"))
    taught.read("1E", "0.04 free", "0.05 refuses")
    where = doubted_at(taught.state)
    assert where in {"1I", "1E"}
    said = [v for v in ("1I", "1E") if "turns in" in " ".join(doubts(taught.state, taught.look(v)))]
    assert said == [where]


def _taught(desk: Any, past: tuple[ScrewRun, ...]) -> Any:
    """A fresh session that was taught these runs."""
    taught = type(desk)(replace(desk.state.opened, past_runs=past))
    taught.confirm("1")
    return taught
