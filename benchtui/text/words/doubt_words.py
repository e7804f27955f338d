"""What is odd about a day or a counter's reading, asked back in one sentence."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.history.doubtful import Doubt, Doubtful
from benchtui.domain.history.usage import Meter, Usage
from benchtui.text.quantities.show import date, distance, hours


def doubt_words(doubt: Doubt) -> str:
    """``Odometer 6 700 km is below the 67 000 km of 3 May 2026: a new counter, or a slip?``."""
    if doubt.meter is None:
        told = date(doubt.told.on)
        if doubt.why is Doubtful.FUTURE:
            return f"{told} is in the future: today is {date(doubt.other.on)}."
        return f"{told} is before the last check, which was on {date(doubt.other.on)}."
    what = "Odometer" if doubt.meter is Meter.KM else "Hour meter"
    told = _read(doubt.meter, doubt.told)
    other = f"{_read(doubt.meter, doubt.other)} of {date(doubt.other.on)}"
    if doubt.why is Doubtful.BELOW:
        return f"{what} {told} is below the {other}: a new counter, or a slip?"
    if doubt.why is Doubtful.ABOVE:
        return f"{what} {told} is above the {other}, which is later."
    usual = (
        "" if doubt.usual is None else f"; usual in that time: {_about(doubt.meter, doubt.usual)}"
    )
    return f"{what} {told} is far above the {other}{usual}."


def last_words(last: Usage | None, meter: Meter) -> str:
    """``last 61 500 km on 3 May 2026``; "" where it was never read."""
    return "" if last is None else f"last {_read(meter, last)} on {date(last.on)}"


def _read(meter: Meter, usage: Usage) -> str:
    return _figure(meter, usage.of(meter) or Fraction(0))


def _about(meter: Meter, value: Fraction) -> str:
    return distance(value) if meter is Meter.KM else hours(Fraction(round(value)))


def _figure(meter: Meter, value: Fraction) -> str:
    return distance(value) if meter is Meter.KM else hours(value)
