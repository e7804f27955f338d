"""Where a cylinder is, which valve may be measured there, and the words for it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.crank.angles import (
    crank_angle_of,
    cylinder_angle,
    degrees,
    from_dead_centre,
    marks_at,
)
from benchtui.domain.crank.dial import dial
from benchtui.domain.crank.windows import (
    Authority,
    is_rocking,
    may_measure,
    permissions,
    rocking_span,
    row_angle,
    stop_valves,
)
from benchtui.domain.crank.words import companion_words, companions, rule_of_nine, to_compression
from benchtui.domain.sheet import Cylinder, Layout, Mark, Opening, PrintedStop, Sheet, Timing, Valve
from tests.engines import band, cylinder, even, printed, sheet
from tests.refusing import must_refuse

F = Fraction
CLEARANCES = printed(band("0.10", "0.20"), band("0.10", "0.20"))

PRINTED_TIMING = Timing(
    # Inlet opens 28 BTDC and lasts 279; exhaust closes 45 ATDC: TM 9-8000 p. 2-35. The exhaust's
    # opening, 78 BBDC, is not printed there; it is a plausible figure.
    inlet=Opening(F(360 - 28), F(360 - 28 + 279)),
    exhaust=Opening(F(180 - 78), F(360 + 45)),
)
MILD = Timing(
    # A plausible mild engine (common practice): inlet 15 BTDC to 50 ABDC, exhaust 50 BBDC to 15 ATDC.
    inlet=Opening(F(345), F(590)),
    exhaust=Opening(F(130), F(375)),
)


def engine(
    order: str,
    timing: Timing | None = PRINTED_TIMING,
    plan: tuple[PrintedStop, ...] = (),
    kinds: str = "IE",
    marks: tuple[Mark, ...] = (),
) -> Sheet:
    """An evenly fired engine of that firing order; a cylinder's valves are named 1I, 1E.

    "IE" is the same way round everywhere, "EI|IE" alternates along the head.
    """
    ways = kinds.split("|")
    fired = even(order).items()
    cylinders = tuple(cylinder(n, at, ways[(int(n) - 1) % len(ways)]) for n, at in fired)
    layout = Layout(cylinders, turns="clockwise from the pulley", marks=marks)
    return sheet("quay-pump", layout, CLEARANCES, timing=timing, plan=plan)


def allowed(sheet: Sheet, crank: int | Fraction) -> set[str]:
    return {p.valve for p in permissions(sheet, F(crank)) if p.allowed}


def valve(sheet: Sheet, name: str) -> Valve:
    found = sheet.layout.valve(name)
    assert found is not None
    return found


def test_overlap_and_closing_of_the_printed_timing() -> None:
    # TM 9-8000 p. 2-35: overlap 73 degrees, inlet closes 71 after BDC.
    assert PRINTED_TIMING.exhaust.closes - PRINTED_TIMING.inlet.opens == 73
    assert from_dead_centre(PRINTED_TIMING.inlet.closes) == "71 after BDC"
    assert from_dead_centre(PRINTED_TIMING.inlet.opens) == "28 before overlap TDC"
    span = rocking_span(PRINTED_TIMING)
    assert span is not None
    assert span.closes - span.opens == 73 + 2 * 20


@pytest.mark.parametrize("timing", [PRINTED_TIMING, MILD])
def test_four_cylinders_with_one_on_compression(timing: Timing) -> None:
    # TM 5-3895-383-24, firing order 1-3-4-2. The timing is ours: that table prints none.
    sheet = engine("1-3-4-2", timing)
    assert allowed(sheet, 0) == {"1I", "2I", "1E", "3E"}
    assert allowed(sheet, 360) == {"3I", "4I", "2E", "4E"}


@pytest.mark.parametrize("timing", [PRINTED_TIMING, MILD])
def test_three_cylinders_in_two_stops(timing: Timing) -> None:
    # TM 9-6115-670-14&P, TM 10-4320-343-14, firing order 1-2-3. The timing is ours.
    sheet = engine("1-2-3", timing)
    assert allowed(sheet, 0) == {"1I", "3I", "1E", "2E"}
    # The second row's valves are those that the first left; a mild engine allows no others here.
    assert {"2I", "3E"} <= allowed(sheet, 360)


@pytest.mark.parametrize(("crank", "pair"), [(0, "12"), (180, "37"), (360, "45"), (540, "68")])
def test_an_eight_by_pairs_every_half_turn(crank: int, pair: str) -> None:
    # TM 5-3825-226-24: cylinders 1 2, then 3 7, 4 5, 6 8. Firing order 1-2-7-3-4-5-6-8 from memory.
    # The timing is the printed one above with 15 degrees of margin: the table names no timing.
    sheet = engine("1-2-7-3-4-5-6-8", replace(PRINTED_TIMING, margin=F(15)))
    rest = allowed(sheet, crank)
    whole = {c.name for c in sheet.layout.cylinders if {v.name for v in c.valves} <= rest}
    assert whole == set(pair)


def test_reasons_are_given_both_ways() -> None:
    sheet = engine("1-3-4-2")
    yes = may_measure(sheet, valve(sheet, "3E"), F(0))
    assert yes.allowed
    assert yes.authority is Authority.GEOMETRY
    assert (
        yes.reason == "3E: closed since 45 after overlap TDC, opens 282 degrees on (78 before BDC)"
    )
    no = may_measure(sheet, valve(sheet, "3I"), F(0))
    assert not no.allowed
    assert no.reason == (
        "3I: open from 28 before overlap TDC to 71 after BDC; cylinder 3 is at BDC now"
    )
    rocking = may_measure(sheet, valve(sheet, "4E"), F(0))
    assert not rocking.allowed
    assert "cylinder 4 is rocking" in rocking.reason
    near = may_measure(sheet, valve(sheet, "1E"), F(90))
    assert not near.allowed
    assert near.reason == (
        "1E: too near the ramp: it opens 78 before BDC, and 20 degrees are kept clear"
    )
    after = may_measure(sheet, valve(sheet, "1I"), F(620))
    assert "it closes 71 after BDC" in after.reason


def test_the_ends_of_the_widened_opening_belong_to_it() -> None:
    sheet = engine("1")
    exhaust = valve(sheet, "1E")
    assert may_measure(sheet, exhaust, F(82) - F(1, 100)).allowed
    assert not may_measure(sheet, exhaust, F(82)).allowed
    assert not may_measure(sheet, exhaust, F(425)).allowed
    assert may_measure(sheet, exhaust, F(425) + F(1, 100)).allowed
    inlet = valve(sheet, "1I")
    assert not may_measure(sheet, inlet, F(631)).allowed
    assert may_measure(sheet, inlet, F(631) + F(1, 100)).allowed


def test_a_rocking_cylinder_is_left_alone_although_one_of_its_valves_is_shut() -> None:
    # Exhaust shut early at 350, inlet opens late at 375: all between, and 20 degrees each side.
    timing = Timing(Opening(F(375), F(590)), Opening(F(130), F(350)))
    assert is_rocking(timing, F(360))
    edges = [is_rocking(timing, F(x)) for x in (329, 330, 395, 396)]
    assert edges == [False, True, True, False]
    # Kept so far apart that they are never open together, overlap TDC is theirs all the same.
    apart = Timing(Opening(F(385), F(590)), Opening(F(130), F(335)))
    assert [is_rocking(apart, F(x)) for x in (314, 315, 360, 405, 406)] == [
        False,
        *[True] * 3,
        False,
    ]


@pytest.mark.parametrize(("opens", "closes"), [(375, 355), (385, 335)])
@pytest.mark.parametrize("margin", [0, 5, 20])
def test_at_overlap_tdc_no_valve_of_the_cylinder_is_offered(
    opens: int, closes: int, margin: int
) -> None:
    """Inlet 15 after TDC and exhaust 5 before, and 25 either side: slow engines have such timing."""
    timing = Timing(Opening(F(opens), F(590)), Opening(F(130), F(closes)), margin=F(margin))
    assert not any(p.allowed for p in permissions(engine("1", timing=timing), F(360)))


def test_without_timing_only_compression_tdc() -> None:
    sheet = engine("1-3-4-2", None)
    assert allowed(sheet, 0) == {"1I", "1E"}
    assert allowed(sheet, 180) == {"3I", "3E"}
    assert allowed(sheet, 1) == set()
    offers = stop_valves(sheet, "4", fewest=True)
    assert [p.valve for p in offers] == ["4I", "4E"]
    assert {p.authority for p in offers} == {Authority.COMPRESSION_ONLY}
    assert "no valve timing" in may_measure(sheet, valve(sheet, "3I"), F(0)).reason
    assert "rocking" in may_measure(sheet, valve(sheet, "4I"), F(0)).reason


def test_one_cylinder_at_a_time_or_all_that_rest() -> None:
    sheet = engine("1-3-4-2")
    assert [p.valve for p in stop_valves(sheet, "1")] == ["1I", "1E"]
    assert {p.valve for p in stop_valves(sheet, "1", fewest=True)} == {"1I", "1E", "2I", "3E"}
    assert stop_valves(sheet, "1", F(360)) == ()
    assert {p.valve for p in stop_valves(sheet, "1", F(360), fewest=True)} == allowed(sheet, 360)
    with must_refuse(r"no cylinder 9.*It has 1, 2, 3, 4"):
        stop_valves(sheet, "9")


def test_the_printed_table_outranks_the_timing() -> None:
    plan = (
        PrintedStop("1 compression TDC", "1", F(0), ("1I", "1E")),
        PrintedStop("2 compression TDC", "2", F(0), ("2I", "2E")),
    )
    sheet = engine("1-2", PRINTED_TIMING, plan)
    offers = stop_valves(sheet, "1", fewest=True)
    assert [(p.valve, p.authority, p.doubt) for p in offers] == [
        ("1I", Authority.PRINTED, ""),
        ("1E", Authority.PRINTED, ""),
    ]
    # The row is offered whole one cylinder at a time as well, whosoever valves are in it.
    shared = (PrintedStop("1", "1", F(0), ("1I", "1E", "2E")), PrintedStop("2", "2", F(0), ("2I",)))
    row = stop_valves(engine("1-2", PRINTED_TIMING, shared), "1")
    assert [p.valve for p in row] == ["1I", "1E", "2E"]
    # Away from the printed stops nothing is offered, although the timing would allow it.
    assert stop_valves(sheet, "1", F(10), fewest=True) == ()
    said = may_measure(sheet, valve(sheet, "2E"), F(0)).reason
    assert said == (
        '2E: not in the row "1 compression TDC"; the manual\'s table has it at "2 compression TDC"'
    )


def test_a_printed_row_is_followed_with_a_doubt_where_the_timing_disagrees() -> None:
    plan = (PrintedStop("1 overlap TDC", "1", F(360), ("1I", "1E")),)
    offers = stop_valves(engine("1", PRINTED_TIMING, plan), "1", F(360))
    assert [p.valve for p in offers] == ["1I", "1E"]
    assert all("rocking" in p.doubt for p in offers)


def test_companions_by_halving_the_firing_order() -> None:
    # TM 10-3930-671-24, TM 5-6115-400-12: 1 and 4 on a four; a six by halving its firing order.
    assert companions(engine("1-3-4-2").layout) == (("1", "4"), ("3", "2"))
    assert companions(engine("1-5-3-6-2-4").layout) == (("1", "6"), ("5", "2"), ("3", "4"))
    assert "halved: 1-5-3 over 6-2-4" in companion_words(engine("1-5-3-6-2-4").layout)
    assert companion_words(engine("1-2-3").layout) == ""


def test_rule_of_nine_only_where_it_is_true() -> None:
    # Common practice. The head must be the same from either end for the rule to hold.
    mirrored = engine("1-3-4-2", kinds="EI|IE")
    words = rule_of_nine(mirrored)
    assert "(1 is 1E, 2 is 1I, 3 is 2I, 4 is 2E, 5 is 3E, 6 is 3I, 7 is 4I, 8 is 4E)" in words
    assert "set valve 9 - n" in words
    assert rule_of_nine(engine("1-3-4-2", kinds="IE")) == ""
    assert rule_of_nine(engine("1-2-3")) == ""
    assert rule_of_nine(engine("1-3-4-2", None, kinds="EI|IE")) == ""
    assert rule_of_nine(engine("1-5-3-6-2-4", kinds="EI|IE")) == ""


def test_the_way_to_compression_goes_forward_only() -> None:
    mark = Mark("1", "line at the case rib", "1")
    sheet = engine("1-3-4-2", marks=(mark,))
    words = to_compression(sheet, "1", F(360))
    assert "It is next there 360 degrees forward." in words
    assert "(clockwise from the pulley) and watch 1I" in words
    assert "The valves of cylinder 4 rock there." in words
    assert "do not turn back" in words
    assert "line at the case rib" in words
    assert "180 degrees forward from line at the case rib" in to_compression(sheet, "3")
    # The mark of 1 shows for its companion too; where each has its own, the one on compression leads.
    assert marks_at(sheet.layout, F(360)) == (mark,)
    own = Mark("4", "dot", "4")
    both = replace(sheet.layout, marks=(mark, own))
    assert marks_at(both, F(360)) == (own, mark)
    assert marks_at(both, F(0)) == (mark, own)


def test_the_dial_says_what_each_cylinder_does() -> None:
    marks = (Mark("1", "notch", "1"), Mark("fire", "F line", None, F(700)))
    shown = dial(engine("1-3-4-2", marks=marks), F(10))
    now = {c.name: c for c in shown.cylinders}
    assert now["4"].rocking
    assert now["1"].place == "10 after compression TDC"
    ahead = {p.label: int(p.ahead) for p in shown.points}
    assert ahead == {
        "3 compression TDC": 170,
        "F line": 330,
        "4 compression TDC": 350,
        "notch": 350,
        "2 compression TDC": 530,
        "1 compression TDC": 710,
    }
    assert list(ahead.values()) == sorted(ahead.values())


@given(st.fractions(0, 1440), st.fractions(0, 719))
def test_angles_wrap_and_come_back(crank: Fraction, firing: Fraction) -> None:
    cylinder = Cylinder("1", firing, ())
    angle = cylinder_angle(cylinder, crank)
    assert 0 <= angle < 720
    assert crank_angle_of(cylinder, angle) == crank % 720


def test_angles_read_as_people_write_them() -> None:
    said = [degrees(F(x)) for x in ("45", "22.5", "0", "120", "5143/50")]
    assert said == ["45", "22.5", "0", "120", "102.86"]
    assert degrees(F(720, 7)) == "about 102.9"
    places = [from_dead_centre(F(x)) for x in (0, 180, 102, 405, 719, 540)]
    assert places == [
        "compression TDC",
        "BDC",
        "78 before BDC",
        "45 after overlap TDC",
        "1 before compression TDC",
        "BDC",
    ]


def test_a_printed_row_without_timing_has_nothing_to_disagree_with() -> None:
    plan = (PrintedStop("1 overlap TDC", "1", F(360), ("1I",)),)
    alone = engine("1", timing=None, plan=plan)
    inlet, exhaust = permissions(alone, F(360))
    assert (inlet.allowed, inlet.authority, inlet.doubt) == (True, Authority.PRINTED, "")
    assert exhaust.reason == (
        '1E: not in the row "1 overlap TDC"; the manual\'s table leaves it out'
    )
    elsewhere = permissions(alone, F(90))[0]
    assert elsewhere.reason == (
        "1I: this is no stop of the manual's table; the manual's table has it at \"1 overlap TDC\""
    )
    with_timing = permissions(engine("1", plan=plan), F(360))[0]
    assert with_timing.doubt.startswith("The sheet's timing disagrees. 1I: cylinder 1 is rocking")


def test_a_row_of_a_cylinder_that_is_not_there_holds_nowhere() -> None:
    lost = engine("1", plan=(PrintedStop("9 TDC", "9", F(0), ("1I",)),))
    assert row_angle(lost, lost.plan[0]) is None
    assert not any(p.allowed for p in permissions(lost, F(90)))


def test_at_the_very_ends_of_an_opening_it_is_open_and_not_too_near() -> None:
    one = engine("1", timing=PRINTED_TIMING)
    for angle, kind in ((F(102), "E"), (F(611), "I")):
        told = may_measure(one, next(v for v in one.layout.valves if v.name == f"1{kind}"), angle)
        assert not told.allowed
        assert "open from" in told.reason
    near = may_measure(one, one.layout.valves[0], F(612))
    assert "too near the ramp: it closes" in near.reason


def test_compression_tdc_holds_beside_the_manuals_table() -> None:
    """A table with two places for four cylinders leaves every compression TDC a place of its own."""
    rows = (
        PrintedStop("1 compression TDC", "1", F(0), ("1I", "1E", "2I", "3E")),
        PrintedStop("1 overlap TDC", "1", F(360), ("4I", "4E", "3I", "2E")),
    )
    sheet = engine("1-3-4-2", plan=rows)
    assert [p.valve for p in stop_valves(sheet, "2")] == ["2I", "2E"]
    assert {p.authority for p in stop_valves(sheet, "2")} == {Authority.GEOMETRY}
    # At a place of the table the table decides alone.
    assert {p.valve for p in stop_valves(sheet, "1")} == {"1I", "1E", "2I", "3E"}
