"""What the record says, in sentences: one session's valves, drifts, forecasts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import ceil, floor

from benchtui.domain.history.compare import Moved
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.valve_trend import Meeting, ValveTrend
from benchtui.domain.history.wear import ProvedTrend
from benchtui.domain.session.whole.record import SessionRecord, ValveRecord
from benchtui.text.quantities.show import (
    LengthUnit,
    degrees,
    distance,
    figure,
    hours,
    length,
    month,
    rounded,
)
from benchtui.text.quantities.show import date as day_words

PER = {Meter.KM: 1000, Meter.HOURS: 100}
"""Drifts are told over so many kilometres or hours: a micrometre or so then."""


def place_words(meter: Meter, at: Fraction) -> str:
    """A counter's reading: ``12 400 km``, ``310 h``."""
    return distance(at) if meter is Meter.KM else hours(at)


def unread_words(days: Sequence[date], meter: Meter) -> str:
    """Which checks read no counter, what becomes of them, and how it is told after all."""
    if not days:
        return ""
    more = "" if len(days) == 1 else f" and {len(days) - 1} before"
    counter = "odometer" if meter is Meter.KM else "hour meter"
    it = "it lies" if len(days) == 1 else "they lie"
    return (
        f"{day_words(days[-1])}{more}: no {counter} was read, so {it} where the day falls. Past, Enter, "
        f"Put right tells it."
    )


def per_words(meter: Meter) -> str:
    """What drifts are told over: ``1 000 km``."""
    return place_words(meter, Fraction(PER[meter]))


def done_words(valve: ValveRecord) -> str:
    """What was done to a valve: ``turned out 21.6 degrees in all, locked, measured again``."""
    if not valve.touched:
        return "not touched"
    parts = []
    if valve.turned:
        opened = "opening" if valve.turned > 0 else "closing"
        parts.append(f"turned {degrees(abs(valve.turned))} degrees in all, {opened}")
    if valve.shim_left is not None and valve.shim_left != valve.shim_found:
        fitted = length(valve.shim_left)
        before = "" if valve.shim_found is None else f" for {length(valve.shim_found)}"
        parts.append(f"shim {fitted}{before}")
    elif valve.locked:
        parts.append("locked")
    else:
        parts.append("NOT LOCKED")
    parts.append("measured again" if valve.read_after else "NOT MEASURED AGAIN")
    return ", ".join(parts)


def shims_words(valve: ValveRecord) -> str:
    """The shim that is in, where one is known and was not changed."""
    if valve.shim_left is None or valve.touched:
        return ""
    return f"shim {length(valve.shim_left)} is in"


def ending_words(record: SessionRecord) -> str:
    """How a session ended, in one word or two."""
    if record.set_aside:
        return "set aside"
    if record.practice:
        return "practice"
    if record.complete:
        return "complete"
    return "partial" if record.closed else "not closed"


def moved_words(moved: Moved | None, unit: LengthUnit = "mm") -> str:
    """``closed up by 0.01 to 0.03``, ``no move shown (-0.01 to +0.02)``, in the unit of the set."""
    if moved is None:
        return "nothing to compare"
    least, most = moved.least, moved.most
    if moved.closed and most is not None:
        far = "" if least is None else f" to {figure(-least, unit)}"
        return f"closed up by {figure(-most, unit)}{far or ' or more'}"
    if moved.opened and least is not None:
        far = "" if most is None else f" to {figure(most, unit)}"
        return f"opened by {figure(least, unit)}{far or ' or more'}"
    if least is None and most is None:
        return "no telling how far it moved"
    low, high = ("?" if end is None else figure(end, unit, signed=True) for end in (least, most))
    return f"no move shown ({low} to {high})"


def slope_words(slope: Slope | None, meter: Meter) -> str:
    """``closes by 0.002 to 0.006 mm in 1 000 km``: what the brackets allow."""
    if slope is None:
        return "no one drift fits"
    low, high = slope.low, slope.high
    per = f"mm in {per_words(meter)}"
    if low is None and high is None:
        return "how far it moves is not known"
    if high is not None and high <= 0:
        far = "" if low is None else f" to {_per_mm(-low, meter)}"
        if not high:
            return f"closes by at most {far.removeprefix(' to ')} {per}" if far else "does not open"
        return f"closes by {_per_mm(-high, meter)}{far} {per}{'' if far else ' or more'}"
    if low is not None and low >= 0:
        far = "" if high is None else f" to {_per_mm(high, meter)}"
        if not low:
            return f"opens by at most {far.removeprefix(' to ')} {per}" if far else "does not close"
        return f"opens by {_per_mm(low, meter)}{far} {per}{'' if far else ' or more'}"
    closes = (
        "closes, how far is not known"
        if low is None
        else f"closes by at most {_per_mm(-low, meter)}"
    )
    opens = (
        "opens, how far is not known"
        if high is None
        else f"opens by at most {_per_mm(high, meter)}"
    )
    return f"{closes}, or {opens} {per}"


def trend_words(finding: ValveTrend, meter: Meter) -> str:
    """What the brackets of one valve prove, in a sentence."""
    wear, valve = finding.course.last, finding.course.valve
    slope = "" if wear.slope is None else slope_words(wear.slope, meter)
    if wear.carried:
        return f"{valve} was set too lately to tell; the drift before it was set is carried on."
    match wear.trend:
        case ProvedTrend.TOO_FEW:
            return f"{valve}: too few checks since it was last set to tell."
        case ProvedTrend.UNSTEADY:
            return f"{valve} is not steady: no one drift fits what the blades found."
        case ProvedTrend.NONE if finding.estimated is ProvedTrend.NONE:
            return f"{valve} is steady as far as blades tell: it {slope}."
        case ProvedTrend.NONE:
            return f"Not proved: the blades alone say that it {slope}."
        case ProvedTrend.JUMP:
            return f"{valve} jumped{f': it {slope}' if slope else ''}."
        case _:
            return f"{valve} {slope}: proved."


def finding_lines(
    finding: ValveTrend, meter: Meter, sheet_at: Fraction | None = None
) -> tuple[str, ...]:
    """The sentences of one valve: how it drifts, when it meets its limit, when to look, why.

    ``sheet_at`` is the counter at which the sheet wants the next check.
    """
    lines = [*estimate_lines(finding, meter, sheet_at), trend_words(finding, meter)]
    told = forecast_words(finding, meter)
    if told:
        lines.append(told)
    before = finding.course.before
    if before is not None:
        lines.append(
            f"Judged by {finding.course.band}, the sheet's limits today; at the last check they were "
            f"{before}."
        )
    if finding.cause:
        lines.append(finding.cause)
    return tuple(lines)


def estimate_lines(finding: ValveTrend, meter: Meter, sheet_at: Fraction | None) -> tuple[str, ...]:
    """How fast, by the estimate, and where that leads; nothing where it claims nothing."""
    estimate, expected = finding.estimate, finding.expected
    if estimate is None or expected is None:
        return ()
    moves = "closes" if estimate.trend is ProvedTrend.CLOSING else "opens"
    ends = sorted(abs(end) for end in estimate.band)
    middle = _per_mm(abs(estimate.slope(1 / 2)), meter)
    said = (
        f"{finding.course.valve} {moves} by about {middle} mm in {per_words(meter)} "
        f"({_per_mm(ends[0], meter)} to {_per_mm(ends[1], meter)}), by the estimate."
    )
    return said, f"{_meets(finding, meter)} {look_words(finding, meter, sheet_at)}"


def _meets(finding: ValveTrend, meter: Meter) -> str:
    """``Going on so it meets 0.08 between 511 h (Jan 2027) and 631 h (Jan 2028).``."""
    expected = finding.expected
    assert expected is not None
    limit = figure(expected.limit)
    last = None if expected.last is None else _met(_later(expected.last), meter)
    if _there(finding):
        end = "" if last is None else f", at the latest at {last}"
        return f"Going on so it may meet {limit} from now on{end}."
    first = _met(_sooner(expected.first), meter)
    if last is None:
        return f"Going on so it may meet {limit} from {first} on, or never."
    return f"Going on so it meets {limit} between {first} and {last}."


def _there(finding: ValveTrend) -> bool:
    expected = finding.expected
    return expected is not None and finding.course.last.run.seen[-1].x >= expected.first.done


def look_words(finding: ValveTrend, meter: Meter, sheet_at: Fraction | None) -> str:
    """``Look at it by 511 h, not at 536 h as the sheet says.``."""
    if finding.expected is None:
        return ""
    if _there(finding):
        return "Look at it at the next chance."
    first = _sooner(finding.expected.first).reads
    by = place_words(meter, first)
    if sheet_at is None:
        return f"Look at it by {by}."
    sheet = place_words(meter, Fraction(floor(sheet_at)))
    if sheet_at <= first:
        return f"The sheet's check at {sheet} comes before that."
    return f"Look at it by {by}, not at {sheet} as the sheet says."


def _per_mm(slope: Fraction | float, meter: Meter) -> str:
    """Nanometres per unit, told in millimetres over ``PER``."""
    return rounded(Fraction(slope) * PER[meter] / 1_000_000, 3)


def forecast_words(finding: ValveTrend, meter: Meter) -> str:
    """When it may meet its limit; "" where nothing is foretold."""
    told = finding.course.last.forecast
    if told is None or finding.earliest is None:
        return ""
    limit = length(told.limit)
    late = "perhaps never" if finding.latest is None else _met(_later(finding.latest), meter)
    if finding.there_already:
        return (
            f"Proved: it may be at its limit of {limit} already: gauge it finer. "
            f"At the latest: {late}."
        )
    early = _met(_sooner(finding.earliest), meter)
    if finding.passed:
        return (
            f"Proved, if it goes on so: it may have met {limit} since {early}: measure it. "
            f"Latest: {late}."
        )
    return (
        f"Proved, if it goes on so: it meets {limit} at {early} at the earliest, "
        f"at the latest {late if finding.latest is None else f'at {late}'}."
    )


def forecast_short(finding: ValveTrend, meter: Meter) -> str:
    """The same for a narrow place: ``limit 0.08 mm at 30 000 km to 42 000 km``; the estimate first."""
    expected = finding.expected
    if expected is not None:
        limit = f"estimate: limit {length(expected.limit)}"
        early = place_words(meter, _sooner(expected.first).reads)
        if expected.last is None:
            return f"{limit} at {early} or later"
        return f"{limit} at {early} to {place_words(meter, _later(expected.last).reads)}"
    told = finding.course.last.forecast
    if told is None or finding.earliest is None:
        return ""
    limit = f"limit {length(told.limit)}"
    late = None
    if finding.latest is not None:
        late = place_words(meter, _later(finding.latest).reads)
    if finding.there_already:
        return f"{limit} perhaps met now" + ("" if late is None else f", else by {late}")
    early = place_words(meter, _sooner(finding.earliest).reads)
    return f"{limit} at {early} or later" if late is None else f"{limit} at {early} to {late}"


def _sooner(meeting: Meeting) -> Meeting:
    """In whole kilometres or hours, never later than it is."""
    return replace(meeting, reads=Fraction(floor(meeting.reads)))


def _later(meeting: Meeting) -> Meeting:
    """In whole kilometres or hours, never sooner than it is."""
    return replace(meeting, reads=Fraction(ceil(meeting.reads)))


def _met(meeting: Meeting, meter: Meter) -> str:
    place = place_words(meter, meeting.reads)
    return place if meeting.on is None else f"{place} ({month(meeting.on)})"
