"""What the record says, in sentences: one session's valves, drifts, forecasts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from benchtui.domain.history.compare import Moved
from benchtui.domain.history.slopes import Slope
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.valve_trend import Finding, Meeting
from benchtui.domain.history.wear import Trend, Wear
from benchtui.domain.session.whole.record import SessionRecord, ValveRecord
from benchtui.text.quantities.show import (
    LengthUnit,
    date,
    degrees,
    distance,
    figure,
    hours,
    length,
    rounded,
)

PER = {Meter.KM: 1000, Meter.HOURS: 100}
"""Drifts are told over so many kilometres or hours: a micrometre or so then."""


def place_words(meter: Meter, at: Fraction) -> str:
    """A counter's reading: ``12 400 km``, ``310 h``."""
    return distance(at) if meter is Meter.KM else hours(at)


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
    """``-6.2 to -1.5 um per 1 000 km``."""
    if slope is None:
        return "no one drift fits"
    ends = [_um(end, meter) for end in (slope.low, slope.high)]
    if ends == [None, None]:
        return "drift not known"
    if ends[0] is None:
        return f"drift at most {ends[1]} um per {per_words(meter)}"
    if ends[1] is None:
        return f"drift at least {ends[0]} um per {per_words(meter)}"
    return f"drift {ends[0]} to {ends[1]} um per {per_words(meter)}"


def trend_words(wear: Wear) -> str:
    """What the brackets prove: ``closing up``, ``not steady``, ``too few checks``."""
    if wear.carried:
        return "too few checks since it was set; the drift before is carried on"
    if wear.trend is Trend.TOO_FEW:
        return "too few checks since it was last set to prove a drift"
    if wear.trend is Trend.NONE:
        return "no trend proved"
    if wear.trend is Trend.UNSTEADY:
        return "not steady: no one drift fits all the brackets"
    return str(wear.trend.value)


def finding_lines(finding: Finding, meter: Meter) -> tuple[str, ...]:
    """The sentences of one valve: what is proved, what is estimated, forecast, possible cause."""
    wear = finding.course.last
    first = f"{finding.course.valve}: {trend_words(wear)}"
    if wear.trend is not Trend.TOO_FEW and wear.slope is not None:
        first += f"; {slope_words(wear.slope, meter)}"
    lines = [f"{first}.", *estimate_lines(finding, meter)]
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


def estimate_lines(finding: Finding, meter: Meter) -> tuple[str, ...]:
    """What the estimate claims, and from where to where to look; () where it claims nothing."""
    estimate, expected = finding.estimate, finding.expected
    if estimate is None or expected is None:
        return ()
    closing = estimate.trend is Trend.CLOSING
    low, high = estimate.band
    ends = sorted(abs(end) for end in (low, high))
    middle = _per_mm(abs(estimate.slope(1 / 2)), meter)
    said = (
        f"Estimate: {'closes' if closing else 'opens'} by about {middle} mm in {per_words(meter)} "
        f"({_per_mm(ends[0], meter)} to {_per_mm(ends[1], meter)})."
    )
    return said, look_words(finding, meter)


def look_words(finding: Finding, meter: Meter) -> str:
    """What to do: ``Look at it from 511 h to 631 h: it meets 0.08 mm there, by the estimate.``."""
    expected = finding.expected
    if expected is None:
        return ""
    limit = length(expected.limit)
    first = _met(_sooner(expected.first), meter)
    now = finding.course.last.run.seen[-1].x >= expected.first.done
    start = "from now on" if now else f"from {first}"
    if expected.last is None:
        return f"Look at it {start}: by the estimate it may meet {limit} after that."
    last = _met(_later(expected.last), meter)
    end = f"until {last}" if now else f"to {last}"
    return f"Look at it {start} {end}: it meets {limit} there, by the estimate."


def _per_mm(slope: float, meter: Meter) -> str:
    """Nanometres per unit, told in millimetres over ``PER``."""
    return rounded(Fraction(slope) * PER[meter] / 1_000_000, 3)


def forecast_words(finding: Finding, meter: Meter) -> str:
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


def forecast_short(finding: Finding, meter: Meter) -> str:
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
    if meeting.on is None:
        return place
    return f"{place} ({'about ' if meeting.foretold else ''}{date(meeting.on)})"


def _um(end: Fraction | None, meter: Meter) -> str | None:
    return None if end is None else rounded(end * PER[meter] / 1000, 2, signed=True)
