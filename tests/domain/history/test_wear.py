from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.history.course import Course
from benchtui.domain.history.due import next_due
from benchtui.domain.history.due_notice import ahead, notice
from benchtui.domain.history.slopes import Seen, Slope, slope_through
from benchtui.domain.history.usage import Meter, Point, Usage
from benchtui.domain.history.wear import (
    ProvedTrend,
    Run,
    ValveCheck,
    apart,
    jump,
    likely_cause,
    runs,
    trend,
    wear_of,
    wear_through,
)
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band, GapRole, Interval

BAND = Band(Length.mm(".08"), Length.mm(".12"))


def seen(x: int, low: str | None, high: str | None) -> Seen:
    return Seen(
        Fraction(x),
        None if low is None else Length.mm(low),
        None if high is None else Length.mm(high),
    )


HOURS = Run(
    tuple(
        seen(x, low, high)
        for x, low, high in zip(
            (0, 500, 1000, 1500, 2000, 2500),
            (".20", ".18", ".18", ".15", ".15", ".12"),
            (".22", ".20", ".20", ".18", ".18", ".15"),
            strict=True,
        )
    )
)


def test_the_published_row_closes_up() -> None:
    # Source: the row and its slopes by scipy.optimize.linprog; the rest is arithmetic.
    wear = wear_of(HOURS, Band(Length.mm(".10"), Length.mm(".22")))
    assert wear.trend is ProvedTrend.CLOSING
    assert wear.slope == Slope(Fraction(-100, 3), Fraction(-20))
    # The steepest line hangs on .15 at 2 000: .05 more takes 1 500 h. The flattest runs under .15
    # at 2 500: .05 more takes 2 500 h.
    assert wear.forecast is not None
    assert wear.forecast.earliest == 3500
    assert wear.forecast.latest == 5000


def test_a_run_ends_where_the_valve_was_set_and_starts_with_what_was_left() -> None:
    checks = [
        ValveCheck(None, seen(0, ".09", ".10")),
        ValveCheck(seen(3000, ".07", ".09")),
        ValveCheck(seen(6000, ".05", ".06"), seen(6000, ".10", ".12")),
        ValveCheck(seen(9000, ".09", ".11")),
    ]
    first, second = runs(checks)
    assert [s.x for s in first.seen] == [0, 3000, 6000]
    assert [s.x for s in second.seen] == [6000, 9000]
    assert second.seen[0].low == Length.mm(".10")


def test_a_check_that_was_not_gauged_leaves_nothing() -> None:
    assert runs([ValveCheck(None), ValveCheck(None)]) == ()


def test_an_odometer_that_goes_back_starts_again() -> None:
    assert (
        len(runs([ValveCheck(seen(50000, ".09", ".10")), ValveCheck(seen(300, ".09", ".10"))])) == 2
    )


def test_no_trend_is_claimed_while_a_level_line_passes() -> None:
    wear = wear_of(Run((seen(0, ".08", ".10"), seen(5000, ".07", ".08"))), BAND)
    assert wear.trend is ProvedTrend.NONE
    assert wear.slope == Slope(Fraction(-6), Fraction(0))
    assert wear.forecast is None
    assert (
        wear_of(Run((seen(0, ".081", ".10"), seen(5000, ".07", ".08"))), BAND).trend
        is ProvedTrend.CLOSING
    )


def test_one_check_shows_nothing() -> None:
    alone = Run((seen(0, ".08", ".10"),))
    assert trend(alone.seen, slope_through(alone.seen)) is ProvedTrend.TOO_FEW
    assert wear_of(alone, BAND).forecast is None


def test_opening_goes_towards_the_upper_limit() -> None:
    wear = wear_of(Run((seen(0, ".08", ".09"), seen(1000, ".10", ".11"))), BAND)
    assert wear.trend is ProvedTrend.OPENING
    # Steepest: .08 at 0 to .11 at 1 000, then .01 more at .03 a thousand; flattest: .09 to .10.
    assert wear.forecast is not None
    assert wear.forecast.earliest == 1000 + Fraction(1000, 3)
    assert wear.forecast.latest == 3000
    assert "tip" in likely_cause(wear.trend)


def test_a_limit_that_may_be_met_already_is_met_now() -> None:
    wear = wear_of(Run((seen(0, ".10", ".11"), seen(1000, None, ".09"))), BAND)
    assert wear.trend is ProvedTrend.CLOSING
    assert wear.forecast is not None
    assert wear.forecast.earliest == 1000


def test_a_jump_is_placed_only_where_one_cut_alone_explains_it() -> None:
    level = (seen(0, ".10", ".11"), seen(1000, ".10", ".11"))
    fallen = (seen(2000, ".05", ".06"), seen(3000, ".05", ".06"))
    assert trend(level + fallen, slope_through(level + fallen)) is ProvedTrend.JUMP
    assert jump(level + fallen) == (level[1], fallen[0])
    assert "locknut" in likely_cause(ProvedTrend.JUMP)
    # With three, the change may lie on either side.
    assert trend(level + fallen[:1], slope_through(level + fallen[:1])) is ProvedTrend.UNSTEADY
    assert wear_of(Run(level + fallen), BAND).forecast is None


def test_the_drift_before_it_was_set_is_carried_on() -> None:
    told = wear_through(
        [
            ValveCheck(None, seen(0, ".11", ".12")),
            ValveCheck(seen(6000, ".07", ".08"), seen(6000, ".10", ".11")),
        ],
        BAND,
    )
    first, second = told
    # .08 to .12 less in 6 000: -25/3 to -5 nm a km.
    assert first.slope == Slope(Fraction(-25, 3), Fraction(-5))
    assert second.trend is ProvedTrend.TOO_FEW
    assert second.carried
    assert second.forecast is not None
    # .02 to lose at 25/3 nm a km from the bottom, .03 at 5 from the top.
    assert second.forecast.earliest == 6000 + 2400
    assert second.forecast.latest == 6000 + 6000


def test_a_drift_not_proved_is_not_carried_on() -> None:
    told = wear_through(
        [
            ValveCheck(None, seen(0, ".08", ".12")),
            ValveCheck(seen(6000, ".07", ".10"), seen(6000, ".10", ".11")),
        ],
        BAND,
    )
    assert not told[1].carried
    assert told[1].forecast is None


def test_causes_by_gap() -> None:
    # Source: common practice: a valve that sinks into its seat closes the opener's gap; on the
    # closer's side of the same stem that opens the gap.
    assert "seat" in likely_cause(ProvedTrend.CLOSING)
    assert "seat" in likely_cause(ProvedTrend.OPENING, GapRole.CLOSER)
    assert "seat" not in likely_cause(ProvedTrend.CLOSING, GapRole.CLOSER)
    assert likely_cause(ProvedTrend.NONE) == likely_cause(ProvedTrend.TOO_FEW) == ""
    for t in (ProvedTrend.CLOSING, ProvedTrend.OPENING, ProvedTrend.JUMP, ProvedTrend.UNSTEADY):
        assert "ossibly" in likely_cause(t)


def test_a_sibling_apart_is_named() -> None:
    steady = Slope(Fraction(-2), Fraction(0))
    fast = Slope(Fraction(-9), Fraction(-5))
    assert apart({"1E": steady, "2E": steady, "3E": fast}) == ("3E",)
    assert apart({"1E": steady, "2E": fast}) == ("1E", "2E")
    assert apart({"1E": fast}) == ()
    assert apart({"1E": steady, "2E": Slope(None, None)}) == ()


def course(name: str, *rows: Seen) -> Course:
    return Course(name, wear_through([ValveCheck(row) for row in rows], BAND), BAND)


def test_wear_speaks_to_the_due_date() -> None:
    valve = course("1E", seen(0, ".10", ".11"), seen(4000, ".09", ".095"))
    # At worst 5 nm a km (.11 to .09): .01 more is 2 000 km on, so 6 000 done; at best 1.25 nm.
    latest = Point(date(2024, 6, 1), Fraction(1200), Fraction(4000))
    proved = ahead(valve, None)
    assert proved is not None
    told = notice({"1E": proved}, latest, Meter.KM)
    assert told is not None
    assert (told.first, told.last) == (Fraction(3200), Fraction(1200 + 12000))
    assert not told.estimated
    assert told.reason == "1E is closing up and may reach its lower limit"
    due = next_due(
        Interval(distance_km=Fraction(5000)),
        Usage(date(2024, 6, 1), Fraction(1200)),
        Usage(date(2024, 6, 2), Fraction(1250)),
        wear=told,
    )
    assert due.at_km == 6200, "the interval's own"
    assert due.overdue is False
    hours = notice({"1E": proved}, latest, Meter.HOURS)
    assert hours is not None
    assert hours.meter is Meter.HOURS
    assert ahead(course("1E", seen(0, ".10", ".11")), None) is None
    assert notice({}, latest, Meter.KM) is None


@given(
    st.fractions(-30, -1, max_denominator=7),
    st.integers(150_000, 300_000),
    st.lists(st.integers(1, 8), min_size=1, max_size=4, unique=True),
    st.integers(1000, 20_000),
)
def test_the_true_meeting_lies_in_the_forecast(m: Fraction, b: int, xs: list[int], w: int) -> None:
    rows = [Seen(Fraction(0), Length(b - w), Length(b + w))]
    for x in sorted(xs):
        y = int(m * x * 500) + b
        rows.append(Seen(Fraction(x * 500), Length(y - w), Length(y + w)))
    wear = wear_of(Run(tuple(rows)), Band(Length(20_000), Length(400_000)))
    if wear.trend is not ProvedTrend.CLOSING:
        assert wear.forecast is None
        return
    true = (20_000 - b) / m
    assert wear.forecast is not None
    assert wear.forecast.latest is not None
    if true >= max(xs) * 500:
        assert wear.forecast.earliest <= true
    assert true <= wear.forecast.latest


def test_an_empty_run_is_refused() -> None:
    with pytest.raises(ValueError, match="something seen"):
        wear_of(Run(()), BAND)


def test_checks_at_one_place_stay_one_run_without_a_drift() -> None:
    (run,) = runs([ValveCheck(seen(5, ".09", ".10")), ValveCheck(seen(5, ".09", ".11"))])
    assert len(run.seen) == 2
    assert wear_of(run, BAND).trend is ProvedTrend.TOO_FEW


def test_two_that_do_not_meet_at_one_place_are_no_jump() -> None:
    assert jump((seen(5, ".05", ".06"), seen(5, ".09", ".11"))) is None


def test_an_open_bracket_left_behind_carries_what_it_can() -> None:
    told = wear_through(
        [
            ValveCheck(None, seen(0, ".11", ".12")),
            ValveCheck(seen(6000, ".07", ".08"), seen(6000, ".10", None)),
        ],
        BAND,
    )
    assert told[1].forecast is not None
    assert told[1].forecast.earliest == 8400
    assert told[1].forecast.latest is None


def test_the_valve_that_is_likely_to_be_first_is_named() -> None:
    slow = ahead(course("1E", seen(0, ".10", ".11"), seen(4000, ".09", ".095")), None)
    fast = ahead(course("2E", seen(0, ".11", ".12"), seen(4000, ".09", ".095")), None)
    assert slow is not None
    assert fast is not None
    latest = Point(date(2024, 6, 1), Fraction(4000), Fraction(4000))
    told = notice({"1E": slow, "2E": fast}, latest, Meter.KM)
    assert told is not None
    assert told.reason.startswith("2E")
