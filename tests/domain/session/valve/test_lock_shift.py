"""What tightening a locknut did, and how the next turn is aimed off by it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.events import Locked, ScrewTurned
from benchtui.domain.session.steps.fold import begin
from benchtui.domain.session.valve.lock_shift import lock_pairs, shift_known, shifts_seen
from benchtui.text.words.refusals import refusal_words


def shift(low: str, high: str) -> Shift:
    return Shift(Length.mm(low), Length.mm(high))


def likely(low: str, high: str, middle: str) -> Shift:
    return Shift(Length.mm(low), Length.mm(high), Length.mm(middle))


def out(degrees: str) -> ScrewTurned:
    return ScrewTurned("1E", Way.OUT, Fraction(degrees))


def taught(make_desk: Callable[..., Any], *past: tuple[str, str]) -> Any:
    """A desk at 1 compression with these shifts in its past."""
    desk = make_desk(confirmed=None)
    opened = replace(desk.state.opened, past_shifts=tuple(shift(*p) for p in past))
    desk.events[0] = replace(desk.events[0], fact=opened)
    desk.state = begin(desk.events[0])
    desk.confirm("1")
    return desk


def test_a_failed_lock_is_aimed_off_at_once(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out("21.6"))
    desk.read("1E", "0.10 drag", "0.12 refuses")
    desk.do(Locked("1E"))
    view = desk.read("1E", "0.08 refuses", "0.06 free", "0.07 drag")
    # 0.07 - 0.12 to 0.08 - 0.10 (interval arithmetic). By drag: 0.096 to 0.110, then 0.070 to 0.076.
    assert shifts_seen(desk.state) == (likely("-0.05", "-0.02", "-0.03"),)
    assert shift_known(desk.state) == shift("-0.05", "-0.02")
    assert desk.turning(view).turn.aim == Length.mm("0.135")
    # From the middle, 0.075, for it is narrower than a drag: 0.135 - 0.075 on a pitch of 0.75 (geometry).
    assert desk.turning(view).turn.degrees == Fraction("28.8")


def test_with_the_nut_slack_the_moved_range_is_judged_by(desk: Any) -> None:
    test_a_failed_lock_is_aimed_off_at_once(desk)
    desk.do(out("28.8"))
    view = desk.read("1E", "0.12 free", "0.15 refuses")
    assert (view.judged.low, view.judged.high) == (Length.mm("0.115"), Length.mm("0.155"))
    assert view.verdict.kind is VerdictKind.IN
    assert not view.done
    desk.do(Locked("1E"))
    view = desk.read("1E", "0.08 free", "0.12 refuses")
    assert view.judged == view.setting.band
    assert view.done


def test_unread_before_locking_the_turn_tells_what_was(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out("24"), Locked("1E"))  # 24 degrees on a pitch of 0.75 are 0.05 mm (geometry)
    desk.read("1E", "0.06 free", "0.08 refuses")
    # Reckoned before locking: 0.10 to 0.11, off by what 5 degrees move; read after: 0.06 to 0.08.
    (seen,) = shifts_seen(desk.state)
    error = Length(round(750_000 * 5 / 360))  # geometry
    assert (seen.low, seen.high) == (Length.mm("-0.05") - error, Length.mm("-0.02") + error)


def test_the_turn_moves_the_widened_ends_too(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out("24"), Locked("1E"))
    desk.read("1E", "0.06 free", "0.08 refuses")
    ((before, _),) = lock_pairs(desk.state, "1E")
    # 0.045 to 0.065 with the blades' errors, and 0.05 more.
    was = before.bracket
    ends = (was.low, was.high, was.wide_low, was.wide_high)
    assert ends == tuple(Length.mm(x) for x in ("0.10", "0.11", "0.095", "0.115"))


def test_a_lock_that_stays_in_range_is_noted_and_not_aimed_off(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out("21.6"), Locked("1E"))
    desk.read("1E", "0.09 free", "0.10 refuses")
    assert len(shifts_seen(desk.state)) == 1
    assert shift_known(desk.state) is None


@pytest.mark.parametrize(
    ("past", "aim"),
    [
        ((), "0.10"),
        ((("-0.04", "-0.02"),), "0.10"),
        ((("-0.04", "-0.02"), ("-0.03", "-0.01")), "0.121"),  # see test_lock_shift.py of adjusting
        ((("-0.04", "-0.03"), ("0.01", "0.02")), "0.10"),
    ],
)
def test_past_sessions_teach_only_when_two_agree(
    make_desk: Callable[..., Any], past: tuple[tuple[str, str], ...], aim: str
) -> None:
    desk = taught(make_desk, *past)
    assert desk.turning(desk.read("1E", "0.05 free", "0.06 refuses")).turn.aim == Length.mm(aim)


def test_an_engine_without_locks_has_no_shifts(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert shifts_seen(desk.state) == ()
    assert shift_known(desk.state) is None


def test_a_wide_valve_is_turned_even_where_the_aim_lies_inside_its_bracket(
    make_desk: Callable[..., Any],
) -> None:
    """Aimed off by 0.035 the middle 0.10 becomes 0.135, inside 0.12 to 0.15: still to be set."""
    desk = taught(make_desk, ("-0.045", "-0.035"), ("-0.055", "-0.035"))
    view = desk.read("1E", "0.12 free", "0.14 refuses")
    assert view.verdict.kind is VerdictKind.WIDE
    # From 0.13 to 0.135 on a pitch of 0.75: 2.4 degrees, none to 7.2 (geometry).
    turn = desk.turning(view).turn
    assert (turn.way, turn.degrees) == (Way.OUT, Fraction("2.4"))
    assert (turn.degrees_low, turn.degrees_high) == (0, Fraction("7.2"))


def test_where_the_nut_alone_takes_it_there_no_turn_is_shown(make_desk: Callable[..., Any]) -> None:
    desk = taught(make_desk, ("-0.045", "-0.035"), ("-0.055", "-0.035"))
    view = desk.read("1E", "0.12 free", "0.15 refuses")
    assert desk.turning(view).turn is None
    assert "lock it again without a turn" in refusal_words(desk.turning(view).why_none)
    desk.do(Locked("1E"))
    assert desk.read("1E", "0.08 free", "0.12 refuses").done


def test_the_valves_whose_nut_is_slack_are_named_until_locked(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert slack_nuts(desk.state) == ()
    desk.do(out("20"))
    assert slack_nuts(desk.state) == ("1E",)
    desk.do(Locked("1E"))
    assert slack_nuts(desk.state) == ()
