"""When the next check is due: months, distance or hours, whichever comes first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from benchtui.domain.history.left_out import LeftOut
from benchtui.domain.history.limits import (
    Count,
    DueLimit,
    WearLook,
    WearNotice,
    by_meter,
    by_months,
    look_for,
)
from benchtui.domain.history.usage import Meter, Usage
from benchtui.domain.sheet import Interval

SOON_DAYS = 30
"""A date this near counts as soon (design value)."""

SOON_SHARE = Fraction(9, 10)
"""With this much of the distance or hours gone, the check is soon (design value)."""


AFTER_SETTING = "after the last setting, the early recheck"


@dataclass(frozen=True, slots=True)
class Due:
    """When the next check is due.

    ``date`` is the earliest day known or foretold. ``overdue`` is None where it cannot be told:
    nothing on record to count from, or the rate of use says that it is probably past and no
    reading shows it. ``notes`` are plain sentences about what was missing. ``look`` is what wear
    asks for: it makes nothing overdue, for it says from where to where, and the interval is the
    sheet's. ``left_out`` are valves that were last left tight or wide.
    """

    date: date | None
    at_km: Fraction | None
    at_hours: Fraction | None
    reason: str
    overdue: bool | None
    soon: bool
    foretold: bool = False
    limits: tuple[DueLimit, ...] = ()
    notes: tuple[str, ...] = ()
    look: WearLook | None = None
    left_out: tuple[LeftOut, ...] = ()


def next_due(
    interval: Interval,
    last: Usage | None,
    now: Usage,
    readings: tuple[Usage, ...] = (),
    *,
    wear: WearNotice | None = None,
    was_set: bool = False,
) -> Due:
    """When the next check is due.

    Args:
        interval: the sheet's. Before the first check, what ``interval.first`` gives stands in for
            the ordinary limit of its kind; the other ordinary limits still hold.
        last: the last complete check, or None where none is on record.
        now: today, and what the counters read today if anybody looked.
        readings: every other reading known, in any order; on a day when a counter was changed,
            list the old one's last and the new one's first in that order, the check among them.
        wear: from where to where a valve may reach its limit.
        was_set: something was set at the last check, so that an early recheck holds beside the rest.
    """
    rules = interval if last is not None else _before_first(interval)
    count = Count(
        now,
        last,
        last.on if last is not None else None,
        _known(readings, last, now),
        _since(first=last is None, has_first=interval.first is not None),
        [],
    )
    limits = _limits(rules, count)
    if was_set and last is not None and interval.after_setting is not None:
        limits += _limits(interval.after_setting, replace(count, since=AFTER_SETTING))
    if last is not None and last.on > now.on:
        count.notes.append("The last check is dated after today: look at the computer's clock.")
    due = _first_of(tuple(limits), now.on, tuple(count.notes))
    if wear is None:
        return due
    look = look_for(wear, count)
    near = look.likely_on is not None and look.likely_on - now.on <= timedelta(days=SOON_DAYS)
    return replace(due, look=look, soon=due.soon or near)


def _limits(rules: Interval, count: Count) -> list[DueLimit]:
    limits: list[DueLimit] = []
    if rules.months is not None:
        limits += by_months(rules.months, count)
    if rules.distance_km is not None:
        limits += by_meter(Meter.KM, rules.distance_km, count)
    if rules.hours is not None:
        limits += by_meter(Meter.HOURS, rules.hours, count)
    return limits


def order(due: Due) -> tuple[int, int, Fraction]:
    """A key to sort by: overdue, perhaps overdue, soon, later; then by day, then by share used."""
    rank = 0 if due.overdue else 1 if due.overdue is None else 2 if due.soon else 3
    day = date.max if due.date is None else due.date
    used = max((x.used for x in due.limits if x.used is not None), default=Fraction(0))
    return rank, day.toordinal(), -used


def _known(readings: tuple[Usage, ...], *others: Usage | None) -> list[Usage]:
    """All readings; one that is listed already keeps its place among those of its day."""
    return [*readings, *(u for u in others if u is not None and u not in readings)]


def _before_first(interval: Interval) -> Interval:
    first = interval.first
    if first is None:
        return interval
    return Interval(
        first.months if first.months is not None else interval.months,
        first.distance_km if first.distance_km is not None else interval.distance_km,
        first.hours if first.hours is not None else interval.hours,
    )


def _since(*, first: bool, has_first: bool) -> str:
    if not first:
        return "after the last check"
    return "from new (first service)" if has_first else "from new"


def _first_of(limits: tuple[DueLimit, ...], today: date, notes: tuple[str, ...]) -> Due:
    dated = sorted((x for x in limits if x.on is not None), key=lambda x: x.on or date.max)
    km = [x.at for x in limits if x.meter is Meter.KM and x.at is not None]
    hours = [x.at for x in limits if x.meter is Meter.HOURS and x.at is not None]
    passed = [x for x in [*dated, *limits] if x.passed]
    by_share = sorted(limits, key=lambda x: -(x.used or Fraction(0)))
    governs = next(iter([*passed, *dated, *by_share]), None)
    on = dated[0].on if dated else None
    soon = any(_is_soon(x, today) for x in limits)
    return Due(
        on,
        min(km, default=None),
        min(hours, default=None),
        governs.reason if governs is not None else "nothing to count from",
        _overdue(limits, today),
        soon,
        governs.foretold if governs is not None else False,
        limits,
        notes,
    )


def _overdue(limits: tuple[DueLimit, ...], today: date) -> bool | None:
    if any(x.passed for x in limits):
        return True
    foretold_past = any(x.foretold and x.on is not None and x.on < today for x in limits)
    if foretold_past or all(x.passed is None for x in limits):
        return None
    return False


def _is_soon(limit: DueLimit, today: date) -> bool:
    near = limit.on is not None and limit.on - today <= timedelta(days=SOON_DAYS)
    return near or (limit.used is not None and limit.used >= SOON_SHARE)
