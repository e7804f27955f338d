"""The stops of the plan: every valve once, on its base circle, with the least turning."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.crank.cover import CrankChoice, fewest_stops
from benchtui.domain.crank.plan import Plan, _candidate, mark_words, plan
from benchtui.domain.crank.windows import Authority, permissions, stop_valves
from benchtui.domain.crank.words import stop_words
from benchtui.domain.sheet import Mark, Opening, PrintedStop, Sheet, Timing, ValveKind
from tests.engines import band, even, fired, printed, sheet
from tests.refusing import must_refuse

F = Fraction
CLEARANCES = printed(band("0.10", "0.20"), band("0.10", "0.20"))

USUAL = Timing(
    # Inlet 28 BTDC to 71 ABDC, exhaust to 45 ATDC: TM 9-8000 p. 2-35; from 78 BBDC is our own.
    inlet=Opening(F(332), F(611)),
    exhaust=Opening(F(102), F(405)),
)


def engine(
    firing: Mapping[str, int | F],
    timing: Timing | None = USUAL,
    *,
    inlets: int = 1,
    exhausts: int = 1,
    plan_rows: tuple[PrintedStop, ...] = (),
    marks: tuple[Mark, ...] = (),
) -> Sheet:
    """An engine with these firing angles in the given order along the engine."""
    valves = [f"I{i}" for i in range(inlets)] + [f"E{i}" for i in range(exhausts)]
    layout = replace(fired(firing, valves), marks=marks)
    return sheet("pier-winch", layout, CLEARANCES, timing=timing, plan=plan_rows)


def shifted(sheet: Sheet, by: Fraction) -> Sheet:
    """The same engine, its angles counted from another place."""
    layout = sheet.layout
    cylinders = tuple(replace(c, firing=(c.firing + by) % 720) for c in layout.cylinders)
    marks = tuple(
        m if m.angle is None else replace(m, angle=(m.angle + by) % 720) for m in layout.marks
    )
    return replace(sheet, layout=replace(layout, cylinders=cylinders, marks=marks))


# An oracle that shares nothing with the program: whole degrees, one at a time, and all subsets.


def naive_rests(sheet: Sheet, crank: Fraction) -> set[str]:
    rests = set()
    for cylinder in sheet.layout.cylinders:
        angle = (crank - cylinder.firing) % 720
        timing = sheet.timing
        for valve in cylinder.valves:
            if timing is None:
                if angle == 0:
                    rests.add(valve.name)
                continue
            margin = timing.margin
            opening = timing.inlet if valve.kind is ValveKind.INLET else timing.exhaust
            lifted = opening.opens - margin <= angle <= opening.closes + margin
            # Overlap TDC is always between them: no mechanic measures there.
            # Nor where the exhaust has just gone home and the inlet is about to open.
            turning = (timing.inlet.opens, timing.exhaust.closes, F(360))
            first, last = min(turning), max(turning)
            rocks = first - margin <= angle <= last + margin
            if not (lifted or rocks):
                rests.add(valve.name)
    return rests


def naive_handicap(sheet: Sheet, crank: Fraction) -> int:
    """2 where no mark shows on either turn, and 1 where no cylinder is on compression."""
    layout = sheet.layout
    shows = any(m.angle is not None and (m.angle - crank) % 360 == 0 for m in layout.marks)
    fires = any(c.firing == crank for c in layout.cylinders)
    return (0 if shows else 2) + (0 if fires else 1)


def naive_least(sheet: Sheet) -> tuple[int, int, Fraction]:
    """The least number of stops, then handicaps, then turning, by trying every subset."""
    spots = set()
    for cylinder in sheet.layout.cylinders:
        spots |= {cylinder.firing, (cylinder.firing + 360) % 720}
    for mark in sheet.layout.marks:
        if mark.angle is not None:
            spots |= {mark.angle, (mark.angle + 360) % 720}
    rests = {spot: naive_rests(sheet, spot) for spot in spots}
    wanted = {v.name for v in sheet.layout.valves}
    for count in range(1, len(spots) + 1):
        turns = []
        for chosen in combinations(sorted(spots), count):
            if set().union(*(rests[s] for s in chosen)) >= wanted:
                ring = [*chosen, chosen[0] + 720]
                turned = 720 - max(b - a for a, b in pairwise(ring))
                turns.append((sum(naive_handicap(sheet, s) for s in chosen), turned))
        if turns:
            return count, *min(turns)
    raise AssertionError("no cover")


def cost(sheet: Sheet, made: Plan) -> tuple[int, int, Fraction]:
    handicap = sum(naive_handicap(sheet, s.crank_angle) for s in made.stops)
    return len(made.stops), handicap, made.turned


def served(made: Plan) -> list[str]:
    return [v for s in made.stops for v in s.valves]


def check_sound(sheet: Sheet, made: Plan) -> None:
    """Every valve once, never inside its opening, and the turning adds up."""
    assert sorted(served(made)) == sorted(v.name for v in sheet.layout.valves)
    crank = made.stops[0].crank_angle
    assert made.stops[0].forward is None
    for stop in made.stops:
        crank = (crank + (stop.forward or 0)) % 720
        assert crank == stop.crank_angle
        assert set(stop.valves) <= naive_rests(sheet, stop.crank_angle)
        assert all(p.allowed for p in stop.permissions)
        cylinder = sheet.layout.cylinder(stop.cylinder)
        assert cylinder is not None
        assert (cylinder.firing + stop.angle) % 720 == stop.crank_angle
        offered = {p.valve for p in stop_valves(sheet, stop.cylinder, stop.angle, fewest=True)}
        assert set(stop.valves) <= offered
    assert made.turned < 720


@st.composite
def timings(draw: Callable[[st.SearchStrategy[int]], int]) -> Timing:
    margin = draw(st.integers(0, 30))
    exhaust_opens = draw(st.integers(margin + 1, 170))
    exhaust_closes = draw(st.integers(320, 420))
    inlet_opens = draw(st.integers(300, 400))
    inlet_closes = draw(st.integers(530, 719 - margin))
    return Timing(
        Opening(F(inlet_opens), F(inlet_closes)),
        Opening(F(exhaust_opens), F(exhaust_closes)),
        F(margin),
    )


@st.composite
def small_engines(draw: Callable[[st.SearchStrategy[object]], object]) -> Sheet:
    angles = draw(st.lists(st.integers(0, 47), min_size=1, max_size=4, unique=True))
    assert isinstance(angles, list)
    timing = draw(st.one_of(st.none(), timings()))
    assert timing is None or isinstance(timing, Timing)
    placed = draw(st.lists(st.integers(0, 23), max_size=2, unique=True))
    assert isinstance(placed, list)
    marks = tuple(Mark(f"m{a}", f"line {a}", None, F(15 * a)) for a in placed)
    firing = {str(i): 15 * a for i, a in enumerate(angles, start=1)}
    return engine(firing, timing, marks=marks)


def test_no_valve_is_measured_between_exhaust_closing_and_inlet_opening() -> None:
    """An early cam leaves a few degrees there; a plan with many stops once stumbled over them."""
    timing = Timing(Opening(F(331), F(530)), Opening(F(1), F(320)), F(0))
    sheet = engine({"1": 0, "2": 15, "3": 45}, timing)
    for at in (321, 325, 330, 345):
        stopped = permissions(sheet, F(at))
        assert not any(p.allowed for p in stopped if p.valve.startswith("1"))
    made = plan(sheet, fewest=True)
    check_sound(sheet, made)
    assert cost(sheet, made) == naive_least(sheet)


@given(small_engines())
def test_the_fewest_stops_are_the_fewest_by_brute_force(sheet: Sheet) -> None:
    made = plan(sheet, fewest=True)
    check_sound(sheet, made)
    assert cost(sheet, made) == naive_least(sheet)


@given(small_engines(), st.integers(1, 719))
def test_another_zero_gives_the_same_stops(sheet: Sheet, by: int) -> None:
    for fewest in (False, True):
        one = plan(sheet, fewest=fewest)
        other = plan(shifted(sheet, F(by)), fewest=fewest)
        assert [(s.at, s.cylinder, s.angle, s.forward, s.valves) for s in one.stops] == [
            (s.at, s.cylinder, s.angle, s.forward, s.valves) for s in other.stops
        ]


@given(small_engines())
def test_one_stop_a_cylinder_by_default(sheet: Sheet) -> None:
    made = plan(sheet)
    check_sound(sheet, made)
    assert all(s.angle == 0 for s in made.stops)
    assert all({v[: -len("I0")] for v in s.valves} == {s.cylinder} for s in made.stops)
    ring = sorted(c.firing for c in sheet.layout.cylinders)
    gaps = [b - a for a, b in zip(ring, [*ring[1:], ring[0] + 720], strict=True)]
    assert made.turned == 720 - max(gaps)


@pytest.mark.parametrize("start", ["1-3-4-2", "3-4-2-1", "4-2-1-3", "2-1-3-4"])
def test_four_cylinders_in_two_stops_from_any_rotation(start: str) -> None:
    # TM 5-3895-383-24: inlet 1 2, exhaust 1 3; one turn on, inlet 3 4, exhaust 2 4. Timing ours.
    made = plan(engine(even(start)), fewest=True)
    assert [(s.at, set(s.valves), s.forward) for s in made.stops] == [
        ("1 compression TDC", {"1I0", "2I0", "1E0", "3E0"}, None),
        ("4 compression TDC", {"3I0", "4I0", "2E0", "4E0"}, 360),
    ]
    assert [s.rocking for s in made.stops] == [("4",), ("1",)]
    assert made.authority is Authority.GEOMETRY


def test_three_cylinders_need_no_more_stops_than_printed() -> None:
    # TM 9-6115-670-14&P, TM 10-4320-343-14 print two stops one turn apart; two stops 240 apart
    # serve as well with our timing, and turn less.
    made = plan(engine(even("1-2-3")), fewest=True)
    assert [(s.at, s.forward) for s in made.stops] == [
        ("1 compression TDC", None),
        ("2 compression TDC", 240),
    ]
    assert set(made.stops[0].valves) == {"1I0", "1E0", "3I0"}


def test_default_goes_round_in_firing_order() -> None:
    made = plan(engine(even("1-5-3-6-2-4")))
    assert [s.cylinder for s in made.stops] == ["1", "5", "3", "6", "2", "4"]
    assert [s.forward for s in made.stops] == [None, 120, 120, 120, 120, 120]


def test_an_uneven_twin_leaves_out_the_longer_gap() -> None:
    # Two cylinders at 45 degrees on a shared pin fire 405 and 315 degrees apart (common practice).
    made = plan(engine({"front": 405, "rear": 0}))
    assert [(s.cylinder, s.forward) for s in made.stops] == [("front", None), ("rear", 315)]


def test_without_timing_each_cylinder_has_its_own_stop_even_for_the_fewest() -> None:
    made = plan(engine(even("1-3-4-2"), None), fewest=True)
    assert len(made.stops) == 4
    assert made.authority is Authority.COMPRESSION_ONLY
    assert [s.cylinder for s in made.stops] == ["1", "3", "4", "2"]


def test_a_mark_that_can_be_seen_breaks_a_tie() -> None:
    # All else equal the plan would start at 1; only the companions 3 and 2 have a mark.
    mark = Mark("3", "paint dot", "3")
    made = plan(engine(even("1-3-4-2"), marks=(mark,)), fewest=True)
    assert [s.at for s in made.stops] == ["3 compression TDC", "2 compression TDC"]
    assert {s.mark for s in made.stops} == {"paint dot"}


MILD = Timing(inlet=Opening(F(350), F(585)), exhaust=Opening(F(135), F(370)))
"""Little overlap, so that many pairs of places do for a V8."""


@pytest.mark.parametrize("timing", [USUAL, MILD])
def test_a_v8_is_measured_at_its_two_marks_though_other_places_turn_less(timing: Timing) -> None:
    order = even("1-2-6-8-7-5-4-3")
    # Both turns of the one mark do (common practice: no. 1 on compression, then one turn on).
    made = plan(engine(order, timing, marks=(Mark("1", "dash", "1"),)), fewest=True)
    assert [s.crank_angle for s in made.stops] == [0, 360]
    # A mark at no cylinder's compression TDC is no better than one that is.
    marks = (Mark("1", "dash", "1"), Mark("a", "hole", None, F(300)))
    assert [s.crank_angle for s in plan(engine(order, timing, marks=marks), fewest=True).stops] == [
        0,
        360,
    ]


def test_the_v8_would_turn_less_between_places_without_a_mark() -> None:
    free = plan(engine(even("1-2-6-8-7-5-4-3"), MILD), fewest=True)
    assert len(free.stops) == 2
    assert free.turned < 360


def test_what_can_be_seen_and_borne_out_is_preferred() -> None:
    marks = (Mark("a", "dash", None, F(30)), Mark("b", "dot", "1"))
    sheet = engine({"1": 0, "2": 180}, marks=marks)
    spots = (0, 30, 180, 360, 540, 90)
    assert [_candidate(sheet, F(s), F(0)).handicap for s in spots] == [0, 1, 2, 1, 3, 3]


def test_a_row_that_the_timing_speaks_against_says_so_at_its_stop() -> None:
    rows = (PrintedStop("1 overlap TDC", "1", F(360), ("1I0", "1E0")),)
    stop = plan(engine({"1": 0}, plan_rows=rows)).stops[0]
    assert stop.rocking == ()
    assert "The sheet's timing disagrees. 1I0: cylinder 1 is rocking" in stop_words(stop)
    assert "alone" not in stop_words(stop)


def test_the_printed_table_is_the_plan() -> None:
    rows = (
        PrintedStop("1 compression TDC", "1", F(0), ("1I0", "2I0", "1E0", "3E0")),
        PrintedStop("one turn on", "1", F(360), ("3I0", "4I0", "2E0", "4E0")),
    )
    sheet = engine(even("1-3-4-2"), None, plan_rows=rows)
    for fewest in (False, True):
        made = plan(sheet, fewest=fewest)
        assert made.authority is Authority.PRINTED
        assert [(s.at, set(s.valves)) for s in made.stops] == [(r.at, set(r.valves)) for r in rows]
        assert made.stops[1].forward == 360
    assert stop_words(made.stops[1]).startswith("Turn 360 degrees forward to CYL 4 COMPRESSION: ")
    assert "Leave cylinder 1 alone" in stop_words(made.stops[1])


def test_printed_rows_are_taken_in_turning_order_and_a_valve_once() -> None:
    rows = (
        PrintedStop("1", "1", F(0), ("1I0", "1E0")),
        PrintedStop("2", "2", F(0), ("2I0", "2E0", "1I0")),
        PrintedStop("3", "3", F(0), ("3I0", "3E0")),
        PrintedStop("4", "4", F(0), ("4I0", "4E0")),
    )
    made = plan(engine(even("1-3-4-2"), plan_rows=rows))
    assert [s.at for s in made.stops] == ["1", "3", "4", "2"]
    # The manual's first row is where its reader begins, also where another start turns less.
    uneven = plan(engine({"1": 0, "2": 90, "3": 180, "4": 270}, plan_rows=(*rows[2:], *rows[:2])))
    assert [s.at for s in uneven.stops] == ["3", "4", "1", "2"]
    assert sorted(served(made)) == sorted(f"{c}{k}0" for c in "1234" for k in "IE")


def test_a_faulty_sheet_gets_no_plan() -> None:
    with must_refuse(r"No plan .*layout\.firing\.2"):
        plan(engine({"1": 0, "2": 800}))


def test_two_cylinders_that_fire_together_share_a_stop() -> None:
    made = plan(engine({"1": 0, "2": 0, "3": 360, "4": 360}))
    assert [set(stop.valves) for stop in made.stops] == [
        {"1I0", "1E0", "2I0", "2E0"},
        {"3I0", "3E0", "4I0", "4E0"},
    ]


@pytest.mark.parametrize(
    "firing",
    [
        even("1-2-3-4-5-6-7-8-9-10-11-12"),
        # Twelve with uneven gaps, as of two banks at 75 degrees.
        {str(i + 1): 120 * (i // 2) + (0 if i % 2 == 0 else 75) for i in range(12)},
    ],
)
def test_twelve_cylinders_of_five_valves(firing: dict[str, int]) -> None:
    marks = tuple(Mark(f"m{a}", f"line {a}", None, F(a)) for a in (10, 100, 190, 280))
    sheet = engine(firing, inlets=3, exhausts=2, marks=marks)
    made = plan(sheet, fewest=True)
    check_sound(sheet, made)
    assert cost(sheet, made) == naive_least(sheet)


@given(
    st.lists(st.tuples(st.integers(0, 8), st.integers(1, 9)), min_size=1, max_size=8),
    st.lists(st.integers(0, 3), min_size=9, max_size=9),
)
def test_the_cover_against_every_subset(arcs: list[tuple[int, int]], handicaps: list[int]) -> None:
    """Arcs of any length round nine places, where the answer may need many stops."""
    rests = [
        frozenset(str(n) for n, (s, m) in enumerate(arcs) if (i - s) % 9 < m) for i in range(9)
    ]
    places = [F(v) for v in (0, 80, 160, 240, 250, 400, 480, 560, 640)]
    candidates = tuple(map(CrankChoice, places, handicaps, rests))
    wanted = frozenset(str(n) for n in range(len(arcs)))
    best: list[tuple[int, int, Fraction, tuple[Fraction, ...]]] = []
    for count in range(1, 10):
        for chosen in combinations(range(9), count):
            if frozenset[str]().union(*(rests[i] for i in chosen)) != wanted:
                continue
            for turn in range(count):
                order = [places[i] for i in chosen[turn:] + chosen[:turn]]
                turned = (order[-1] - order[0]) % 720
                best.append((count, sum(handicaps[i] for i in chosen), turned, tuple(order)))
        if best:
            break
    assert fewest_stops(candidates, wanted) == min(best)[-1]


def test_the_less_handicapped_of_two_places_that_serve_alike() -> None:
    spots = [(0, 0, "a"), (80, 1, "b"), (120, 0, "b"), (200, 0, "c")]
    candidates = tuple(CrankChoice(F(angle), h, frozenset(v)) for angle, h, v in spots)
    assert fewest_stops(candidates, frozenset("abc")) == (F(0), F(120), F(200))


def test_a_valve_that_rests_nowhere_has_no_cover() -> None:
    assert fewest_stops((CrankChoice(F(0), 0, frozenset("a")),), frozenset("ab")) is None
    with pytest.raises(ValueError, match="do not follow each other"):
        fewest_stops(
            tuple(CrankChoice(F(n), 0, frozenset("ab"[n % 2])) for n in range(4)), frozenset("ab")
        )


def test_which_mark_to_look_for_or_how_far_on_from_the_nearest() -> None:
    marks = (Mark("one", "line at the rib", "1"), Mark("two", "", "2"), Mark("lost", "dot", None))
    layout = engine({"1": 0, "2": 180}, marks=marks).layout
    # A mark comes round every turn of the crank, so twice in a cycle.
    assert mark_words(layout, F(0)) == mark_words(layout, F(360)) == "line at the rib"
    assert mark_words(layout, F(180)) == mark_words(layout, F(540)) == "two"
    near = "no mark of its own: {} degrees forward from {}"
    assert mark_words(layout, F(170)) == near.format(170, "line at the rib")
    assert mark_words(layout, F(200)) == near.format(20, "two")
    assert mark_words(layout, F(700)) == near.format(160, "two")
    bare = engine({"1": 0, "2": 180}, marks=marks[2:]).layout
    assert mark_words(bare, F(10)) == "the top, for which the sheet gives no mark"


def test_a_printed_plan_with_gaps_alike_begins_with_its_first_row() -> None:
    rows = (
        PrintedStop("2 compression TDC", "2", F(0), ("2I0", "2E0")),
        PrintedStop("1 compression TDC", "1", F(0), ("1I0", "1E0")),
    )
    stops = plan(engine({"1": 0, "2": 360}, plan_rows=rows)).stops
    assert [stop.crank_angle for stop in stops] == [360, 0]
