"""What stops the bench: sheets with faults, and evidence that speaks for overlap."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from benchtui.domain.crank.faults import faults_of, warnings_of
from benchtui.domain.crank.other_stops import judge_stop
from benchtui.domain.crank.overlap import LooksLike, SeenAtMark, SeenPast, judge
from benchtui.domain.crank.words import decompressor_words, look_words
from benchtui.domain.sheet import Layout, Mark, Opening, PrintedStop, Sheet, Timing
from tests import engines
from tests.engines import band, cylinder, fired, printed
from tests.refusing import must_refuse

F = Fraction
CLEARANCES = printed(band("0.06", "0.10"), band("0.06", "0.10"))
VALVES = frozenset({"1I", "1E"})
MARK = Mark("1", "line at the case rib", "1")
SINGLE = Layout((cylinder("1"),), marks=(MARK,))
TIMING = Timing(
    # Inlet 28 BTDC to 71 ABDC, exhaust to 45 ATDC: TM 9-8000 p. 2-35; from 78 BBDC is our own.
    inlet=Opening(F(332), F(611)),
    exhaust=Opening(F(102), F(405)),
)
LIFTER = "lever on the cover, down"


def sheet(layout: Layout = SINGLE, timing: Timing | None = TIMING) -> Sheet:
    return engines.sheet("quay-pump", layout, CLEARANCES, timing=timing)


def twin(first: int, second: int) -> Layout:
    return fired({"1": first, "2": second})


def keys(layout: Layout, timing: Timing | None, plan: tuple[PrintedStop, ...] = ()) -> list[str]:
    return [key for key, _, _ in faults_of(layout, timing, plan)]


# --- faults -----------------------------------------------------------------------------------


def test_a_good_sheet_has_neither_faults_nor_warnings() -> None:
    plan = (PrintedStop("1 compression TDC", "1", F(0), ("1I", "1E")),)
    assert faults_of(SINGLE, TIMING, plan) == ()
    assert warnings_of(SINGLE, TIMING, plan) == ()
    assert faults_of(SINGLE, None, ()) == ()


def test_firing_angles_that_repeat() -> None:
    # There are engines whose cylinders fire together; a slip of the pen is the likelier.
    assert faults_of(twin(0, 0), None, ()) == ()
    assert warnings_of(twin(0, 0), None, ()) == (
        ("layout.firing.2", "0, as cylinder 1 has", "another angle, unless the two fire together"),
    )
    assert keys(twin(0, 720), None) == ["layout.firing.2"]
    assert keys(twin(0, 360), None) == []


@pytest.mark.parametrize(
    ("timing", "key", "found"),
    [
        (replace(TIMING, inlet=Opening(F(332), F(730))), "timing.inlet_closes", "never closes"),
        (replace(TIMING, exhaust=Opening(F(405), F(102))), "timing.exhaust_closes", "not after"),
        (replace(TIMING, exhaust=Opening(F(0), F(405))), "timing.exhaust_opens", "0 after"),
        (replace(TIMING, margin=F(-1)), "timing.margin", "-1"),
        (replace(TIMING, margin=F(102)), "timing.margin", "leaves the exhaust no window"),
        (Timing(TIMING.exhaust, TIMING.inlet), "timing.inlet_opens", "before the exhaust"),
    ],
)
def test_timing_that_cannot_be(timing: Timing, key: str, found: str) -> None:
    faults = faults_of(SINGLE, timing, ())
    assert [k for k, _, _ in faults] == [key]
    assert found in faults[0][1]


def test_the_widest_margin_that_still_leaves_a_window() -> None:
    assert keys(SINGLE, replace(TIMING, margin=F(101))) == []
    # Both openings are named where both lose their window.
    assert keys(SINGLE, replace(TIMING, margin=F(109))) == ["timing.margin", "timing.margin"]


def test_a_plan_that_names_what_is_not_there_or_leaves_something_out() -> None:
    plan = (
        PrintedStop("1 compression TDC", "1", F(0), ("1I", "3E")),
        PrintedStop("9 compression TDC", "9", F(0), ()),
    )
    assert faults_of(SINGLE, None, plan) == (
        ("plan.1.valves", "3E", "a valve of this engine: 1E, 1I"),
        ("plan.2.at", "cylinder 9", "one of 1"),
        ("plan.2.valves", "none", "one valve at least"),
        ("plan", "no row for 1E", "every valve in one row at least"),
    )


def test_marks_and_cylinders_that_are_not_there() -> None:
    lost = replace(SINGLE, marks=(Mark("a", "dot", "7"), Mark("b", "dash", None)))
    assert keys(lost, None) == ["layout.marks.a", "layout.marks.b"]
    assert keys(Layout(()), None) == ["layout.cylinders"]


def test_a_row_against_the_timing_is_a_warning_and_no_fault() -> None:
    plan = (PrintedStop("1 overlap TDC", "1", F(360), ("1I", "1E")),)
    assert faults_of(SINGLE, TIMING, plan) == ()
    assert [(k, f) for k, f, _ in warnings_of(SINGLE, TIMING, plan)] == [
        ("plan.1.valves", "1I, with cylinder 1 overlap TDC"),
        ("plan.1.valves", "1E, with cylinder 1 overlap TDC"),
    ]


def test_odd_figures_are_asked_about() -> None:
    short = replace(TIMING, margin=F(5), inlet=Opening(F(332), F(400)))
    said = [key for key, _, _ in warnings_of(twin(90, 450), short, ())]
    assert said == ["layout.firing", "timing.margin", "timing.inlet_closes"]


# --- the guard --------------------------------------------------------------------------------


def test_mark_and_slack_are_two_pieces_of_evidence() -> None:
    finding = judge(sheet(), "1", SeenAtMark(at_mark=True, slack=VALVES))
    assert (finding.looks, finding.measure) == (LooksLike.COMPRESSION, True)
    assert finding.because == "The mark is in place; every valve has slack."


@pytest.mark.parametrize(
    "seen",
    [
        SeenAtMark(at_mark=True),
        SeenAtMark(slack=VALVES),
        SeenAtMark(at_mark=True, slack=frozenset({"1I"})),
        SeenAtMark(at_mark=True, still=frozenset({"1E"})),
    ],
)
def test_one_piece_is_not_enough(seen: SeenAtMark) -> None:
    finding = judge(sheet(), "1", seen)
    assert finding.looks is LooksLike.UNKNOWN
    assert not finding.measure


def test_both_still_while_rocking_is_compression_and_moving_is_overlap() -> None:
    # TM 9-6115-670-14&P: rock the crank 15 degrees each way.
    assert (
        judge(sheet(), "1", SeenAtMark(at_mark=True, still=VALVES)).looks is LooksLike.COMPRESSION
    )
    for moving in ({"1I"}, {"1E"}, VALVES):
        finding = judge(sheet(), "1", SeenAtMark(at_mark=True, moving=frozenset(moving)))
        assert finding.looks is LooksLike.OVERLAP
        assert "15 degrees" in finding.because
        assert "It is next there 360 degrees forward" in finding.next_step


def test_the_inlet_seen_to_open_and_close_before_the_mark() -> None:
    yes = judge(sheet(), "1", SeenAtMark(at_mark=True, inlet_closed_before=True))
    no = judge(sheet(), "1", SeenAtMark(at_mark=True, inlet_closed_before=False))
    assert (yes.looks, no.looks) == (LooksLike.COMPRESSION, LooksLike.OVERLAP)


def test_no_slack_asks_for_the_look_before_any_screw() -> None:
    for tight in (VALVES, frozenset({"1E"})):
        finding = judge(sheet(), "1", SeenAtMark(at_mark=True, no_slack=tight))
        assert finding.looks is LooksLike.UNKNOWN
        assert not finding.measure
        assert finding.next_step.startswith("Touch no screw. Turn 45 degrees forward")


def test_the_look_tells_overlap_from_a_clearance_that_is_gone() -> None:
    tight = SeenAtMark(at_mark=True, no_slack=VALVES)
    overlap = judge(sheet(), "1", replace(tight, look=SeenPast.INLET_OPENS))
    assert overlap.looks is LooksLike.OVERLAP
    assert "strike what was read" in overlap.next_step
    # The crank is 45 past overlap TDC: one turn less 45 to go.
    assert "It is next there 315 degrees forward" in overlap.next_step
    gone = judge(sheet(), "1", replace(tight, look=SeenPast.ALL_STILL))
    assert gone.looks is LooksLike.CLEARANCE_GONE
    # It is past TDC, so it must come round again before anything is measured or turned.
    assert not gone.measure
    back = replace(tight, still=VALVES, inlet_closed_before=True)
    again = judge(sheet(), "1", back)
    assert (again.looks, again.measure) == (LooksLike.CLEARANCE_GONE, True)
    one_sign = judge(sheet(), "1", replace(tight, still=VALVES))
    assert (one_sign.looks, one_sign.measure) == (LooksLike.UNKNOWN, False)


@pytest.mark.parametrize(
    "seen",
    [
        SeenAtMark(at_mark=True, still=VALVES, look=SeenPast.INLET_OPENS),
        SeenAtMark(at_mark=True, moving=frozenset({"1I"}), inlet_closed_before=True),
        SeenAtMark(at_mark=True, slack=VALVES, no_slack=frozenset({"1I"})),
        SeenAtMark(at_mark=True, moving=VALVES, still=frozenset({"1I"})),
        SeenAtMark(at_mark=True, slack=VALVES, inlet_closed_before=False),
        SeenAtMark(at_mark=True, slack=frozenset({"1I"}), moving=frozenset({"1I"})),
    ],
)
def test_evidence_that_contradicts_itself_stops_the_bench(seen: SeenAtMark) -> None:
    finding = judge(sheet(), "1", seen)
    assert finding.looks is LooksLike.CONTRADICTORY
    assert finding.next_step.startswith("Touch no screw. Begin again.")
    assert not finding.measure


def test_no_screw_in_all_that_may_be_seen_unless_compression_is_borne_out() -> None:
    """Every mixture of evidence: blades and screws need the mark and nothing against it."""
    some = (frozenset[str](), frozenset({"1E"}), VALVES)
    for mark, slack, tight, moving, still, inlet, look in product(
        (True, False), some, some, some, some, (None, True, False), (None, *SeenPast)
    ):
        seen = SeenAtMark(mark, slack, tight, moving, still, inlet, look)
        finding = judge(sheet(), "1", seen)
        assert finding.because.endswith(".")
        assert finding.next_step
        if finding.measure:
            assert mark
            assert not moving
            assert inlet is not False
            assert look is None
            assert VALVES in (slack, still) or inlet
            # A tight valve needs two signs besides the mark.
            assert not tight or (still == VALVES and inlet)


def test_a_decompressor_is_spoken_of_where_it_may_be_the_cause() -> None:
    lifted = sheet(replace(SINGLE, decompressor=LIFTER))
    assert LIFTER in judge(lifted, "1", SeenAtMark(at_mark=True, no_slack=VALVES)).next_step
    assert LIFTER in judge(lifted, "1", SeenAtMark(at_mark=True, moving=VALVES)).next_step
    assert decompressor_words(SINGLE) == ""


def test_the_look_is_not_offered_where_it_would_tell_nothing() -> None:
    assert look_words(sheet(), "1").startswith("Touch no screw.")
    assert look_words(sheet(timing=None), "1").startswith("Touch no screw.")
    early = replace(TIMING, exhaust=Opening(F(40), F(405)), margin=F(10))
    assert look_words(sheet(timing=early), "1") == ""
    finding = judge(sheet(timing=early), "1", SeenAtMark(at_mark=True, no_slack=VALVES))
    assert "45 degrees" not in finding.next_step
    with must_refuse("no cylinder 4"):
        judge(sheet(), "4", SeenAtMark())


def test_a_stop_in_overlap_wants_the_valves_seen_to_rock() -> None:
    def at(seen: SeenAtMark) -> tuple[LooksLike, bool]:
        finding = judge_stop(sheet(), "1", F(360), seen, turn_made=True)
        return finding.looks, finding.measure

    rocked = SeenAtMark(at_mark=True, moving=frozenset({"1E"}))
    assert at(rocked) == (LooksLike.OVERLAP, True)
    assert at(replace(rocked, at_mark=False)) == (LooksLike.UNKNOWN, False)
    assert at(SeenAtMark(at_mark=True)) == (LooksLike.UNKNOWN, False)
    # Still while rocked: compression, so the crank is one turn out (TM 9-6115-670-14&P).
    assert at(SeenAtMark(at_mark=True, still=VALVES)) == (LooksLike.COMPRESSION, False)
    seen = SeenAtMark(at_mark=True, look=SeenPast.ALL_STILL)
    assert "Turn 315 degrees" in judge_stop(sheet(), "1", F(360), seen).next_step
    assert at(replace(rocked, inlet_closed_before=True)) == (LooksLike.CONTRADICTORY, False)
    assert at(replace(rocked, slack=frozenset({"1E"}))) == (LooksLike.CONTRADICTORY, False)


def test_a_stop_at_another_mark_wants_the_turn_made() -> None:
    mark = SeenAtMark(at_mark=True)
    reached = judge_stop(sheet(), "1", F(30), mark, turn_made=True)
    assert (reached.looks, reached.measure) == (LooksLike.AS_ORDERED, True)
    unsure = judge_stop(sheet(), "1", F(30), mark)
    assert (unsure.looks, unsure.measure) == (LooksLike.UNKNOWN, False)
    assert "Confirm a compression TDC first" in unsure.next_step
    assert not judge_stop(sheet(), "1", F(30), SeenAtMark(), turn_made=True).measure
    # At compression TDC the turn alone is not taken for evidence.
    assert not judge_stop(sheet(), "1", F(720), mark, turn_made=True).measure


@pytest.mark.parametrize(
    ("seen", "because"),
    [
        (
            SeenAtMark(at_mark=True, still=VALVES),
            (
                "The mark is in place; every valve stayed still while the crank was rocked 15 degrees "
                "each way."
            ),
        ),
        (
            SeenAtMark(at_mark=True, no_slack=frozenset({"1E"})),
            "1E has no slack. Either this is overlap or the clearance is gone.",
        ),
        (
            SeenAtMark(at_mark=True, no_slack=VALVES),
            "1E, 1I have no slack. Either this is overlap or the clearance is gone.",
        ),
    ],
)
def test_no_more_is_said_than_was_seen(seen: SeenAtMark, because: str) -> None:
    assert judge(sheet(), "1", seen).because == because


def test_how_far_it_is_to_compression_is_told_from_the_mark_only() -> None:
    moved = SeenAtMark(at_mark=True, moving=frozenset({"1E"}))
    assert "next there 360 degrees forward" in judge(sheet(), "1", moved).next_step
    nowhere = judge(sheet(), "1", replace(moved, at_mark=False))
    assert nowhere.looks is LooksLike.OVERLAP
    assert "degrees forward" not in nowhere.next_step


def test_where_the_look_past_the_mark_would_tell_nothing_it_is_not_asked_for() -> None:
    """An exhaust that opens 40 degrees on is open at the look whichever stroke it was."""
    early = sheet(timing=replace(TIMING, exhaust=Opening(F(40), F(405))))
    step = judge(early, "1", SeenAtMark(at_mark=True, no_slack=VALVES)).next_step
    assert step.startswith("Touch no screw. See the inlet open and close before the mark, and rock")
    assert "45 degrees" not in step


def test_still_past_the_mark_speaks_against_what_moved_at_it() -> None:
    moved = SeenAtMark(at_mark=True, moving=frozenset({"1E"}), look=SeenPast.ALL_STILL)
    finding = judge(sheet(), "1", moved)
    assert (finding.looks, finding.measure) == (LooksLike.CONTRADICTORY, False)
    assert "every valve was still 45 degrees on" in finding.because


def test_the_look_taken_the_time_before_is_one_sign_and_not_two() -> None:
    tight = SeenAtMark(at_mark=True, no_slack=frozenset({"1E"}), looked=True)
    assert not judge(sheet(), "1", tight).measure
    assert judge(sheet(), "1", replace(tight, still=VALVES)).measure
    assert judge(sheet(), "1", replace(tight, inlet_closed_before=True)).measure
    # It never outweighs what speaks for overlap now.
    for against in (
        replace(tight, moving=VALVES),
        replace(tight, look=SeenPast.INLET_OPENS),
        replace(tight, inlet_closed_before=False),
    ):
        finding = judge(sheet(), "1", against)
        assert finding.looks is LooksLike.CONTRADICTORY
        assert not finding.measure
