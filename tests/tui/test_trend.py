from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchtui.domain.length import Length
from benchtui.tui.widgets.trend import HATCH, Check, DrawnWedge, Trend, draw
from tests.tui.gallery import TREND, bar, place


def test_three_checks_and_a_forecast() -> None:
    """The range is a shaded band with its limits on the left axis. Found brackets are thick bars, what
    was left a double line beside them. From the last bar a dotted wedge opens downwards, and an upright
    dashed line at 14 200 km says where the limit may be met. A thin line joins what was found to what it
    was set to. The key names every shape, the corner both units."""
    assert draw(TREND, 80, 14).lines() == [
        "      1E over distance",
        "     │                                                    ┊",
        " 0.10┤░░░█░░░░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░░░░░░░░░░┊░░░░░░░░░░░░░░░░░░░░░",
        "     │░░░█░░░░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░░░░░░░░░░┊░░░░░░░░░░░░░░░░░░░░░",
        "     │░░░█░░░░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░█⠕⡒⡒⡒⡒⡒⡒⡒┊⠤⠤⠤⠤⠤⠤⢄⣀⣀⣀⣀⣀⣀⣀░░░░░░░",
        " 0.06┤░░░░░░░░░░░░░░░░░░░░░░░█╎░░░░░░░░░░░░░░░░░░█⠅⡂⡂⡂⡂⡂⡂⡂┊⠅⠅⠅⠅⠅⠅⠅⡂⡂⡂⡂⡂⡂⡂⠍⠍⠍⠅░░░",
        "     │                       █                   ⠉⠉⠒⠒⠦⠦⣂⡂⡂┊⠅⠅⠅⠅⠅⠅⠅⡂⡂⡂⡂⡂⡂⡂⠅⠅⠅⠅",
        "     │                                                  ⠈⠉┊⠓⠣⠥⢅⣅⠅⠅⡂⡂⡂⡂⡂⡂⡂⠅⠅⠅⠅",
        "     │                                                    ┊     ⠉⠉⠒⠒⠦⠦⣂⡂⡂⠅⠅⠅⠅",
        "     │                                                    ┊            ⠈⠉⠑⠓⠣⠅",
        "     │                                                    ┊",
        "   mm└───┴───────────────────┴───────────────────┴────────┴─────────────────┴───",
        "   km  4 100               8 200              12 400   14 200            18 000",
        "               █ found  ║ left  ░ setting range  ╎ set  dots proved  ┊ limit met",
    ]


def test_without_a_forecast_nothing_is_said_of_one() -> None:
    drawn = "\n".join(draw(replace(TREND, wedge=None, limit=None), 80, 14).lines())
    assert "proved" not in drawn
    assert "estimate" not in drawn
    assert "limit met" not in drawn
    assert "18 000" not in drawn


def test_proof_and_estimate_are_told_apart_without_colour_and_days_stand_below() -> None:
    """The estimate is hatched within the dots of what is proved; its end has a dashed line as well."""
    start = TREND.checks[-1].place
    mm = Length.mm
    band = DrawnWedge(start, mm("0.065"), mm("0.072"), place(18000), mm("0.035"), mm("0.05"))
    days = ("May 2024", "Nov 2024", "May 2025")
    checks = tuple(
        replace(c, place=replace(c.place, day=day))
        for c, day in zip(TREND.checks, days, strict=True)
    )
    trend = replace(
        TREND, checks=checks, estimate=band, last=place(16500), breaks=(Fraction(6000),)
    )
    drawn = draw(trend, 80, 16).lines()
    row = next(line for line in drawn if line.count(HATCH) > 5)
    assert any("⠀" < c <= "⣿" for c in row), "dots beside the hatch"
    assert max(line.count("┊") for line in drawn[:10]) == 2
    assert all(day in drawn[-2] for day in days)
    assert "//" in drawn[-4], "the break in the axis"
    assert f"dots proved  {HATCH} estimate  ┊ limit met" in drawn[-1]
    assert all(len(line) <= 80 for line in drawn)


def test_an_open_bracket_runs_off_the_top() -> None:
    drawn = draw(replace(TREND, checks=(Check(place(4100), bar("0.12", None)),)), 80, 14).lines()
    assert "▲" in drawn[1]


def test_one_check_alone_is_drawn() -> None:
    drawn = "\n".join(draw(Trend(TREND.band, TREND.checks[:1]), 60, 12).lines())
    assert "4 100" in drawn
    assert "█" in drawn


def test_no_check_at_all_still_shows_the_range() -> None:
    drawn = "\n".join(draw(Trend(TREND.band), 60, 12).lines())
    assert "0.06┤" in drawn


def test_bars_stand_in_the_order_of_their_places() -> None:
    columns = [line.index("█") for line in draw(TREND, 80, 14).lines()[1:8] if "█" in line]
    assert columns[0] < columns[-1]


@pytest.mark.parametrize("height", range(10))
@pytest.mark.parametrize("width", [0, 1, 9, 20, 80])
def test_any_room_will_do(width: int, height: int) -> None:
    drawn = draw(TREND, width, height).lines()
    assert len(drawn) == height
    assert all(len(line) <= width for line in drawn)
