"""What past checks let one expect: the prior of a valve, and the chance that a verdict is wrong."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from scipy.integrate import quad
from scipy.stats import uniform

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.gauging.prior import Prior, from_left, from_setting
from benchtui.domain.length import Length
from benchtui.domain.session.facts.commands import LockNut, TurnCrank, TurnScrew
from benchtui.domain.session.facts.events import LeftLast
from benchtui.domain.session.valve.next_blade import advise
from benchtui.domain.session.valve.prior import chance_wrong, expected, landed
from benchtui.domain.sheet import Band

mm, um = Length.mm, Length.um


def desk_after(desk: Any, *last: LeftLast) -> Any:
    made = type(desk)(replace(desk.state.opened, left_last=last))
    made.confirm("1")
    return made


def prior(desk: Any, valve: str = "1I") -> Prior | None:
    return expected(desk.state, desk.look(valve))


def test_what_was_left_is_expected_moved_by_the_drift_since(desk: Any) -> None:
    plain = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09")))
    assert prior(plain) == from_left(mm("0.08"), mm("0.09"))
    moved = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09"), um(-30), um(-20)))
    assert prior(moved) == Prior(mm("0.05"), mm("0.07"), tail=um(20))
    assert prior(moved, "1E") is None


def test_the_next_blade_follows_the_drift(desk: Any) -> None:
    """Left at 0.09 to 0.10, closing up by 0.04 to 0.05 since: a blade near 0.05 comes first, not one
    near 0.10."""
    plain = desk_after(desk, LeftLast("1I", mm("0.09"), mm("0.10")))
    moved = desk_after(desk, LeftLast("1I", mm("0.09"), mm("0.10"), um(-50), um(-40)))
    first: dict[str, Any] = {
        name: advise(d.state, d.look("1I")) for name, d in (("plain", plain), ("moved", moved))
    }
    assert first["moved"].feeler.nominal <= mm("0.06") < first["plain"].feeler.nominal


def test_an_open_bracket_or_a_touched_valve_leaves_nothing_to_expect(desk: Any) -> None:
    assert prior(desk_after(desk, LeftLast("1I", mm("0.08"), None))) is None
    touched = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09")))
    touched.read("1I", "0.05 free", "0.06 refuses")
    touched.do(TurnScrew("1I", Way.OUT, Fraction(12)), LockNut("1I"))
    assert prior(touched) is None


def by_hand() -> float:
    """Left 0.09 to 0.10; 0.06 went and 0.10 refused; out of 0.06 to 0.10 all the same (scipy, in um).

    A blade lies anywhere within 5 um of its mark, so its answer is a ramp; three valves in four are
    where they were left, the rest in tails that fall with the cube of 20 / (20 + d).
    """

    def density(x: float) -> float:
        if 90 <= x <= 100:
            return 0.75 / 10
        out = 90 - x if x < 90 else x - 100
        return 0.25 / 20 * (20 / (20 + out)) ** 3

    def answered(x: float) -> float:
        goes = min(1.0, max(0.0, (x - 55) / 10))
        return goes * (1 - min(1.0, max(0.0, (x - 95) / 10)))

    def mass(low: float, high: float) -> float:
        edges = [low, *(e for e in (55, 65, 90, 95, 100) if low < e < high), high]
        parts = (quad(lambda x: density(x) * answered(x), a, b)[0] for a, b in pairwise(edges))
        return float(sum(parts))

    outside = mass(55, 60) + mass(100, 105)
    return outside / (outside + mass(60, 100))


def test_the_chance_of_a_false_accept_falls_as_the_blades_tell_more(desk: Any) -> None:
    made = desk_after(desk, LeftLast("1I", mm("0.09"), mm("0.10")))
    assert chance_wrong(made.state, made.look("1I")) is None  # nothing is said yet
    made.read("1I", "0.06 free", "0.10 refuses")
    near = chance_wrong(made.state, made.look("1I"))
    made.read("1I", "0.07 free", "0.09 refuses")
    proved = chance_wrong(made.state, made.look("1I"))
    assert near is not None
    assert proved is not None
    assert near == pytest.approx(by_hand(), rel=1e-3)
    assert proved == pytest.approx(0, abs=1e-9)


def locked(desk: Any, *past: Shift) -> Any:
    """1I found at 0.03 to 0.04, opened by 20 degrees, and locked."""
    made = type(desk)(replace(desk.state.opened, past_shifts=past))
    made.confirm("1")
    made.read("1I", "0.03 free", "0.04 refuses")
    made.do(TurnScrew("1I", Way.OUT, Fraction(20)), LockNut("1I"))
    return made


PAST = (Shift(um(-10), um(0)), Shift(um(-12), um(-2)))


def test_after_turn_and_lock_the_chance_goes_by_where_it_was_meant_to_land(desk: Any) -> None:
    made = locked(desk, *PAST)
    assert chance_wrong(made.state, made.look("1I")) is None  # not read yet
    view = made.read("1I", "0.06 free", "0.10 refuses")
    # 20 degrees of 0.75 make 41.667 um, 5 of them 10.417; the locks of the past took 9 to -1.
    low, high = 30 + 41.667 - 10.417 - 9, 40 + 41.667 + 10.417 + 1
    prior = landed(made.state, view)
    assert prior is not None
    assert (prior.low.in_mm * 1000, prior.high.in_mm * 1000) == pytest.approx((low, high), abs=2e-3)
    tail = (high - low) / 2

    def weight(x: float) -> float:
        """Three in four evenly where meant, else tails; each blade even within 5 um of its mark."""
        out = max(low - x, x - high, 0)
        density = 0.75 / (high - low) if out == 0 else 0.25 / tail * (tail / (tail + out)) ** 3
        return float(density * uniform.cdf(x, 55, 10) * uniform.sf(x, 95, 10))

    def mass(a: float, b: float) -> float:
        return float(quad(weight, a, b, points=[p for p in (65, 95, low, high) if a < p < b])[0])

    outside = mass(55, 60) + mass(100, 105)
    chance = chance_wrong(made.state, view)
    assert chance == pytest.approx(outside / (outside + mass(60, 100)), rel=1e-3)
    assert chance is not None
    assert 0.001 < chance < 0.1
    # Proved, there is nothing left to go wrong.
    proved = made.read("1I", "0.07 free", "0.09 refuses")
    assert chance_wrong(made.state, proved) == pytest.approx(0, abs=1e-9)


def test_nothing_known_of_the_locknut_leaves_no_chance_to_tell(desk: Any) -> None:
    for past in ((), PAST[:1], (Shift(um(-10), um(-5)), Shift(um(5), um(10)))):
        made = locked(desk, *past)
        assert chance_wrong(made.state, made.read("1I", "0.06 free", "0.10 refuses")) is None


def test_what_this_lock_showed_is_not_used_twice(desk: Any) -> None:
    made = locked(desk, *PAST)
    before = landed(made.state, made.look("1I"))
    after = landed(made.state, made.read("1I", "0.06 free", "0.07 refuses"))
    assert before == after
    assert before is not None
    # Another valve's failed lock is heard of: it came out 0.03 to 0.04 tighter than it was set.
    made.read("1E", "0.06 free", "0.07 refuses")
    made.do(TurnScrew("1E", Way.OUT, Fraction(20)))
    made.read("1E", "0.09 free", "0.10 refuses")
    made.do(LockNut("1E"))
    made.read("1E", "0.06 free", "0.07 refuses")
    heard = landed(made.state, made.look("1I"))
    assert heard is not None
    assert heard.low < before.low


def test_locked_again_without_a_turn_tells_nothing_of_where_it_was_meant(desk: Any) -> None:
    made = locked(desk, *PAST)
    made.read("1I", "0.06 free", "0.10 refuses")
    made.do(LockNut("1I"))
    assert landed(made.state, made.read("1I", "0.06 free", "0.10 refuses")) is None


def test_without_a_prior_there_is_no_chance_to_speak_of(desk: Any) -> None:
    view = desk.read("1I", "0.06 free", "0.10 refuses")
    assert chance_wrong(desk.state, view) is None
    out = desk_after(desk, LeftLast("1I", mm("0.08"), mm("0.09")))
    assert chance_wrong(out.state, out.read("1I", "0.06 refuses")) is None


def test_sisters_of_a_kind_shift_where_a_valve_is_looked_for(desk: Any) -> None:
    """1I wants 0.06 to 0.10 and is found at 0.045: 0.035 under the middle, half of it for one sister."""
    desk.read("1I", "0.04 free", "0.05 refuses")
    shifted = prior(desk, "2I")
    assert shifted == replace(from_setting(Band(mm("0.06"), mm("0.10"))), low=um(40), high=um(80))
    assert prior(desk, "1E") is None  # an exhaust is of another kind
    assert prior(desk, "1I") is None  # nor does a valve shift itself


def test_a_shift_is_taken_from_where_each_was_left(desk: Any) -> None:
    left = LeftLast("1I", mm("0.07"), mm("0.08")), LeftLast("2I", mm("0.08"), mm("0.09"))
    made = desk_after(desk, *left)
    made.read("1I", "0.04 free", "0.05 refuses")  # 0.030 under where it was left
    assert prior(made, "2I") == from_left(um(65), um(75))


@pytest.mark.parametrize(
    "readings",
    [
        (),
        ("0.05 refuses",),
        ("0.12 free", "0.20 refuses"),
        ("0.03 free", "0.12 refuses"),
        ("0.12 free",),
    ],
)
def test_a_sister_counts_once_it_is_read_closely(desk: Any, readings: tuple[str, ...]) -> None:
    desk.read("1I", *readings)
    assert prior(desk, "2I") is None


def test_a_sister_in_the_middle_of_its_range_shifts_nothing(desk: Any) -> None:
    desk.read("1I", "0.06 free", "0.10 refuses")
    assert prior(desk, "2I") is None


def test_how_sure_a_verdict_is_does_not_go_by_the_sisters(desk: Any) -> None:
    """They order the blades; that they were found elsewhere is no evidence of this valve."""
    desk.read("1I", "0.04 free", "0.05 refuses")
    desk.do(TurnCrank(Fraction(360)))
    desk.confirm("2")
    view = desk.read("2I", "0.06 free", "0.10 refuses")
    assert expected(desk.state, view) is not None
    assert chance_wrong(desk.state, view) is None
