"""The overlap guard in a session: nothing is touched until the stroke is sure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.crank.overlap import LooksLike
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.evidence.position import finding, off_by
from benchtui.domain.session.facts.commands import Command, ConfirmPosition, Undo
from benchtui.domain.session.facts.events import (
    Crank,
    CrankTurned,
    Evidence,
    Locked,
    Paused,
    PositionDoubted,
    Resumed,
    ScrewTurned,
    Sign,
    SignSeen,
)
from benchtui.domain.session.whole.next_stop import evidence_for, plan_of
from benchtui.domain.sheet import Gear, Opening, Sheet, Timing
from benchtui.text.words.refusals import refusal_words

F = Fraction
MARK, SLACK, INLET, STILL = Evidence.MARK, Evidence.SLACK, Evidence.INLET, Evidence.STILL
ROCKS, TURNED = Evidence.ROCKS, Evidence.TURNED
MakeDesk = Callable[..., Any]
MakeTwin = Callable[..., Sheet]

TIMING = Timing(Opening(F(350), F(585)), Opening(F(135), F(370)))


def refused(desk: Any, command: Command) -> str:
    before = desk.state
    with pytest.raises(Refusal) as caught:
        desk.do(command)
    assert desk.state == before
    return refusal_words(caught.value)


@pytest.mark.parametrize("sign", [s for s in Sign if s.against])
def test_whatever_speaks_against_it_stops_the_bench(desk: Any, sign: Sign) -> None:
    desk.read("1E", "0.08 refuses", "0.04 free")
    assert desk.turning("1E").turn is not None
    desk.do(SignSeen("1", sign))
    assert (desk.state.place, desk.state.doubted) == (None, "1")
    view = desk.look("1E")
    assert (desk.turning(view).turn, view.verdict.kind) == (None, VerdictKind.NONE)
    assert "not confirmed" in refused(desk, ScrewTurned("1E", Way.OUT, F(20)))


@pytest.mark.parametrize("sign", [Sign.MOVES, Sign.TIGHT, Sign.OPEN])
def test_the_same_place_is_not_confirmed_against_what_was_seen(desk: Any, sign: Sign) -> None:
    desk.do(SignSeen("1", sign))
    message = refused(desk, ConfirmPosition("1", (MARK, SLACK)))
    assert "Touch no screw" in message


def test_a_turn_told_lifts_it_and_so_does_the_inlet_seen(desk: Any) -> None:
    desk.do(SignSeen("1", Sign.MOVES), CrankTurned(F(360)), ConfirmPosition("1", (MARK, SLACK)))
    assert desk.state.place is not None
    desk.do(SignSeen("1", Sign.MOVES), ConfirmPosition("1", (MARK, INLET)))
    assert desk.state.place is not None


def test_the_look_shows_overlap_and_says_how_far_on_compression_is(desk: Any) -> None:
    desk.do(SignSeen("1", Sign.TIGHT, ("1I",)), SignSeen("1", Sign.OPENS))
    found = finding(desk.state, "1")
    assert found is not None
    assert found.looks is LooksLike.OVERLAP
    # The crank stands 45 past overlap TDC; compression is 720 - 405 on (arithmetic).
    assert off_by(desk.state, "1") == 315
    assert "forward" in found.next_step
    desk.do(ConfirmPosition("1", (MARK, INLET)))
    assert desk.state.signs == ()


def test_the_look_shows_compression_and_then_a_tight_valve_may_be_set(desk: Any) -> None:
    view = desk.read("1E", "0.08 refuses", "0.03 refuses")
    assert "Turn 45 degrees forward only" in refusal_words(desk.turning(view).why_none)
    desk.do(SignSeen("1", Sign.STAYS))
    found = finding(desk.state, "1")
    assert found is not None
    assert not found.measure  # the crank is past the mark now
    assert off_by(desk.state, "1") == 675
    assert "not confirmed" in refused(desk, ScrewTurned("1E", Way.OUT, F(20)))
    desk.do(CrankTurned(F(675)), ConfirmPosition("1", (MARK, STILL)))
    # What was read counts: it was compression all along.
    assert desk.look("1E").verdict.kind is VerdictKind.TIGHT
    assert desk.turning("1E").turn is not None
    desk.do(ScrewTurned("1E", Way.OUT, F(20)))


def test_a_decompressor_is_named_where_it_may_hold_the_valve(
    make_desk: MakeDesk, make_twin: MakeTwin
) -> None:
    sheet = make_twin()
    lifted = replace(sheet, layout=replace(sheet.layout, decompressor="lever down to measure"))
    desk = make_desk(lifted)
    view = desk.read("1E", "0.08 refuses", "0.03 refuses")
    assert "lever down to measure" in refusal_words(desk.turning(view).why_none)


def test_a_turn_of_one_turn_is_not_taken_for_compression(desk: Any) -> None:
    desk.do(CrankTurned(F(360)))
    assert desk.state.place is None
    message = refused(desk, ConfirmPosition("1", (MARK, SLACK)))
    assert "one turn out" in message
    desk.do(ConfirmPosition("2", (MARK, SLACK)))
    desk.do(CrankTurned(F(200)))
    assert "contradicts" in refused(desk, ConfirmPosition("1", (MARK, SLACK)))
    # A hand's half turn is not exact: 160 and then 360 told for the 360 and 540 made.
    desk.do(Undo(), CrankTurned(F(330)), ConfirmPosition("1", (MARK, SLACK)))


def test_what_was_read_before_the_crank_was_turned_still_counts(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.10 refuses")
    desk.do(CrankTurned(F(360)))
    assert desk.look("1I").verdict.kind is VerdictKind.IN


@pytest.mark.parametrize("degrees", ["0", "-10", "1441"])
def test_the_crank_is_turned_forward_only(desk: Any, degrees: str) -> None:
    assert "forward" in refused(desk, CrankTurned(F(degrees)))


def test_two_whole_cycles_are_told_in_one_step_and_no_more(desk: Any) -> None:
    assert "up to 1440 degrees at a time" in refused(desk, CrankTurned(F(1441)))
    desk.do(CrankTurned(F(1440)))
    assert desk.state.crank == 0
    desk.do(CrankTurned(F(1, 2)))
    assert desk.state.crank == F(1, 2)


def test_where_no_valve_may_be_measured_nothing_is_confirmed(desk: Any) -> None:
    """Without valve timing on the sheet, compression TDC alone is offered."""
    overlap = ConfirmPosition("1", (MARK, ROCKS), F(360))
    assert refused(desk, overlap).startswith("No valve may be measured in this position.")


def test_the_crank_is_not_turned_with_a_nut_slack(desk: Any) -> None:
    desk.read("1E", "0.08 refuses", "0.04 free")
    desk.do(ScrewTurned("1E", Way.OUT, F(20)))
    assert "locknut of 1E is slack" in refused(desk, CrankTurned(F(360)))
    desk.do(Locked("1E"), CrankTurned(F(360)))


def test_stops_that_are_no_compression_tdc_want_their_own_evidence(
    make_desk: MakeDesk, make_twin: MakeTwin
) -> None:
    sheet = replace(make_twin(), timing=TIMING)
    desk = make_desk(sheet)
    desk.state = replace(desk.state, opened=replace(desk.state.opened, fewest=True))
    overlap = F(360)
    assert "one turn out" in refused(desk, ConfirmPosition("1", (MARK, STILL), overlap))
    assert "mark alone" in refused(desk, ConfirmPosition("1", (MARK, SLACK), overlap))
    assert "mark" in refused(desk, ConfirmPosition("1", (ROCKS, SLACK), overlap))
    state = desk.do(ConfirmPosition("1", (MARK, ROCKS), overlap))
    assert set(state.place.confirmed.valves) == {"2I", "2E"}
    # Rocking says overlap, so never compression.
    assert "Touch no screw" in refused(desk, ConfirmPosition("1", (MARK, ROCKS)))
    # By the turn made: 360 + 400 is 40 after compression TDC of 1.
    assert "does not show" in refused(desk, ConfirmPosition("1", (MARK, TURNED), F(40)))
    desk.do(CrankTurned(F(400)))
    state = desk.do(ConfirmPosition("1", (MARK, TURNED), F(40)))
    assert set(state.place.confirmed.valves) == {"1I", "1E", "2E"}


def test_a_turn_that_leads_elsewhere_is_no_evidence(desk: Any) -> None:
    assert "leads here" in refused(desk, ConfirmPosition("1", (MARK, TURNED)))
    desk.do(CrankTurned(F(370)))
    assert "leads here" in refused(desk, ConfirmPosition("2", (MARK, TURNED)))


@pytest.mark.parametrize("signs", [(), (Sign.TIGHT,), (Sign.MOVES,), (Sign.OPENS,), (Sign.STAYS,)])
def test_no_mixture_of_evidence_frees_a_tight_valve_on_one_sign(
    make_desk: MakeDesk, signs: tuple[Sign, ...]
) -> None:
    """Every mixture: the screw of a valve without slack wants two signs of compression."""
    for mix in product((True, False), repeat=4):
        evidence = tuple(
            e for e, seen in zip((MARK, SLACK, INLET, STILL), mix, strict=True) if seen
        )
        desk = make_desk(confirmed=None)
        desk.do(*(SignSeen("1", sign) for sign in signs))
        try:
            desk.do(ConfirmPosition("1", evidence))
        except Refusal:
            continue
        desk.read("1E", "0.08 refuses", "0.03 refuses")
        in_motion = {INLET, STILL} & set(evidence)
        enough = len(in_motion) + (Sign.STAYS in signs) > 1
        assert (desk.turning("1E").turn is not None) == enough, evidence


def test_a_doubt_forgets_what_was_seen_and_where_the_crank_stood(desk: Any) -> None:
    desk.do(SignSeen("1", Sign.STAYS), PositionDoubted("1"))
    assert (desk.state.signs, desk.state.crank) == ((), None)


def test_signs_name_valves_of_their_own_cylinder(desk: Any) -> None:
    assert "no valve of cylinder 1" in refused(desk, SignSeen("1", Sign.TIGHT, ("2I",)))
    assert "no valve 9X" in refused(desk, SignSeen("1", Sign.TIGHT, ("9X",)))


@pytest.mark.parametrize(
    ("crank", "kept"),
    [(Crank.UNMOVED, {Sign.MOVES}), (Crank.UNSURE, {Sign.MOVES}), (Crank.MOVED, set())],
)
def test_what_was_seen_against_it_goes_only_with_a_crank_that_moved(
    desk: Any, crank: Crank, kept: set[Sign]
) -> None:
    desk.do(SignSeen("1", Sign.MOVES), Paused(), Resumed(crank))
    assert {s.sign for s in desk.state.signs} == kept


@pytest.mark.parametrize(
    ("crank", "holds"), [(Crank.UNMOVED, True), (Crank.UNSURE, False), (Crank.MOVED, False)]
)
def test_a_look_tells_nothing_of_the_next_mark_once_the_crank_may_have_moved(
    desk: Any, crank: Crank, *, holds: bool
) -> None:
    desk.read("1E", "0.08 refuses", "0.03 refuses")
    desk.do(SignSeen("1", Sign.STAYS), Paused(), Resumed(crank))
    if crank is Crank.UNMOVED:
        desk.do(CrankTurned(F(675)))
    desk.do(ConfirmPosition("1", (MARK, STILL)))
    assert desk.state.place.looked is holds
    assert (desk.turning("1E").turn is not None) is holds


LOOSE = {Gear.ROCKERS: SLACK, Gear.PUSHRODS: Evidence.SPIN, Gear.BUCKETS: Evidence.LOBES}


@pytest.mark.parametrize("gear", list(Gear))
def test_the_second_sign_is_that_of_the_valve_gear(
    make_desk: MakeDesk, make_twin: MakeTwin, gear: Gear
) -> None:
    """Rockers loose, pushrods spin, lobes point away (common practice)."""
    plain = make_twin()
    sheet = replace(plain, adjuster=replace(plain.adjuster, gear_told=gear))
    desk = make_desk(sheet, confirmed=None)
    stop = plan_of(desk.state).stops[0]
    assert evidence_for(desk.state, stop)[:2] == (MARK, LOOSE[gear])
    desk.do(ConfirmPosition("1", (MARK, LOOSE[gear])))
    assert set(desk.state.place.confirmed.valves) == {"1I", "1E"}
    # After a look that found no clearance nothing is told by what feels loose.
    desk.read("1E", "0.03 refuses")
    desk.do(SignSeen("1", Sign.STAYS))
    assert evidence_for(desk.state, stop) == (MARK, INLET, STILL)
    assert desk.state.place is None
    desk.do(CrankTurned(F(675)))
    if LOOSE[gear].felt_loose:
        assert "tells nothing" in refused(desk, ConfirmPosition("1", (MARK, LOOSE[gear])))
    desk.do(ConfirmPosition("1", (MARK, INLET)))
    desk.do(ScrewTurned("1E", Way.OUT, F(20)))


def test_the_companion_that_rocks_shows_compression(desk: Any, make_desk: MakeDesk) -> None:
    """4 rocks, set 1: common practice on fours; here the two of a twin 360 degrees apart."""
    desk.do(CrankTurned(F(360)), ConfirmPosition("2", (MARK, Evidence.COMPANION)))
    assert set(desk.state.place.confirmed.valves) == {"2I", "2E"}
    alone = replace(
        desk.state.opened.sheet.layout, cylinders=desk.state.opened.sheet.layout.cylinders[:1]
    )
    single = make_desk(replace(desk.state.opened.sheet, layout=alone), confirmed=None)
    assert "one turn apart" in refused(single, ConfirmPosition("1", (MARK, Evidence.COMPANION)))


@pytest.mark.parametrize(("opens", "closes"), [(375, 355), (385, 335)])
def test_a_cylinder_seen_to_rock_is_never_offered(
    make_desk: MakeDesk, make_twin: MakeTwin, opens: int, closes: int
) -> None:
    timing = Timing(Opening(F(opens), F(585)), Opening(F(135), F(closes)), margin=F(5))
    desk = make_desk(replace(make_twin(), timing=timing), confirmed=None)
    assert "No valve" in refused(desk, ConfirmPosition("1", (MARK, ROCKS), F(360)))
    desk.state = replace(desk.state, opened=replace(desk.state.opened, fewest=True))
    desk.do(ConfirmPosition("1", (MARK, ROCKS), F(360)))
    assert desk.state.place.confirmed.valves == ("2I", "2E")
    desk.read("1I", "0.06 free", "0.10 refuses")
    assert desk.look("1I").verdict.kind is VerdictKind.NONE


def test_a_valve_that_the_decompressor_holds_leaves_the_others_alone(
    make_desk: MakeDesk, make_twin: MakeTwin
) -> None:
    plain = make_twin()
    sheet = replace(plain, layout=replace(plain.layout, decompressor="lever up: it holds 1E open"))
    desk = make_desk(sheet)
    desk.read("1I", "0.06 free", "0.10 refuses")
    desk.read("1E", "0.08 free")
    desk.do(SignSeen("1", Sign.TIGHT, ("1E",)))
    assert desk.look("1I").verdict.kind is VerdictKind.IN
    assert desk.look("1E").verdict.kind is VerdictKind.NONE
    assert "not confirmed" in refused(desk, ScrewTurned("1E", Way.OUT, F(20)))
    # Released, and felt again: what is loose now outranks what was held then.
    desk.do(ConfirmPosition("1", (MARK, SLACK)))
    assert set(desk.state.place.confirmed.valves) == {"1I", "1E"}
    # Where no decompressor is, a valve without clearance puts the whole position in doubt.
    other = make_desk(plain)
    other.read("1I", "0.06 free", "0.10 refuses")
    other.do(SignSeen("1", Sign.TIGHT, ("1E",)))
    assert other.look("1I").verdict.kind is VerdictKind.NONE
