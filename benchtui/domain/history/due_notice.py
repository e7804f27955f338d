"""What wear has to say beside the due date: from where to where a valve wants looking at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from benchtui.domain.history.course import Course
from benchtui.domain.history.estimate import Estimate
from benchtui.domain.history.limits import WearNotice
from benchtui.domain.history.usage import Meter, Point
from benchtui.domain.history.wear import ProvedTrend
from benchtui.domain.length import Length
from benchtui.domain.typed import like


@dataclass(frozen=True, slots=True)
class LimitAhead:
    """Where a valve meets ``limit``: from ``first`` to ``last`` of what is done, ``likely`` between.

    ``last`` and ``likely`` are None where it may be never. ``estimated`` tells an estimate from what
    the brackets prove. ``first`` is never before the valve was last gauged.
    """

    limit: Length
    first: Fraction
    likely: Fraction | None
    last: Fraction | None
    closing: bool
    estimated: bool


def ahead(course: Course, estimate: Estimate | None) -> LimitAhead | None:
    """Where a valve meets the limit it drifts towards; None where no drift is proved or claimed.

    By the estimate where one is claimed, kept within what is proved; else by what is proved.
    """
    place = course.last.run.seen[-1].x
    told = course.last.forecast
    proved = None
    if told is not None:
        closing = told.limit == course.band.low
        proved = LimitAhead(
            told.limit, told.earliest, told.latest, told.latest, closing, estimated=False
        )
    if estimate is None or estimate.trend is ProvedTrend.NONE:
        return proved
    closing = estimate.trend is ProvedTrend.CLOSING
    limit = course.band.low if closing else course.band.high
    first, likely, last = estimate.meets(limit.nm)
    guess = LimitAhead(
        limit,
        max(place, Fraction(floor(first))),
        None if likely is None else max(place, Fraction(floor(likely))),
        None if last is None else max(place, Fraction(ceil(last))),
        closing,
        estimated=True,
    )
    return guess if proved is None else _within(guess, proved)


def _within(guess: LimitAhead, proved: LimitAhead) -> LimitAhead:
    """The estimate as far as the proof allows it; the proof alone where they exclude each other."""
    first = max(guess.first, proved.first)
    ends = [end for end in (guess.last, proved.last) if end is not None]
    last = min(ends) if ends else None
    if guess.limit != proved.limit or (last is not None and first > last):
        return proved
    likely = guess.likely if guess.likely is None else max(first, guess.likely)
    if last is not None:
        likely = last if likely is None else min(last, likely)
    return replace(guess, first=first, likely=likely, last=last)


def notice(valves: Mapping[str, LimitAhead], latest: Point, meter: Meter) -> WearNotice | None:
    """The valve that is likely to meet its limit first, or None where none is on its way.

    Args:
        valves: where each valve on its way meets its limit, as ``Point.done`` of this counter.
        latest: the counter's latest reading, which turns that back into what the counter will read.
        meter: the counter.
    """
    if not valves:
        return None
    name = min(valves, key=lambda n: (*_order(valves[n]), n))
    told = valves[name]
    doing, end = ("closing up", "lower") if told.closing else ("opening", "upper")
    return WearNotice(
        valve=name,
        reason=f"{name} is {doing} and may reach its {end} limit",
        meter=meter,
        first=_reads(told.first, latest),
        likely=None if told.likely is None else _reads(told.likely, latest),
        last=None if told.last is None else _reads(told.last, latest),
        estimated=told.estimated,
    )


def _order(told: LimitAhead) -> tuple[bool, Fraction]:
    """The likely place counts, then the first: of an estimate that begins now little is known."""
    return told.likely is None, told.first if told.likely is None else told.likely


def _reads(done: Fraction, latest: Point) -> Fraction:
    return like(max(Fraction(0), latest.read + done - latest.done), latest.read)


def scale_of(kind: Iterable[Course]) -> float | None:
    """Nanometres per unit of x that take a valve through its range from one check to the next.

    None where no valve of the kind was gauged at two places.

    The way between checks is the median one. It is the measure of what drift is usual: a maker
    prints an interval at which valves mostly stay in range.
    """
    every = tuple(kind)
    places = sorted({s.x for c in every for w in c.runs for s in w.run.seen})
    ways = sorted(b - a for a, b in pairwise(places))
    if not ways:
        return None
    wide = max(c.band.width.nm for c in every)
    return max(1, wide) / float(ways[len(ways) // 2])
