from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.screw_check import Look, Turned, check_screw
from benchtui.domain.adjusting.turns import HAND, Way
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import LockNut, TurnScrew, WindBack
from benchtui.domain.session.valve.sheet_check import NUT, screw_finding, turns_seen
from benchtui.domain.sheet import Adjuster, AdjusterKind, ScrewEnd, Sheet

MakeDesk = Callable[..., Any]


def out(degrees: int) -> TurnScrew:
    return TurnScrew("1E", Way.OUT, Fraction(degrees))


def test_found_turned_and_read_with_the_nut_slack(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    assert screw_finding(desk.state) is None
    desk.do(out(24))
    assert turns_seen(desk.state) == []
    desk.read("1E", "0.09 free", "0.10 refuses")
    (turned,) = turns_seen(desk.state)
    # The nut was slackened between the two, so that it may have moved the gap too.
    assert (turned.closes, turned.degrees, turned.nut, turned.times) == (
        False,
        Fraction(24),
        NUT,
        1,
    )
    finding = screw_finding(desk.state)
    assert finding is not None
    assert finding.fits


def test_between_two_readings_with_the_nut_slack_only_the_thread_counts(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out(20))
    desk.read("1E", "0.08 free", "0.09 refuses")
    desk.do(out(20))
    desk.read("1E", "0.12 free", "0.15 refuses")
    assert [t.nut for t in turns_seen(desk.state)] == [NUT, Length(0)]


def test_turns_that_are_not_read_between_count_as_one_with_two_hands(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out(40), TurnScrew("1E", Way.IN, Fraction(10)), LockNut("1E"))
    desk.read("1E", "0.12 free", "0.15 refuses")
    (turned,) = turns_seen(desk.state)
    assert (turned.degrees, turned.times, turned.nut) == (Fraction(30), 2, NUT)


def test_locking_alone_is_no_turn(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(LockNut("1E"))
    desk.read("1E", "0.04 free", "0.05 refuses")
    assert turns_seen(desk.state) == []


def test_one_blade_between_does_not_hide_what_was_read_before_it(desk: Any) -> None:
    """An open bracket tells little, so the closed one before it stays in use until the next."""
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out(24))
    desk.read("1E", "0.10 free")
    desk.do(LockNut("1E"))
    desk.read("1E", "0.12 free", "0.15 refuses")
    desk.do(LockNut("1E"))
    closed = Length.mm("0.045"), Length.mm("0.155")  # each blade 0.005 against us
    ends = [(t.before.low, t.after.high) for t in turns_seen(desk.state)]
    assert ends == [(closed[0], None), closed]
    # The second is read locked, as the first was: one locking in between.
    assert [t.nut for t in turns_seen(desk.state)] == [NUT, NUT]


def test_a_pad_test_begins_afresh(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(out(20), WindBack("1E", Fraction(72)))
    desk.read("1E", "0.15 free", "0.20 refuses")
    assert turns_seen(desk.state) == []
    desk.do(TurnScrew("1E", Way.IN, Fraction(24)))
    desk.read("1E", "0.10 free", "0.12 refuses")
    assert [t.degrees for t in turns_seen(desk.state)] == [24]


@pytest.mark.parametrize("kind", [AdjusterKind.SHIM, AdjusterKind.ECCENTRIC])
def test_only_threads_are_checked(
    make_desk: MakeDesk, make_twin: Callable[..., Sheet], kind: AdjusterKind
) -> None:
    assert screw_finding(make_desk(make_twin(kind)).state) is None


def test_without_a_pitch_nothing_is_checked(
    make_desk: MakeDesk, make_twin: Callable[..., Sheet]
) -> None:
    sheet = make_twin()
    bare = replace(sheet, adjuster=replace(sheet.adjuster, pitch=None))
    assert screw_finding(make_desk(bare).state) is None


def around(gap: Fraction, below: int, above: int) -> Bracket:
    """A bracket round a true gap in micrometres."""
    low = max(0, int(gap) - below)
    return Bracket(Length.um(low), Length.um(int(gap) + 1 + above))


@given(
    pitch=st.integers(350, 1500),
    ratio=st.fractions(Fraction(1), Fraction(9, 5), max_denominator=20),
    told=st.lists(
        st.tuples(
            st.integers(20, 400),
            st.integers(10, 200),
            st.fractions(-HAND, HAND, max_denominator=8),
            st.integers(-20, 20),
            st.integers(0, 30),
            st.integers(0, 30),
        ),
        min_size=1,
        max_size=4,
    ),
)
def test_a_right_sheet_is_never_blamed(
    pitch: int, ratio: Fraction, told: list[tuple[int, int, Fraction, int, int, int]]
) -> None:
    """Whatever the hand and the locknut do within their bounds, and wherever the blades fall."""
    adjuster = Adjuster(
        AdjusterKind.SCREW, at=ScrewEnd.PUSHROD, pitch=Length.um(pitch), ratio=ratio
    )
    turns = []
    for gap, degrees, slip, nut, below, above in told:
        after = gap + pitch * ratio * (degrees + slip) / 360 + nut
        if after <= 0:
            continue
        before = around(Fraction(gap), below, above)
        turns.append(
            Turned(False, Fraction(degrees), before, around(after, above, below), NUT)  # noqa: FBT003  # opens
        )
    finding = check_screw(turns, adjuster)
    assert finding is None or finding.fits


@given(ratio=st.fractions(Fraction(13, 10), Fraction(9, 5), max_denominator=20))
def test_a_forgotten_ratio_shows_in_a_big_turn(ratio: Fraction) -> None:
    adjuster = Adjuster(AdjusterKind.SCREW, pitch=Length.mm("1.0"))
    after = 100 + 1000 * ratio * 200 / 360
    turned = Turned(
        False,  # noqa: FBT003  # opens
        Fraction(200),
        around(Fraction(100), 5, 5),
        around(after, 5, 5),
        NUT,
    )
    finding = check_screw([turned], adjuster)
    assert finding is not None
    assert not finding.fits
    assert Look.RATIO_FORGOTTEN in finding.looks
