from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.shims import Shim, shim_fit
from benchtui.domain.adjusting.swap import Origin, Seat, plan_swap
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band
from tests.refusing import must_refuse


def mm(text: str) -> Length:
    return Length.mm(text)


BAND = Band(mm(".15"), mm(".25"))


def seat(valve: str, low: str, high: str, shim: str, band: Band = BAND) -> Seat:
    return Seat(valve, Bracket(mm(low), mm(high)), band, Shim(mm(shim)))


FOUR = (
    seat("1I", ".25", ".25", "2.80"),
    seat("2I", ".15", ".15", "2.75"),
    seat("3I", ".10", ".10", "2.90"),
    seat("4I", ".30", ".30", "2.85"),
)


def test_the_swap_row() -> None:
    # Source: scipy.optimize.linear_sum_assignment: order 3 1 0 2, left 0.10 mm in all.
    plan = plan_swap(FOUR)
    assert [p.taken_from for p in plan.placed] == ["4I", "2I", "1I", "3I"]
    assert plan.placed[1].origin is Origin.KEPT
    assert plan.off_middle == mm(".10")
    assert plan.buy == ()
    assert plan.unserved == ()


def test_a_spare_is_used_before_one_is_bought() -> None:
    seats = (seat("1I", ".40", ".42", "2.80"),)
    bought = plan_swap(seats, buyable=(mm("3.00"), mm("3.05")))
    assert bought.buy == ((mm("3.00"), 1),)
    assert bought.placed[0].origin is Origin.BOUGHT
    spare = plan_swap(seats, spares=(Shim(mm("3.03")),), buyable=(mm("3.00"),))
    assert spare.buy == ()
    assert spare.placed[0].origin is Origin.SPARE


def test_the_same_size_is_bought_as_often_as_it_is_wanted() -> None:
    seats = (seat("1I", ".40", ".40", "2.80"), seat("1E", ".45", ".45", "2.75"))
    assert plan_swap(seats, buyable=(mm("3.00"),)).buy == ((mm("3.00"), 2),)


def test_a_valve_that_no_size_is_sure_for_keeps_its_shim() -> None:
    seats = (seat("1I", ".30", ".45", "3.00"), seat("2I", ".40", ".40", "2.80"))
    plan = plan_swap(seats)
    # 2I would take 1I's 3.00, but 1I has nothing else to run on: neither is served.
    assert plan.unserved == ("1I", "2I")
    assert plan.placed == ()
    assert plan_swap(seats, buyable=(mm("3.00"),)).unserved == ("1I",)


def test_a_shim_that_stays_needs_no_formula() -> None:
    # Its own error cancels: what was gauged was gauged with it in place.
    worn = Seat("1I", Bracket(mm(".15"), mm(".25")), BAND, Shim(mm("2.80"), error=Length.um(20)))
    assert plan_swap((worn,)).placed[0].origin is Origin.KEPT


def test_no_plan_from_an_open_bracket() -> None:
    with must_refuse("No shim from an open bracket"):
        plan_swap((FOUR[0], Seat("2I", Bracket(mm(".1")), BAND, Shim(mm("2.8")))))


def test_no_seats_no_plan() -> None:
    assert plan_swap(()).placed == ()


def test_a_follower_ratio_is_kept_exact() -> None:
    seats = (Seat("1I", Bracket(mm(".50"), mm(".50")), BAND, Shim(mm("2.80")), Fraction(5, 3)),)
    plan = plan_swap(seats, buyable=(mm("2.95"), mm("3.00")))
    assert plan.buy == ((mm("3.00"), 1),)
    # .30 of gap is .18 of shim; 3.00 is .02 beyond, .0333 of gap.
    assert plan.off_middle == Length(33_333)


@given(
    st.lists(
        st.tuples(st.integers(1, 9), st.integers(0, 2), st.integers(50, 62)), min_size=1, max_size=3
    ),
    st.lists(st.integers(50, 62), max_size=2),
)
def test_the_fewest_are_bought_by_trying_everything(
    rows: list[tuple[int, int, int]], stock: list[int]
) -> None:
    step = 50  # um
    seats = [
        Seat(
            f"{i}",
            Bracket(Length.um(gap * step), Length.um((gap + width) * step)),
            BAND,
            Shim(Length.um(shim * step)),
        )
        for i, (gap, width, shim) in enumerate(rows)
    ]
    plan = plan_swap(
        seats,
        [Shim(Length.um(s * step)) for s in stock],
        [Length.um(s * step) for s in range(40, 80)],
    )
    pool = [shim for _, _, shim in rows] + stock
    best = min(
        _worth(rows, pool, choice)
        for choice in permutations([*range(len(pool)), *([-1] * len(rows))], len(rows))
    )
    assert (len(plan.unserved), sum(n for _, n in plan.buy), plan.off_middle) == (
        best[0],
        best[1],
        Length.um(1).scaled(Fraction(best[2])),
    )
    taken = [p.taken_from for p in plan.placed if p.taken_from]
    assert len(set(taken)) == len(taken)
    assert not set(taken) & set(plan.unserved)


def _worth(
    rows: list[tuple[int, int, int]], pool: list[int], choice: tuple[int, ...]
) -> tuple[int, int, Fraction]:
    """Unserved, bought, um off the middle, by plain sums; -1 buys. The band is 3 to 5 steps."""
    unserved = bought = 0
    off = Fraction(0)
    for i, c in enumerate(choice):
        gap, width, shim = rows[i]
        if c >= 0:
            moved = shim - pool[c]
            if gap + moved >= 3 and gap + width + moved <= 5:
                off += abs(Fraction(2 * gap + width, 2) + moved - 4) * 50
            elif c == i:
                unserved += 1
            else:
                return (99, 0, Fraction(0))
        else:
            good = [
                abs(Fraction(2 * gap + width, 2) + shim - s - 4)
                for s in range(40, 80)
                if gap + shim - s >= 3 and gap + width + shim - s <= 5
            ]
            if not good:
                return (99, 0, Fraction(0))
            bought += 1
            off += min(good) * 50
    return unserved, bought, off


def settled(valve: str, low: str, high: str, shim: str) -> Seat:
    return replace(seat(valve, low, high, shim), settled=True)


def test_a_settled_valve_keeps_its_shim_though_another_would_land_nearer() -> None:
    seats = (settled("1I", ".16", ".17", "2.83"), settled("2I", ".23", ".24", "2.80"))
    assert {p.origin for p in plan_swap(seats).placed} == {Origin.KEPT}
    unsettled = tuple(replace(s, settled=False) for s in seats)
    assert {p.origin for p in plan_swap(unsettled).placed} != {Origin.KEPT}


def test_a_settled_valve_gives_its_shim_where_that_saves_buying_one() -> None:
    seats = (seat("1I", ".30", ".31", "2.80"), settled("1E", ".15", ".16", "2.88"))
    plan = plan_swap(seats, buyable=(mm("2.90"),))
    assert [p.taken_from for p in plan.placed] == ["1E", "1I"]
    assert plan.buy == ()


SIZES = st.sampled_from(["2.70", "2.75", "2.80", "2.85", "2.90"])
LOWS = st.integers(3, 35)


@given(st.lists(st.tuples(LOWS, SIZES), min_size=1, max_size=4))
def test_settled_valves_are_disturbed_no_more_than_buying_the_fewest_asks(
    told: list[tuple[int, str]],
) -> None:
    """Against every way to lay the shims: first the fewest bought, then the fewest disturbed."""
    seats = []
    for number, (low, size) in enumerate(told):
        made = seat(str(number), f"{low / 100:.2f}", f"{(low + 1) / 100:.2f}", size)
        inside = BAND.low <= made.bracket.low and made.bracket.low + mm(".01") <= BAND.high
        seats.append(replace(made, settled=inside))
    buyable = tuple(mm(f"{2.4 + 0.05 * step:.2f}") for step in range(25))
    plan = plan_swap(seats, buyable=buyable)
    assert plan.unserved == ()
    bought = sum(count for _, count in plan.buy)
    kept = {p.valve for p in plan.placed if p.origin is Origin.KEPT}
    disturbed = sum(s.settled and s.valve not in kept for s in seats)
    fits = [shim_fit(s.bracket, s.band, s.fitted) for s in seats]
    best = (len(seats) + 1, 0)
    for order in permutations([*range(len(seats)), *[-1] * len(seats)], len(seats)):
        ok = all(
            source == -1
            or (s.settled if source == row else fits[row].holds(seats[source].fitted.thickness))
            for row, (s, source) in enumerate(zip(seats, order, strict=True))
        )
        if ok:
            moved = sum(
                s.settled and o != row for row, (s, o) in enumerate(zip(seats, order, strict=True))
            )
            best = min(best, (order.count(-1), moved))
    assert (bought, disturbed) == best
