"""The record in sentences: what was done, how far it moved, what is and is not claimed."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.history.compare import Moved
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Meter
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import ValveRecord
from benchtui.domain.sheet import ValveKind
from benchtui.text.words.history_words import (
    done_words,
    moved_words,
    place_words,
    shims_words,
    slope_words,
)


def _valve(
    *,
    touched: bool = True,
    turned: int = 0,
    locked: bool = True,
    read_after: bool = True,
    shims: tuple[str, str] | None = None,
) -> ValveRecord:
    before, after = shims or (None, None)
    return ValveRecord(
        name="1E",
        kind=ValveKind.EXHAUST,
        setting=None,
        owners_band=False,
        found=None,
        left=None,
        touched=touched,
        turned=Fraction(turned),
        locked=locked,
        read_after=read_after,
        struck=(),
        shim_found=None if before is None else Length.mm(before),
        shim_left=None if after is None else Length.mm(after),
    )


def test_what_was_done_says_loudly_what_was_not() -> None:
    assert done_words(_valve(touched=False)) == "not touched"
    whole = "turned 22 degrees in all, opening, locked, measured again"
    assert done_words(_valve(turned=22)) == whole
    assert "closing" in done_words(_valve(turned=-22))
    loose = done_words(_valve(turned=22, locked=False, read_after=False))
    assert loose.endswith("NOT LOCKED, NOT MEASURED AGAIN")
    swapped = done_words(_valve(shims=("2.90", "2.85")))
    assert swapped == "shim 2.85 mm for 2.90 mm, measured again"


def test_a_shim_that_stayed_is_told_once() -> None:
    assert shims_words(_valve(touched=False, shims=("2.80", "2.80"))) == "shim 2.80 mm is in"
    assert not shims_words(_valve(touched=False))


def test_moves_are_claimed_only_where_they_are_proved() -> None:
    def words(least: int | None, most: int | None) -> str:
        ends = [None if e is None else Length.um(e) for e in (least, most)]
        return moved_words(Moved(ends[0], ends[1]))

    assert words(-40, -10) == "closed up by 0.01 to 0.04"
    assert words(None, -10) == "closed up by 0.01 or more"
    assert words(10, 25) == "opened by 0.01 to 0.025"
    assert words(10, None) == "opened by 0.01 or more"
    assert words(-20, 0) == "no move shown (-0.02 to 0.00)"
    assert words(None, 10) == "no move shown (? to +0.01)"
    assert words(None, None) == "no telling how far it moved"
    assert moved_words(None) == "nothing to compare"


def test_drifts_are_told_in_mm_per_thousand_kilometres_or_hundred_hours() -> None:
    """5 nm a kilometre is 0.005 mm in 1 000 km; 20 nm an hour is 0.002 mm in 100 h."""

    def words(low: int | None, high: int | None, meter: Meter = Meter.HOURS) -> str:
        return slope_words(Slope(*(None if e is None else Fraction(e) for e in (low, high))), meter)

    assert words(-5, 2, Meter.KM) == (
        "closes by at most 0.005, or opens by at most 0.002 mm in 1 000 km"
    )
    assert words(-60, -20) == "closes by 0.002 to 0.006 mm in 100 h"
    assert words(20, 60) == "opens by 0.002 to 0.006 mm in 100 h"
    assert words(None, -20) == "closes by 0.002 mm in 100 h or more"
    assert words(20, None) == "opens by 0.002 mm in 100 h or more"
    assert words(-60, 0) == "closes by at most 0.006 mm in 100 h"
    assert words(None, 20) == "closes, how far is not known, or opens by at most 0.002 mm in 100 h"
    assert words(None, None) == "how far it moves is not known"
    assert slope_words(None, Meter.KM) == "no one drift fits"


def test_counters_read_as_people_write_them() -> None:
    assert place_words(Meter.KM, Fraction(12400)) == "12 400 km"
    assert place_words(Meter.HOURS, Fraction("310.5")) == "310.5 h"


def test_a_move_is_told_in_the_unit_of_the_set_and_fits_half_a_small_screen() -> None:
    """A thou is 25.4 um: -0.0508 to +0.0508 mm, as two thou either way."""
    two = Length.thou(2)
    words = f"since: {moved_words(Moved(-two, two), 'in')}"
    assert words == "since: no move shown (-0.002 to +0.002)"
    assert len(words) < 40
