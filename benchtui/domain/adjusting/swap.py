"""Swapping shims between valves so that the fewest are bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import lcm

from benchtui.domain.adjusting.assignment import assign
from benchtui.domain.adjusting.shims import Shim, ShimFit, pick, shim_fit
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band


@dataclass(frozen=True, slots=True)
class Seat:
    """One valve's place for a shim: what was gauged with ``fitted`` in it, and what is wanted.

    ``settled``: it is in range as it is, and is disturbed only where that saves buying one.
    """

    valve: str
    bracket: Bracket
    band: Band
    fitted: Shim
    ratio: Fraction = Fraction(1)
    settled: bool = False


class Origin(Enum):
    """Where the shim to fit comes from."""

    KEPT = "stays"
    SWAPPED = "from another valve"
    SPARE = "from the stock"
    BOUGHT = "to buy"


@dataclass(frozen=True, slots=True)
class Placed:
    """The shim for one valve; ``taken_from`` names the valve it lies in now."""

    valve: str
    shim: Shim
    origin: Origin
    taken_from: str = ""


@dataclass(frozen=True, slots=True)
class SwapPlan:
    """What goes where. ``buy`` counts the sizes to buy, thinnest first.

    ``unserved`` valves have no size that is sure to land in range: measure them finer. What they
    have in stays. ``off_middle`` is how far all served valves together land from the middles of
    their ranges, judged by the middles of their brackets.
    """

    placed: tuple[Placed, ...]
    buy: tuple[tuple[Length, int], ...]
    unserved: tuple[str, ...]
    off_middle: Length


@dataclass(frozen=True, slots=True)
class _Offer:
    """One column of the cost table."""

    shim: Shim
    origin: Origin
    taken_from: str = ""


def plan_swap(
    seats: Sequence[Seat], spares: Sequence[Shim] = (), buyable: Sequence[Length] = ()
) -> SwapPlan:
    """The plan that serves the most valves, then buys the fewest shims, then lands nearest.

    Settled valves are disturbed only where that serves more of them or saves buying one.

    Exact. Every shim in place now and every spare may go to any valve, each of them once; sizes to
    buy come in any number. A shim that stays in place needs no formula: it will do where the valve
    is settled, or the bracket lies in the range. Leave a valve out of ``seats`` to leave it alone.

    Raises:
        Refusal: a valve's bracket is open, contradicts itself or starts at nothing.
    """
    fits = [_fits(seat) for seat in seats]
    offers = [_Offer(s.fitted, Origin.SWAPPED, s.valve) for s in seats]
    offers += [_Offer(shim, Origin.SPARE) for shim in spares]
    bought = [pick(fit, buyable) for fit in fits]
    off = [
        [_off(seat, offer.shim.thickness) if _will_do(seat, offer) else None for offer in offers]
        for seat in seats
    ]
    buying = [
        None if size is None else _off(seat, size) for seat, size in zip(seats, bought, strict=True)
    ]
    chosen = assign(_costs(off, buying, [seat.settled for seat in seats]))
    assert chosen is not None  # at the worst every valve keeps what it has
    placed: list[Placed] = []
    unserved: list[str] = []
    total = Fraction(0)
    for row, (seat, column) in enumerate(zip(seats, chosen, strict=True)):
        size = bought[row]
        if column >= len(offers):
            assert size is not None
            placed.append(Placed(seat.valve, Shim(size, error=ZERO), Origin.BOUGHT))
            total += buying[row] or 0
        elif (distance := off[row][column]) is not None:
            placed.append(_placed(seat, offers[column]))
            total += distance
        else:
            unserved.append(seat.valve)
    wanted = Counter(p.shim.marked for p in placed if p.origin is Origin.BOUGHT)
    return SwapPlan(
        tuple(placed), tuple(sorted(wanted.items())), tuple(unserved), Length(round(total))
    )


def _fits(seat: Seat, error: Length = ZERO) -> ShimFit:
    return shim_fit(seat.bracket, seat.band, seat.fitted, seat.ratio, error)


def _will_do(seat: Seat, offer: _Offer) -> bool:
    if offer.taken_from == seat.valve:
        high = seat.bracket.high
        return seat.settled or (
            seat.band.low <= seat.bracket.low and high is not None and high <= seat.band.high
        )
    return _fits(seat, offer.shim.error).holds(offer.shim.thickness)


def _off(seat: Seat, size: Length) -> Fraction:
    """How far from the middle of its range the middle of the bracket would land, in nanometres."""
    assert seat.bracket.high is not None
    middle = Fraction(seat.bracket.low.nm + seat.bracket.high.nm, 2)
    aim = Fraction(seat.band.low.nm + seat.band.high.nm, 2)
    return abs(middle + (seat.fitted.thickness - size).nm * seat.ratio - aim)


def _costs(
    off: list[list[Fraction | None]], buying: list[Fraction | None], settled: list[bool]
) -> list[list[int | None]]:
    """One whole number a pairing, that orders by valves unserved, bought, disturbed, then distance.

    Columns: the offers, the fitted shims first and in the order of the valves, then for each valve
    its own shim to buy. The last resort is to leave in what is in, so that a whole always exists.
    """
    every = [cost for row in [*off, buying] for cost in row if cost is not None]
    scale = lcm(*(cost.denominator for cost in every))
    count = len(buying)
    one_disturbed = count * int(max(every, default=Fraction(0)) * scale) + 1
    one_bought = one_disturbed * (count + 1)
    one_unserved = one_bought * (count + 1)
    table: list[list[int | None]] = []
    for row, costs in enumerate(off):
        moved = one_disturbed if settled[row] else 0
        line: list[int | None] = [
            None if c is None else int(c * scale) + (0 if column == row else moved)
            for column, c in enumerate(costs)
        ]
        if line[row] is None:
            line[row] = one_unserved
        buy = buying[row]
        own: list[int | None] = [None] * count
        if buy is not None:
            own[row] = one_bought + moved + int(buy * scale)
        table.append(line + own)
    return table


def _placed(seat: Seat, offer: _Offer) -> Placed:
    kept = offer.taken_from == seat.valve
    return Placed(seat.valve, offer.shim, Origin.KEPT if kept else offer.origin, offer.taken_from)
