"""What is kept of a session: as found and as left, each by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import CloseSession, StrikeReading
from benchtui.domain.session.facts.events import (
    BandChosen,
    Locked,
    Particulars,
    ParticularsEntered,
    ScrewTurned,
)
from benchtui.domain.session.whole.record import Gauged, ValveRecord, record_of
from benchtui.domain.sheet import AdjusterKind, Band, Rotation, Sheet
from benchtui.text.words.refusals import refusal_words

MakeDesk = Callable[..., Any]
MakeTwin = Callable[..., Sheet]


def kept(desk: Any, valve: str = "1E") -> ValveRecord:
    return next(v for v in record_of(desk.state).valves if v.name == valve)


def verdict(gauged: Gauged | None) -> VerdictKind | None:
    return None if gauged is None else gauged.verdict.kind


def test_untouched_it_is_left_as_it_was_found(desk: Any) -> None:
    desk.read("1E", "0.09 free", "0.10 refuses")
    assert kept(desk).found == kept(desk).left
    assert not kept(desk).touched


def test_not_measured_is_neither_found_nor_left(desk: Any) -> None:
    assert (kept(desk).found, kept(desk).left, kept(desk).read_after) == (None, None, False)


def test_what_is_found_stays_found_whatever_is_done_later(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    found = kept(desk).found
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)), Locked("1E"))
    desk.read("1E", "0.15 free")
    assert kept(desk).found == found
    assert verdict(kept(desk).left) is VerdictKind.WIDE


def test_set_and_not_measured_again_nothing_is_left(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))
    assert (kept(desk).left, kept(desk).locked, kept(desk).read_after) == (None, False, False)
    desk.do(Locked("1E"))
    assert (kept(desk).left, kept(desk).locked, kept(desk).read_after) == (None, True, False)


def test_a_struck_reading_is_kept_as_struck(desk: Any) -> None:
    desk.read("1E", "0.09 free", "0.10 refuses", "0.08 refuses")
    desk.do(StrikeReading("1E", desk.blade("0.08")))
    assert [str(r) for r in kept(desk).struck] == ["0.08 refuses"]
    assert verdict(kept(desk).found) is VerdictKind.IN


def test_what_was_read_at_an_unsure_position_is_not_found(make_desk: MakeDesk) -> None:
    desk = make_desk(confirmed=None)
    desk.read("1E", "0.09 free", "0.10 refuses")
    assert kept(desk).found is None


@pytest.mark.parametrize(
    ("closes", "way", "sign"),
    [
        (Rotation.CLOCKWISE, Way.OUT, 1),
        (Rotation.CLOCKWISE, Way.IN, -1),
        (Rotation.ANTICLOCKWISE, Way.OUT, -1),
        (Rotation.ANTICLOCKWISE, Way.IN, 1),
    ],
)
def test_degrees_are_counted_by_what_they_do_to_the_gap(
    make_desk: MakeDesk, make_twin: MakeTwin, closes: Rotation, way: Way, sign: int
) -> None:
    sheet = make_twin()
    desk = make_desk(replace(sheet, adjuster=replace(sheet.adjuster, closes=closes)))
    desk.read("1E", "0.09 free", "0.10 refuses")
    desk.do(ScrewTurned("1E", way, Fraction(30)))
    assert kept(desk).turned == 30 * sign


def test_without_a_pitch_the_turn_is_kept_all_the_same(
    make_desk: MakeDesk, make_twin: MakeTwin
) -> None:
    sheet = make_twin()
    desk = make_desk(replace(sheet, adjuster=replace(sheet.adjuster, pitch=None)))
    view = desk.read("1E", "0.05 free", "0.06 refuses")
    assert "no pitch" in refusal_words(desk.turning(view).why_none)
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(30)))
    assert kept(desk).turned == 30


@pytest.mark.parametrize("kind", [AdjusterKind.SCREW, AdjusterKind.ECCENTRIC])
def test_without_a_pitch_too_the_sheet_says_which_way_opens(
    make_desk: MakeDesk, make_twin: MakeTwin, kind: AdjusterKind
) -> None:
    """Where anticlockwise closes, a right-hand screw that goes in opens the gap (geometry)."""
    sheet = make_twin()
    adjuster = replace(sheet.adjuster, kind=kind, pitch=None, closes=Rotation.ANTICLOCKWISE)
    desk = make_desk(replace(sheet, adjuster=adjuster))
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(ScrewTurned("1E", Way.IN, Fraction(30)))
    assert kept(desk).turned == 30


def test_the_owners_band_is_told_from_a_printed_one(
    make_desk: MakeDesk, make_twin: MakeTwin
) -> None:
    desk = make_desk(make_twin(inlet=Band(Length.mm("0.08"), Length.mm("0.08"))))
    desk.read("1I", "0.06 free", "0.10 refuses")
    assert kept(desk, "1I").setting is None
    desk.do(BandChosen(Length.mm("0.02")))
    assert kept(desk, "1I").setting == Band(Length.mm("0.06"), Length.mm("0.10"))
    assert (kept(desk, "1I").owners_band, kept(desk, "1E").owners_band) == (True, False)


def test_a_practice_session_never_counts_as_a_check(make_desk: MakeDesk) -> None:
    desk = make_desk()
    practice = replace(desk.state.opened, practice=True)
    for cylinder in ("1", "2"):
        desk.confirm(cylinder)
        desk.read(f"{cylinder}I", "0.06 free", "0.10 refuses")
        desk.read(f"{cylinder}E", "0.08 free", "0.12 refuses")
    closed = desk.do(CloseSession())
    assert record_of(closed).complete
    assert not record_of(replace(closed, opened=practice)).complete


def test_the_circumstances_are_those_told_last(desk: Any) -> None:
    desk.do(ParticularsEntered(Particulars(hours=Fraction(10), who="M.")))
    desk.do(ParticularsEntered(Particulars(hours=Fraction(11))))
    record = record_of(desk.state)
    assert (record.hours, record.who, record.engine, record.closed) == (
        Fraction(11),
        "M.",
        "twin",
        False,
    )


def test_what_is_left_is_what_the_bench_shows_slack_nut_or_not(desk: Any) -> None:
    # A lock that carried the screw along is aimed off at the next turn: the band judged by is moved.
    desk.read("1E", "0.06 free", "0.07 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))
    desk.read("1E", "0.09 free", "0.10 refuses")
    desk.do(Locked("1E"))
    desk.read("1E", "0.06 free", "0.07 refuses")
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))
    view = desk.read("1E", "0.12 free", "0.15 refuses")
    assert view.judged != view.setting.band, "the shift is known, so the band is moved"
    assert kept(desk).left == Gauged(view.bracket, view.verdict)
    desk.do(Locked("1E"))
    view = desk.read("1E", "0.09 free", "0.10 refuses")
    assert kept(desk).left == Gauged(view.bracket, view.verdict)
