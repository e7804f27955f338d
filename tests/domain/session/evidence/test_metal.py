"""The metal's heat, by a thermometer, by hours stood, by somebody's word (common practice)."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.session.evidence.metal import (
    OVERNIGHT,
    metal_note,
    metal_now,
    metal_standing,
    metal_words,
    touched_in_wrong_metal,
)
from benchtui.domain.session.facts.events import (
    Locked,
    Particulars,
    ParticularsEntered,
    ScrewTurned,
)
from benchtui.domain.session.facts.metal_standing import MetalKind
from benchtui.domain.sheet import Clearances, Condition

COLD, HOT = Condition.COLD, Condition.HOT


def sheet(
    condition: Condition = COLD,
    below: int | None = None,
    above: int | None = None,
    stood: int | None = None,
    lasts: int | None = None,
) -> Clearances:
    """A sheet that asks so much of the metal."""

    def figure(value: int | None) -> Fraction | None:
        return None if value is None else Fraction(value)

    return Clearances(
        (),
        condition,
        figure(below),
        figure(above),
        stood_hours=figure(stood),
        heat_lasts=figure(lasts),
    )


@pytest.mark.parametrize(
    ("below", "above", "condition", "metal", "said"),
    [
        (None, None, COLD, None, ""),
        (None, None, COLD, 90, ""),
        (35, None, COLD, 34, ""),
        (35, None, COLD, 35, "35 C, too warm: wait until it is below 35 C"),
        (35, None, COLD, None, "not told; the sheet wants it below 35 C, or stood 8 h"),
        (None, 60, HOT, 61, ""),
        (None, 60, HOT, 60, "60 C, too cool: run it up above 60 C"),
        (95, 80, HOT, 85, ""),
        (95, 80, HOT, 95, "95 C, too warm: wait until it is below 95 C"),
        (95, 80, HOT, 80, "80 C, too cool: run it up above 80 C"),
        (30, 10, COLD, 5, "5 C, too cool: warm it above 10 C"),
    ],
)
def test_a_verdict_only_at_the_sheets_temperature(
    below: int | None, above: int | None, condition: Condition, metal: int | None, said: str
) -> None:
    told = Particulars(metal_c=None if metal is None else Fraction(metal))
    standing = metal_standing(sheet(condition, below, above), told)
    assert said in metal_words(standing)
    assert standing.right is not bool(said)


@pytest.mark.parametrize(
    ("asked", "told", "kind"),
    [
        # Stood overnight: the sheet's hours, or eight.
        (sheet(below=35), Particulars(stood_hours=Fraction(8)), MetalKind.RIGHT),
        (sheet(below=35), Particulars(stood_hours=Fraction(7)), MetalKind.NOT_TOLD),
        (sheet(below=35, stood=4), Particulars(stood_hours=Fraction(4)), MetalKind.RIGHT),
        (sheet(below=35, stood=4), Particulars(stood_hours=Fraction(3)), MetalKind.NOT_TOLD),
        (sheet(stood=6), Particulars(stood_hours=Fraction(2)), MetalKind.TOO_WARM),
        (sheet(stood=6), Particulars(), MetalKind.NOT_ASKED),
        # A thermometer outranks the clock, either way.
        (
            sheet(below=35),
            Particulars(Fraction(0), metal_c=Fraction(40), stood_hours=Fraction(12)),
            MetalKind.TOO_WARM,
        ),
        (
            sheet(below=35),
            Particulars(metal_c=Fraction(20), stood_hours=Fraction(1)),
            MetalKind.RIGHT,
        ),
        # Somebody's word.
        (sheet(below=35), Particulars(at_heat=True, stood_hours=Fraction(12)), MetalKind.TOO_WARM),
        (sheet(HOT, lasts=20), Particulars(), MetalKind.NOT_TOLD),
        (sheet(HOT, lasts=20), Particulars(at_heat=True), MetalKind.RIGHT),
        (sheet(HOT, lasts=20), Particulars(at_heat=False), MetalKind.TOO_COOL),
        (sheet(HOT, above=70, lasts=20), Particulars(at_heat=True), MetalKind.RIGHT),
        (
            sheet(HOT, above=70, lasts=20),
            Particulars(metal_c=Fraction(40), at_heat=True),
            MetalKind.TOO_COOL,
        ),
        (sheet(HOT, above=70, lasts=20), Particulars(stood_hours=Fraction(12)), MetalKind.NOT_TOLD),
        # A hot sheet frozen before its heat was asked goes on as it did.
        (sheet(HOT), Particulars(), MetalKind.NOT_ASKED),
    ],
)
def test_what_was_told_against_what_is_asked(
    asked: Clearances, told: Particulars, kind: MetalKind
) -> None:
    assert metal_standing(asked, told).kind is kind


@pytest.mark.parametrize(("minutes", "kind"), [(20, MetalKind.RIGHT), (21, MetalKind.NOT_TOLD)])
@pytest.mark.parametrize("told", [Particulars(metal_c=Fraction(80)), Particulars(at_heat=True)])
def test_a_heat_told_goes_stale(minutes: int, kind: MetalKind, told: Particulars) -> None:
    hot = sheet(HOT, above=70, lasts=20)
    standing = metal_standing(hot, told, timedelta(minutes=minutes))
    assert standing.kind is kind
    assert ("too old" in metal_words(standing)) is (kind is MetalKind.NOT_TOLD)


def test_a_cold_engine_stays_cold() -> None:
    assert metal_standing(
        sheet(below=35), Particulars(metal_c=Fraction(20)), timedelta(days=1)
    ).right


def test_taken_as_cold_is_said() -> None:
    assert Fraction(8) == OVERNIGHT
    standing = metal_standing(sheet(below=35), Particulars(stood_hours=Fraction(12)))
    assert metal_note(standing) == "taken as cold: stood 12 h"
    assert not metal_note(metal_standing(sheet(below=35), Particulars(metal_c=Fraction(20))))


def test_a_turn_and_a_lock_in_warm_metal_are_kept_and_answered(desk: Any) -> None:
    desk.read("1E", "0.05 free", "0.06 refuses")
    desk.do(ParticularsEntered(Particulars(metal_c=Fraction(62))))
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))
    desk.do(Locked("1E"))
    wrong = touched_in_wrong_metal(desk.state, "1E")
    assert wrong is not None
    assert wrong.metal_c == Fraction(62)
    said = desk.look("1E").verdict.because
    assert "set while too warm: measure it again cold; 62 C" in said
    assert "wait until it is below" in said
    # Once it is cold, what it was set in still stands until it is measured.
    desk.do(ParticularsEntered(Particulars(metal_c=Fraction(20))))
    assert desk.look("1E").verdict.because == "set at 62 C, too warm: measure it again cold"
    desk.read("1E", "0.09 free", "0.10 refuses")
    assert touched_in_wrong_metal(desk.state, "1E") is None
    assert not metal_words(metal_now(desk.state))


def test_a_turn_before_the_temperature_is_told_is_no_wrong_turn(desk: Any) -> None:
    desk.do(ScrewTurned("1E", Way.OUT, Fraction(20)))
    assert touched_in_wrong_metal(desk.state, "1E") is None
