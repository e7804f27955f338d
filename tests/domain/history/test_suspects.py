"""Leaves to doubt and sizes to get, from what stands on record."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.verdict import judge
from benchtui.domain.history.suspects import Suspect, suspects, to_get
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band, ValveKind

BAND = Band(Length.mm("0.08"), Length.mm("0.12"))
SET = BladeSet("coarse", tuple(Leaf(Length.mm(x)) for x in ("0.05", "0.10", "0.15")))


def _reading(size: str, answer: Answer, *more: str) -> Reading:
    return Reading(Feeler(tuple(Leaf(Length.mm(x)) for x in (size, *more))), answer)


def _record(*readings: Reading, struck: tuple[Reading, ...] = ()) -> SessionRecord:
    gauged = Gauged(bracket_of(readings), judge(readings, BAND))
    valve = ValveRecord(
        "1E", ValveKind.EXHAUST, BAND, owners_band=False, found=gauged, left=gauged,
        touched=False, turned=Fraction(0), locked=True, read_after=True, struck=struck,
    )  # fmt: skip
    at = datetime(2026, 1, 1, tzinfo=UTC)
    return SessionRecord(
        session="s", engine="e", engine_name="e", started=at, ended=at, who="", blades="coarse",
        odometer_km=None, hours=None, metal_c=None, closed=True, complete=True, practice=False,
        missing=(), valves=(valve,), shifts=(), notes=(),
    )  # fmt: skip


def test_a_leaf_that_contradicts_its_neighbours_twice_is_doubted() -> None:
    """0.15 goes and 0.10 refuses: either may be wrong; 0.05, which agrees with both, is not named."""
    clash = _record(
        _reading("0.05", Answer.FREE),
        _reading("0.10", Answer.REFUSES),
        _reading("0.15", Answer.FREE),
    )
    assert suspects([clash], "coarse") == ()
    named = suspects([clash, clash], "coarse")
    assert named == (Suspect(Length.mm("0.10"), 2), Suspect(Length.mm("0.15"), 2))


def test_a_leaf_that_often_disagrees_within_its_error_is_doubted_too() -> None:
    """0.105 goes and 0.10 refuses, which 0.005 of error on each explains: once no matter, often one."""
    within = _record(
        _reading("0.05", Answer.FREE),
        _reading("0.10", Answer.REFUSES),
        _reading("0.105", Answer.DRAG),
        _reading("0.15", Answer.REFUSES),
    )
    assert within.valves[0].found is not None
    assert within.valves[0].found.verdict.disagree
    assert within.valves[0].found.verdict.heals == ()
    assert suspects([within], "coarse") == ()
    named = suspects([within, within], "coarse")
    assert named == (Suspect(Length.mm("0.10"), 2), Suspect(Length.mm("0.105"), 2))


def test_struck_readings_count_and_stacks_do_not() -> None:
    single, stack = _reading("0.10", Answer.FREE), _reading("0.05", Answer.FREE, "0.10")
    sound = _reading("0.05", Answer.FREE)
    once = _record(sound, struck=(single, single, stack))
    assert suspects([once, once], "coarse") == (Suspect(Length.mm("0.10"), 2),)


def test_other_sets_and_practice_are_no_witness() -> None:
    bad = _record(_reading("0.05", Answer.FREE), struck=(_reading("0.10", Answer.FREE),))
    assert suspects([bad, bad], "fine") == ()
    assert suspects([replace(bad, practice=True)] * 2, "coarse") == ()


def test_sizes_that_would_have_decided_are_to_get_unless_owned() -> None:
    """0.05 goes and 0.10 refuses: only a blade of 0.08, the lower limit, decides."""
    left_open = _record(_reading("0.05", Answer.FREE), _reading("0.10", Answer.REFUSES))
    assert to_get([left_open, left_open], "coarse", SET) == ((Length.mm("0.08"), 2),)
    richer = BladeSet("coarse", (*SET.leaves, Leaf(Length.mm("0.08"))))
    assert to_get([left_open], "coarse", richer) == ()
    decided = _record(_reading("0.10", Answer.FREE), _reading("0.12", Answer.REFUSES))
    assert to_get([decided], "coarse", SET) == ()
