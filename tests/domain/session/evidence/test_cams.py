"""Shims under the buckets: once the cams were out, every valve is gauged again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.evidence.cams import STEPS_BACK
from benchtui.domain.session.facts.commands import (
    CloseSession,
    ConfirmPosition,
    StrikeReading,
    Undo,
)
from benchtui.domain.session.facts.events import (
    CamsStep,
    CamsStepDone,
    CrankTurned,
    Evidence,
    ShimFitted,
    Sign,
    SignSeen,
)
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import CamsBack, CamsOut
from benchtui.domain.session.valve.doubts import doubts
from benchtui.domain.session.valve.shims import advise_shim
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.session.whole.left_open import left_open
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.sheet import AdjusterKind, Sheet
from benchtui.text.pages.engine_glance import open_words
from benchtui.text.words.steps import small_line
from tests.asking import advise

mm = Length.mm
AGAIN = "gauge 1I again: the cams have been out since"


@pytest.fixture
def make(make_desk: Callable[..., Any], make_twin: Callable[..., Sheet]) -> Callable[..., Any]:
    """1I in range and 1E tight, every size known; nothing changed yet."""

    def made(*, under: bool = True) -> Any:
        sheet = make_twin(AdjusterKind.SHIM)
        adjuster = replace(sheet.adjuster, under_bucket=under, shim_sizes=(mm("2.75"), mm("2.80")))
        desk = make_desk(replace(sheet, adjuster=adjuster))
        desk.do(ShimFitted("1I", mm("2.80")), ShimFitted("1E", mm("2.80")))
        desk.read("1I", "0.07 free", "0.08 refuses")
        desk.read("1E", "0.04 free", "0.05 refuses")
        return desk

    return made


def cams_in(desk: Any) -> None:
    desk.do(*(CamsStepDone(step) for step in STEPS_BACK))


def test_no_crank_is_turned_before_the_cams_are_back_in(make: Callable[..., Any]) -> None:
    """A chain that is off, or a cap that is loose, is wrecked by the first turn (common practice)."""
    desk = make()
    desk.do(CamsStepDone(CamsStep.OUT))
    for command in (
        ConfirmPosition("1", (Evidence.MARK, Evidence.LOBES)),
        CrankTurned(Fraction(90)),
        SignSeen("1", Sign.TIGHT),
    ):
        with pytest.raises(Refusal, match="CAMS_OUT"):
            desk.do(command)
    assert left_open(desk.state).cams_out
    assert "the CAMS ARE OUT: turn no crank" in open_words(left_open(desk.state))
    cams_in(desk)
    assert not left_open(desk.state).cams_out
    desk.do(ConfirmPosition("1", (Evidence.MARK, Evidence.LOBES)))


def test_the_marks_are_set_before_the_caps_are_tightened() -> None:
    """Caps down on cams that do not stand at their marks bend valves (common practice)."""
    assert STEPS_BACK == (
        CamsStep.TIMING_MARKS,
        CamsStep.CAPS_IN_STEPS,
        CamsStep.CHAIN_AND_TENSIONER,
        CamsStep.TWO_SLOW_TURNS,
    )


def test_before_they_come_out_the_marks_the_chain_and_the_caps_are_named() -> None:
    """Caps slackened at once break, and an unmarked chain is put back a tooth out (common practice)."""
    said = small_line(CamsOut((), ()), inch=False)
    assert said == "First: crank at its mark, chain marked, tensioner off, caps slackened in steps."


def test_another_size_that_lands_in_range_is_taken_as_it_is(make: Callable[..., Any]) -> None:
    """1E, tight at 0.04 to 0.05 with 2.80 in, wants 0.08 to 0.12: 2.75 lands there (arithmetic)."""
    desk = make()
    desk.do(CamsStepDone(CamsStep.OUT), ShimFitted("1E", mm("2.75")))
    assert isinstance(next_step(desk.state), CamsBack)


def test_what_was_read_before_the_cams_came_out_ends_nothing(make: Callable[..., Any]) -> None:
    desk = make()
    assert desk.look("1I").done
    desk.do(ShimFitted("1E", mm("2.75")))
    assert not desk.look("1I").done
    assert AGAIN in missing(desk.state)
    assert "1E: not measured since it was shim fitted" in missing(desk.state)
    assert any("gauge 1I again" in said for said in doubts(desk.state, desk.look("1E")))
    assert advise(desk.state, desk.look("1I")) is None


def test_with_the_cams_back_in_it_is_gauged_afresh(make: Callable[..., Any]) -> None:
    desk = make()
    desk.do(ShimFitted("1E", mm("2.75")))
    cams_in(desk)
    desk.confirm("1")
    view = desk.look("1I")
    assert (view.verdict.kind, view.bracket.high) == (VerdictKind.NONE, None)
    assert "the cams have been out" in view.verdict.because
    assert advise(desk.state, view) is not None
    # One blade alone does not make a bracket with the old ones.
    assert desk.read("1I", "0.07 free").bracket.high is None
    assert not desk.look("1I").done
    view = desk.read("1I", "0.08 refuses")
    assert (view.done, view.stage) == (True, StageKind.REFITTED)
    assert not desk.state.valves["1I"].touched
    assert not any(text.startswith("gauge 1I") for text in missing(desk.state))
    desk.do(StrikeReading("1I"), StrikeReading("1I"))
    assert AGAIN in missing(desk.state)


def test_while_they_are_out_the_next_shim_is_told_still(make: Callable[..., Any]) -> None:
    desk = make()
    desk.do(ShimFitted("1I", mm("2.75")))
    advice = advise_shim(desk.state, desk.look("1E"))
    assert advice is not None
    assert advice.size == mm("2.75")
    # Out once more: what was gauged between counts no more either.
    cams_in(desk)
    desk.confirm("1")
    desk.read("1I", "0.07 free", "0.08 refuses")
    assert desk.look("1I").done
    desk.do(ShimFitted("1E", mm("2.75")))
    assert AGAIN in missing(desk.state)


def test_another_size_before_it_was_read_takes_the_cams_out_again(make: Callable[..., Any]) -> None:
    desk = make()
    desk.do(ShimFitted("1E", mm("2.75")))
    desk.read("1I", "0.07 free", "0.08 refuses")
    desk.do(ShimFitted("1E", mm("2.75"), mm("2.74")))
    assert desk.look("1I").done
    desk.do(ShimFitted("1E", mm("2.80")))
    assert not desk.look("1I").done


def test_told_as_found_or_undone_or_over_the_bucket_it_does_not_count(
    make: Callable[..., Any],
) -> None:
    desk = make()
    desk.do(ShimFitted("1E", mm("2.80"), found=True), ShimFitted("1E", mm("2.80"), mm("2.79")))
    assert desk.look("1I").done
    desk.do(ShimFitted("1E", mm("2.75")), Undo())
    assert desk.look("1I").done
    desk = make(under=False)
    desk.do(ShimFitted("1E", mm("2.75")))
    assert desk.look("1I").done


def test_the_record_says_that_it_was_not_gauged_again(make: Callable[..., Any]) -> None:
    desk = make()
    desk.do(ShimFitted("1E", mm("2.75")), CloseSession())
    kept = record_of(desk.state)
    assert (kept.complete, AGAIN in kept.missing) == (False, True)
    inlet = next(valve for valve in kept.valves if valve.name == "1I")
    assert inlet.found is not None
    assert inlet.found.verdict.kind is VerdictKind.IN
    assert inlet.left is not None
    assert inlet.left.verdict.kind is VerdictKind.NONE
